"""The tie-break workings: a block a group of level teams, a column a criterion, what settled a place in a frame."""

from collections.abc import Iterator, Sequence
from dataclasses import replace

from openpyxl.utils import get_column_letter

from tourney.model.people import Roster
from tourney.model.standing import Asked, LevelGroup, Results, TeamStanding
from tourney.papers.cells import Content
from tourney.papers.sheet_style import Look, column_width
from tourney.papers.standings_table import place_shown
from tourney.papers.table_sheet import (
    BODY,
    HEADING,
    REMARK,
    REMARK_ROW,
    TITLE,
    TITLE_ROW,
    Field,
    Shown,
    number,
    write_row,
)
from tourney.papers.workbook import Sheet
from tourney.scoring.words import ordinal

HOW = (
    "Read each row from left to right, in the order of the rules. The value in the heavy frame settled the place. "
    "A blank: the place was settled before."
)
NOBODY = "No teams are level on what ranks first, so no tie-break was needed."
_NAME = Look(12, bold=True)
_SAYS_NOTHING = "–"
_VALUE = replace(number(), across="center")
_DECIDING = replace(_VALUE, bold=True, rules=("medium", "medium", "medium", "medium"))
_FIRST = (Field("Place", 15), Field("Team", 48, replace(BODY, bold=True)), Field("Settled by", 36))
_COLUMN_MM = 34.0


def write_workings(sheet: Sheet, results: Results, roster: Roster) -> None:
    """Every group of level teams of every division, one beneath the other."""
    sheet.frame.sheet_view.showGridLines = False
    sheet.put(TITLE_ROW, 1, "Tie-break workings", TITLE)
    groups = [(found.division, group) for found in results.divisions for group in found.level]
    sheet.put(REMARK_ROW, 1, HOW if groups else NOBODY, REMARK)
    widest = max((len(group.asked) for _, group in groups), default=0)
    for column, field in enumerate(_fields(("",) * widest), 1):
        sheet.frame.column_dimensions[get_column_letter(column)].width = column_width(field.width)
    standings = {row.team: row for found in results.divisions for row in found.teams}
    row = REMARK_ROW + 2
    for division, group in groups:
        row = _write_group(sheet, row, division, group, standings, roster)
    sheet.frame.freeze_panes = "C3"


def _write_group(
    sheet: Sheet, row: int, division: str, group: LevelGroup, standings: dict[str, TeamStanding], roster: Roster
) -> int:
    """Write a block; the row in which the next one begins."""
    first, last = standings[group.teams[0]], standings[group.teams[-1]]
    span = _span(first.place, last.place)
    sheet.put(row, 1, f"{_where(division, first)}: {span}, level on {_words(group.asked[0])}", _NAME)
    fields = _fields([heading(asked) for asked in group.asked])
    headings = [
        Shown(field.heading, replace(HEADING, across=field.look.across, indent=field.look.indent)) for field in fields
    ]
    write_row(sheet, row + 1, fields, headings)
    row += 2
    for team in group.teams:
        write_row(sheet, row, fields, list(_cells(standings[team], group.asked, roster)))
        row += 1
    for asked in group.asked:
        if asked.note:
            note = f"{_words(asked).capitalize()}: {asked.note}."
            sheet.put(row, 2, note, REMARK)
            row += 1
    return row + 1


def _where(division: str, standing: TeamStanding) -> str:
    return f"{division}, pool {standing.pool}" if standing.pool else division


def _cells(standing: TeamStanding, asked: Sequence[Asked], roster: Roster) -> Iterator[Content | Shown]:
    yield place_shown(standing.place, shared=standing.shared)
    yield roster.team[standing.team].name
    settled = [_words(one) for one in asked if standing.team in one.deciding]
    yield "level to the end: shared" if standing.shared else "".join(settled)
    for one in asked:
        value = one.shown.get(standing.team, _SAYS_NOTHING if one.note else "")
        # A whole number is one, so that no program remarks on a number that is text.
        content = int(value) if value.isdecimal() else value
        yield Shown(content, _DECIDING if standing.team in one.deciding else _VALUE)


def heading(asked: Asked) -> str:
    """The criterion, and what its values count where the words don't say that already."""
    name = _words(asked).capitalize()
    return name if not asked.unit or asked.unit == _words(asked) else f"{name}\n{asked.unit}"


def _words(asked: Asked) -> str:
    again = {0: "", 1: ", asked again"}.get(asked.again, f", asked again ({asked.again})")
    return asked.criterion.replace("_", " ") + again


def _fields(headings: Sequence[str]) -> tuple[Field, ...]:
    return (*_FIRST, *(Field(text, _COLUMN_MM, _VALUE) for text in headings))


def _span(best: int, worst: int) -> str:
    return ordinal(best) if best == worst else f"{ordinal(best)} to {ordinal(worst)}"
