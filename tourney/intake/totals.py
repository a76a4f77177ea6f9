"""totals.csv: the points of each team in a heat, from rooms that kept no more (columns heat, team and points)."""

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction

from tourney.intake.csv_text import SEPARATORS, decoded, numbered_rows
from tourney.intake.grid import Unreadable
from tourney.intake.marks import plain, quoted
from tourney.intake.nearest import key, suggestion, word_key
from tourney.model.plan import Heat, Plan
from tourney.model.sheet import SheetNote, SheetReading
from tourney.model.totals import HeatTotal
from tourney.scoring import words

COLUMNS = ("heat", "team", "points")

_NUMBER = re.compile(r"[0-9]{1,6}(?:[.,][0-9]{1,3})?")


@dataclass(frozen=True, slots=True)
class TotalLine:
    """A line of a table of totals. number: from 1. cells: by column, as written."""

    number: int
    cells: dict[str, str]


def totals_in(content: bytes) -> list[TotalLine] | None:
    """The lines of a table of totals, None when these bytes hold none."""
    try:
        text = decoded(content)
        tables = [numbered_rows(text, separator) for separator in SEPARATORS]
    except Unreadable:
        return None
    for rows in tables:
        for at, (_, header) in enumerate(rows):
            names = [word_key(name) for name in header]
            if all(names.count(column) == 1 for column in COLUMNS):
                places = {column: names.index(column) for column in COLUMNS}
                return [_line(number, row, places) for number, row in rows[at + 1 :] if any(map(plain, row))]
    return None


def _line(number: int, row: Sequence[str], places: dict[str, int]) -> TotalLine:
    return TotalLine(number, {column: plain(row[at]) if at < len(row) else "" for column, at in places.items()})


def read_totals(
    file: str, lines: Sequence[TotalLine], plan: Plan
) -> tuple[tuple[HeatTotal, ...], tuple[SheetReading, ...]]:
    """The totals that can be taken, and a refused reading for each line that can't.

    file: the name to show to people.
    """
    taken: dict[int, HeatTotal] = {}
    wrong: dict[int, str] = {}
    for line in lines:
        found = _total(line, plan)
        if isinstance(found, HeatTotal):
            taken[line.number] = found
        else:
            wrong[line.number] = found
    wrong |= _contradictions(taken)
    refused = (
        SheetReading(file, "", "", "refused", None, (SheetNote(f"line {number}", wrong[number]),))
        for number in sorted(wrong)
    )
    totals = dict.fromkeys(total for number, total in taken.items() if number not in wrong)
    return tuple(totals), tuple(refused)


def _total(line: TotalLine, plan: Plan) -> HeatTotal | str:
    """The total of a line, or what is wrong with it."""
    empty = [column for column in COLUMNS if not line.cells[column]]
    if empty:
        return f"{' and '.join(empty).capitalize()} {'are' if len(empty) > 1 else 'is'} empty. Fill in all three."
    heat = next((heat for heat in plan.heats if key(heat.id) == key(line.cells["heat"])), None)
    if heat is None:
        near = suggestion(line.cells["heat"], [heat.id for heat in plan.heats])
        return f"The plan has no heat {quoted(line.cells['heat'])}. {near}".strip()
    team = next((team for team, names in _teams(heat, plan) if key(line.cells["team"]) in names), None)
    if team is None:
        return f"No team {quoted(line.cells['team'])} stands in heat {heat.id}: write {' or '.join(heat.teams)}."
    if not _NUMBER.fullmatch(line.cells["points"]):
        return f"{quoted(line.cells['points'])} is no number of points. Write one such as 128 or 62.5."
    points = Fraction(line.cells["points"].replace(",", "."))
    division = plan.event.division(heat.division)
    most = division.counting * division.calls * division.points.call
    if points > most:
        return f"{words.number(points)} is more than the {most} points that a team can make in heat {heat.id}."
    return HeatTotal(heat.id, team, points)


def _teams(heat: Heat, plan: Plan) -> Iterator[tuple[str, set[str]]]:
    """Each team of a heat, and what it may be called there."""
    names = [key(plan.team[team].name) for team in heat.teams]
    for team, name in zip(heat.teams, names, strict=True):
        yield team, {key(team), *([name] if names.count(name) == 1 else [])}


def _contradictions(taken: dict[int, HeatTotal]) -> dict[int, str]:
    """Line -> what is wrong, for lines that give one team two totals in one heat."""
    found: dict[int, str] = {}
    for number, total in taken.items():
        for other, same in taken.items():
            if (same.heat, same.team) == (total.heat, total.team) and same.points != total.points:
                found[number] = (
                    f"Line {other} has another total of {total.team} in heat {total.heat}. Take the wrong one out."
                )
                break
    return found
