"""Drill-offs of level teams: the heat in which they hear the next set, and what to say and type meanwhile."""

from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from tourney.day.step import typed
from tourney.scoring.words import counted, listing

if TYPE_CHECKING:
    from tourney.day.state import PlannedDay
    from tourney.finals.drill_offs import Tied
    from tourney.finals.progress import Progress
    from tourney.planning.finals import DueHeat


def due_drill_offs(day: "PlannedDay", going: Sequence["Progress"], ties: Sequence["Tied"]) -> list["DueHeat"]:
    """The next set for each tie, as a heat, or as several at once; none where rooms can't take all who are level."""
    from tourney.finals.drill_offs import to_draw
    from tourney.planning.finals import DueHeat, lines_at_once

    def lines(tie: "Tied") -> tuple[tuple[str, ...], ...]:
        return lines_at_once(day.plan, day.roster, day.plan.team[tie.teams[0]].division, tie.teams)

    stage = {heat.id: heat.stage for found in going for heat in found.played.bracket.heats}
    due = []
    for tie, teams, drawn in to_draw(day.plan, ties, lines):
        division = day.plan.team[tie.teams[0]].division
        due.append(DueHeat(drawn.heat, division, stage.get(tie.heat, 0), teams, drawn, _read_by_hand(day, division)))
    return due


def _read_by_hand(day: "PlannedDay", division: str) -> int:
    """How many sets of a division's drill-offs were read in no heat of the plan, and what came of them typed."""
    on_sheets = {(one.about, one.reading) for one in day.plan.drill_offs}
    typed = {
        (about, reading)
        for about, team, reading in day.state.decisions.drill_offs
        if (about, reading) not in on_sheets and day.plan.team[team].division == division
    }
    return len(typed)


def how_to_drill(day: "PlannedDay", tie: "Tied") -> str:
    """How level teams are separated next, in words that end before the line to type."""
    from tourney.finals.drill_offs import drawn_for

    held = drawn_for(day.plan, tie)
    if tie.spent:
        return "All sets left them level: read on, call by call, until one is ahead; then type what they made in that:"
    if held:
        drawn = f"heat {held[0]}" if len(held) == 1 else f"heats {listing([*held])}, which hear it at once"
        return f"Set {tie.readings + 1} is {drawn}: collect its sheets like all others. If only totals were kept, type:"
    return _in_turn(day, tie)


def _in_turn(day: "PlannedDay", tie: "Tied") -> str:
    """Who hears a set one after the other, since rooms can't take all at once: it decides, so it is the same for all.

    No wave shares a set with another one, so this is no heat of the plan.
    """
    from tourney.day.results import team_names
    from tourney.planning.finals import lines_in_turn

    division, names = day.plan.team[tie.teams[0]].division, team_names(day.plan)
    parts = lines_in_turn(day.plan, day.roster, division, tie.teams)
    turns = ", then ".join(listing([names[team] for team in part]) for part in parts)
    heard = {heat.call_set for heat in day.plan.heats}
    sets = [one.id for one in day.plan.call_sets if (one.division, one.use) == (division, "drill_off")]
    left = [one for one in sets if one not in heard][_read_by_hand(day, division) :]
    what = f"{left[0]} of papers/callers/drill_off" if left else "three calls of a set in papers/callers/reserve"
    return (
        "No room has a line that takes them all, and rooms are too few to read to all of them at once. Read them "
        f"{what} in turn, the same people calling and judging: first {turns}. Who waits is out of hearing, with two "
        "cleared adults, and meets nobody who has heard it. Then type what they made:"
    )


def level_words(tie: "Tied", names: Mapping[str, str]) -> str:
    """Who is level, as the beginning of a sentence, with the numbers that are typed. names: of teams by id."""
    return f"{listing([f'{team} {names[team]}' for team in tie.teams])} are level {tie.where}"


def drill_off_line(folder: Path, tie: "Tied") -> str:
    """What is typed once a reading of a drill-off is known."""
    return typed("finals", folder, typed_points(tie))


def typed_points(tie: "Tied") -> str:
    """The words after the folder with which a reading is typed."""
    heat = [f"--heat {tie.heat}"] if tie.heat else []
    return " ".join([*heat, *(f"--drill-off {team}=N" for team in tie.teams)])


def after_sets(tie: "Tied") -> str:
    """How often level teams have drilled already, as the end of a sentence."""
    if not tie.readings:
        return ""
    return f", after {counted(tie.readings, 'set')} of their drill-off too"
