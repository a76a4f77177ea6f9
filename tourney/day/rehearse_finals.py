"""Play the finals of a rehearsed day, stage after stage, through the real files."""

from collections.abc import Iterator
from dataclasses import replace
from datetime import datetime, timedelta
from pathlib import Path
from typing import TYPE_CHECKING

from tourney.errors import Refusal

if TYPE_CHECKING:
    from tourney.day.finals import Asked, FinalsDay

BEST_OF_A_SET = 90  # points of three calls by three children


def play_finals(into: Path, now: datetime) -> "FinalsDay | None":
    """Draw, fill and collect until every place is decided, drill-offs of level teams among them.

    None when no division can have finals.
    """
    from tourney.day.collect import collect
    from tourney.day.finals import Asked, finals, stand
    from tourney.day.state import read_day

    asked, moment = Asked(), now
    while True:
        try:
            found = finals(into, asked, moment)
        except Refusal:
            asked = next(_by_hand_at_the_cut(into, now), Asked())
            if not asked.drill_off:
                return None
            continue
        asked = next(_by_hand(found), Asked())
        if found.drawn:
            filled = _fill(into, found)
            moment = max(found.plan.wave[found.plan.heat[heat].wave].end for heat in found.drawn) + timedelta(minutes=5)
            collect(into, filled, moment)
            if all(one.played.over for one in stand(read_day(into))):
                moment += timedelta(minutes=found.plan.event.day.protest_minutes)
        elif not asked.drill_off:
            return found


def _by_hand_at_the_cut(into: Path, now: datetime) -> Iterator["Asked"]:
    """A drill-off without sheets for the first division whose last place in the finals is shared."""
    from tourney.day.results import standings
    from tourney.day.state import read_day

    day = read_day(into)
    for standing in standings(day, now).divisions:
        for tie in standing.cut:
            yield _typed(day.plan.draw.words, tie.about, tie.teams)


def _by_hand(found: "FinalsDay") -> Iterator["Asked"]:
    """Drill-offs that no sheets are made for: one line is too short for them, or all sets left the teams level."""
    from tourney.finals.drill_offs import drawn_for

    for division in found.divisions:
        for tie in division.ties:
            if not drawn_for(found.plan, tie):
                yield _typed(found.plan.draw.words, tie.heat, tie.teams)


def _typed(words: str, heat: str, teams: tuple[str, ...]) -> "Asked":
    """A reading that separates them all."""
    from tourney.day.finals import Asked
    from tourney.draw import Draw

    chance = Draw(words).stream("rehearsal", "drill-off", heat, *teams)
    made = chance.sample(range(BEST_OF_A_SET + 1), len(teams))
    return Asked(tuple(zip(teams, made, strict=True)), heat)


def _fill(into: Path, found: "FinalsDay") -> tuple[Path, ...]:
    """Judges fill the sheets of the heats that were drawn now, and drop them into returned/: these files."""
    from tourney.day.state import read_day
    from tourney.draw import Draw
    from tourney.papers.fill import fill_workbook
    from tourney.simulation.rehearsal import simulate

    day = read_day(into)
    heats = tuple(day.plan.heat[heat] for heat in found.drawn)
    played = simulate(replace(day.plan, heats=heats), day.called, day.roster, Draw(day.plan.draw.words))
    entries = {sheet.code: sheet for sheet in (*played.entries, *played.corrections)}
    filled = []
    for workbook in map(Path, found.files):
        if workbook.parent.name == "judges" and workbook.suffix == ".xlsx":
            filled.append(into / "returned" / f"{workbook.parts[-3]} {workbook.name}")
            fill_workbook(into / workbook, filled[-1], entries)
    return tuple(filled)
