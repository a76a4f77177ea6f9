"""Drill-offs of level teams: the heat in which they hear the next set, and what to say and type meanwhile."""

from collections.abc import Sequence
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
    on_sheets = {(one.about, one.reading) for one in day.plan.drill_offs}
    typed = {
        (day.plan.team[team].division, about, reading)
        for about, team, reading in day.state.decisions.drill_offs
        if (about, reading) not in on_sheets
    }
    due = []
    for tie, teams, drawn in to_draw(day.plan, ties, lines):
        division = day.plan.team[tie.teams[0]].division
        by_hand = sum(division == where for where, _, _ in typed)
        due.append(DueHeat(drawn.heat, division, stage.get(tie.heat, 0), teams, drawn, by_hand))
    return due


def how_to_drill(tie: "Tied", held: Sequence[str]) -> str:
    """How level teams are separated next, in words that end before the line to type. held: the heats, once drawn."""
    if tie.spent:
        return "All sets left them level: read on, call by call, until one is ahead; then type what they made in that:"
    if held:
        drawn = f"heat {held[0]}" if len(held) == 1 else f"heats {listing([*held])}, which hear it at once"
        return f"Set {tie.readings + 1} is {drawn}: collect its sheets like all others. If only totals were kept, type:"
    return (
        "No room has a line that takes them all, and rooms are too few to read to all of them at once. Read them the "
        "first set of papers/callers/drill_off that nobody has heard, in parts and the others out of hearing; then "
        "type what they made:"
    )


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
