"""A division's finals as a page: the bracket drawn, then every heat in words."""

from collections.abc import Mapping
from dataclasses import dataclass

from tourney.model.bracket import Bracket, BracketHeat
from tourney.model.people import Roster
from tourney.model.plan import Plan
from tourney.papers.bracket_drawing import bracket_drawings
from tourney.papers.bracket_table import SeatRow, line_table, seat_rows
from tourney.papers.bracket_tree import TABLES
from tourney.papers.file_names import file_name
from tourney.papers.page_writer import Page, Writer
from tourney.papers.paging import LEADING, Sheet, Words, in_pages
from tourney.papers.text_cells import MM_PER_POINT
from tourney.papers.views import Hall

LINE = 11 * LEADING * MM_PER_POINT
TABLE_HEAD_MM, NOTE_MM = 8.0, 6.0


@dataclass(frozen=True, slots=True)
class HeatRow:
    """One heat in words. where: time and room, empty until it is drawn."""

    name: str
    where: str
    seats: tuple[SeatRow, ...]


def bracket_page(plan: Plan, roster: Roster, bracket: Bracket, names: Mapping[str, str]) -> Page:
    """The page of one division; its path is below results/. names: team id -> name.

    roster: may lack every child's name, since none is shown.
    """
    hall, write = Hall(plan, roster), Writer(plan)
    sheet = write.tall

    def where(heat: BracketHeat) -> str:
        start = [hall.clock(wave.start) for wave in plan.waves if wave.id == heat.wave]
        return ", ".join([*start, *([heat.room] if heat.room else [])])

    in_line = bracket.kind in TABLES
    drawn = () if in_line else bracket_drawings(bracket, names, where, sheet.width, sheet.room)
    ordered = sorted(bracket.heats, key=lambda heat: heat.stage)
    rows = [HeatRow(heat.name, where(heat), seat_rows(bracket, heat, names)) for heat in ordered]
    notes = sum(Words(note, sheet.width).mm + 2 for note in bracket.footnotes)
    return write(
        f"bracket_{file_name(bracket.division)}.html",
        "bracket.html",
        "Finals",
        division=hall.divisions[bracket.division],
        pictures=in_pages(drawn, lambda picture: picture.height, sheet.room) if drawn else (),
        line=line_table(bracket, names) if in_line else None,
        sheets=in_pages(rows, lambda row: _heat_mm(row, sheet), sheet.room - TABLE_HEAD_MM - NOTE_MM - notes),
        footnotes=bracket.footnotes,
    )


def _heat_mm(row: HeatRow, sheet: Sheet) -> float:
    """Height of a heat in the list, in mm."""
    width = sheet.width - 42 - 42 - 26 - 4
    seats = sum(max(LINE, Words(f"{seat.who} ✓", width, bold=True).mm) for seat in row.seats)
    return max(seats, Words(row.name, 38, bold=True).mm, Words(row.where, 38).mm) + 3.3
