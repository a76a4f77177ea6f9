"""Finals as a workbook: points are typed beside the teams of a heat, and whoever goes on appears in the next one."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from pathlib import Path
from typing import Any

from openpyxl.formatting.rule import Rule as FormatRule
from openpyxl.styles import Font
from openpyxl.styles.differential import DifferentialStyle
from openpyxl.utils import get_column_letter
from openpyxl.worksheet.datavalidation import DataValidation

from tourney.model.bracket import Bracket, BracketHeat, Source
from tourney.model.plan import Plan
from tourney.papers.bracket_seats import (
    ABSENT,
    AHEAD,
    DRILL_OFF,
    EXTRA,
    KEY,
    LEVEL,
    NEXT,
    PLACE,
    POINTS,
    Block,
    Ways,
    as_number,
    entries_of,
)
from tourney.papers.bracket_tree import TABLES, Node, came_from, trees
from tourney.papers.cells import Formula
from tourney.papers.sheet_style import PALE, Look, column_width
from tourney.papers.stamp import Stamp
from tourney.papers.table_sheet import REMARK, REMARK_ROW, TITLE, TITLE_ROW, fit_pages, stamp_pages
from tourney.papers.workbook import Sheet, Workbook

HOW = (
    f"Type points beside each team, {ABSENT} for a team that did not stand. Level points show “{DRILL_OFF}”: "
    "hold it, and type its result in the next column, more is better."
)
SEED_COLUMN, TEAM_COLUMN, FIRST_COLUMN = 1, 2, 4
FIRST_ROW = 4
STAGES_A_PAGE = 4
_SECTION = Look(12, bold=True)
_HEADING = Look(9, bold=True, fill=PALE, rules=("", "", "medium", "light"))
_CELL = Look(10, shrink=True, rules=("light", "light", "light", "light"))
_ENTRY = replace(_CELL, across="center", shrink=False, entry=True, rules=("medium", "medium", "thin", "thin"))
_PLACE = replace(_CELL, across="center", bold=True)
_BOLD = DifferentialStyle(font=Font(b=True))
_WIDTHS = {0: 46.0, POINTS: 15.0, EXTRA: 17.0, PLACE: 17.0, NEXT - 1: 5.0}  # mm


def write_bracket_book(path: Path, plan: Plan, brackets: Sequence[Bracket], names: Mapping[str, str]) -> None:
    """Write the finals of every division, a sheet each. names: team id -> name.

    FileTrouble when the file is open elsewhere or the folder is read-only.
    """
    stamp = Stamp.of(plan)
    workbook = Workbook(f"{stamp.event}: finals", plan.event.date)
    for bracket in brackets:
        sheet = workbook.add(bracket.division)
        stages = _Desk(sheet, bracket, names).write()
        fit_pages(sheet, plan.event.day.paper, headings=False)
        sheet.frame.page_setup.fitToWidth = -(-stages // STAGES_A_PAGE)
        stamp_pages(sheet, stamp, "Finals")
    workbook.save(path)


class _Desk:
    """Writes one division's sheet."""

    def __init__(self, sheet: Sheet, bracket: Bracket, names: Mapping[str, str]) -> None:
        self._sheet, self._bracket, self._names = sheet, bracket, names
        self._heats = {heat.id: heat for heat in bracket.heats}
        self._blocks: dict[str, Block] = {}
        self._teams: dict[str, list[str]] = {}  # names as they stand in the seats of each heat

    def write(self) -> int:
        """Seeds at the left, then every heat; how many stages stand side by side."""
        self._seeds()
        for heat, row, stage in self._layout():
            ways = Ways.of(self._bracket, heat)
            column = FIRST_COLUMN + NEXT * stage
            self._blocks[heat.id] = Block(heat, row, column, ways, entries_of(heat, ways))
        for block in sorted(self._blocks.values(), key=lambda block: block.heat.stage):
            self._heat(block)
        stages = 1 + max(block.column - FIRST_COLUMN for block in self._blocks.values()) // NEXT
        self._set_up(stages)
        return stages

    def _seeds(self) -> None:
        put = self._sheet.put
        put(TITLE_ROW, 1, f"{self._bracket.division}: finals", TITLE)
        put(REMARK_ROW, 1, HOW, REMARK)
        put(FIRST_ROW, SEED_COLUMN, "Seed", replace(_HEADING, across="center"))
        put(FIRST_ROW, TEAM_COLUMN, "Team", _HEADING)
        for seed, team in enumerate(self._bracket.seeds, 1):
            put(FIRST_ROW + seed, SEED_COLUMN, seed, _PLACE)
            put(FIRST_ROW + seed, TEAM_COLUMN, self._names[team], _CELL)
        for row, note in enumerate(self._bracket.footnotes, FIRST_ROW + len(self._bracket.seeds) + 2):
            put(row, SEED_COLUMN, note, REMARK)

    def _layout(self) -> Iterator[tuple[BracketHeat, int, int]]:
        """Each heat with the row of its heading and its column among the stages."""
        if self._bracket.kind in TABLES:
            yield from ((heat, FIRST_ROW, at) for at, heat in enumerate(self._bracket.heats))
            return
        top = FIRST_ROW
        for tree in trees(self._bracket):
            if tree.title:
                self._sheet.put(top, FIRST_COLUMN, tree.title, _SECTION)
                top += 1
            yield from _placed(tree.root, top)
            top += _height(tree.root) + 1

    def _heat(self, block: Block) -> None:
        heat, put = block.heat, self._sheet.put
        for what, words in ((0, heat.name), (POINTS, "Points"), (EXTRA, "Drill-off"), (PLACE, "Place")):
            put(block.row, block.column + what, words, replace(_HEADING, across="center") if what else _HEADING)
        contents = [self._seat(heat, source, team) for source, team in zip(heat.sources, heat.teams, strict=True)]
        self._teams[heat.id] = [str(found.value if isinstance(found, Formula) else found) for found in contents]
        for seat, content in enumerate(contents):
            row, points = block.row + 1 + seat, block.entries.points[seat]
            put(row, block.column, content, _CELL)
            typed = points if points is None or isinstance(points, str) else as_number(points)
            put(row, block.column + POINTS, typed, _ENTRY)
            put(row, block.column + EXTRA, block.entries.extra[seat], _ENTRY)
            for what, formula in block.workings(seat):
                put(row, block.column + what, formula, _PLACE)

    def _seat(self, heat: BracketHeat, source: Source, team: str | None) -> Formula | str:
        """Who sits there, by formula; as plain text where it is another team than the points would bring."""
        if source.seed is not None:
            row, seeded = FIRST_ROW + source.seed, self._bracket.seeds[source.seed - 1]
            found = Formula(f"={get_column_letter(TEAM_COLUMN)}{row}", self._names[seeded])
        else:
            before = self._blocks[source.heat]
            otherwise, names = came_from(source, self._heats), self._teams[source.heat]
            deciding = heat.side == before.heat.side == "deciding"
            found = before.taker(source.place, otherwise, names, deciding=deciding)
        return self._names[team] if team and self._names[team] != found.value else found

    def _set_up(self, stages: int) -> None:
        """Widths, what may be typed, and what stands out once it is decided."""
        frame: Any = self._sheet.frame
        frame.sheet_view.showGridLines = False
        frame.freeze_panes = f"A{FIRST_ROW}"
        frame.protection.enable()
        for column, width in ((SEED_COLUMN, 12.0), (TEAM_COLUMN, _WIDTHS[0]), (FIRST_COLUMN - 1, _WIDTHS[NEXT - 1])):
            frame.column_dimensions[get_column_letter(column)].width = column_width(width)
        for start in (FIRST_COLUMN + NEXT * stage for stage in range(stages)):
            for what, width in _WIDTHS.items():
                frame.column_dimensions[get_column_letter(start + what)].width = column_width(width)
            for what in (KEY, AHEAD, LEVEL):
                frame.column_dimensions[get_column_letter(start + what)].hidden = True
        offered = DataValidation(type="decimal", operator="greaterThanOrEqual", formula1="0", allow_blank=True)
        offered.showErrorMessage = False  # a dash may stand there too
        offered.promptTitle, offered.prompt = "Points", f"Of this team in this heat; {ABSENT} if it did not stand."
        for block in self._blocks.values():
            offered.add(block.area(POINTS))
            on = max(1, block.heat.moves_on)
            first = block.cell(0, PLACE)
            ahead = FormatRule(type="expression", dxf=_BOLD, formula=[f"AND(ISNUMBER({first}),{first}<={on})"])
            frame.conditional_formatting.add(block.area(), ahead)
        frame.add_data_validation(offered)


def _height(node: Node) -> int:
    """Rows that a heat and all before it take, with one free beneath."""
    return max(2 + len(node.seats), sum(_height(seat) for seat in node.seats if isinstance(seat, Node)))


def _placed(node: Node, top: int) -> Iterator[tuple[BracketHeat, int, int]]:
    """A heat in the middle of those before it."""
    before = [seat for seat in node.seats if isinstance(seat, Node)]
    rows, own = _height(node), 2 + len(node.seats)
    at = top + (rows - sum(map(_height, before))) // 2
    for seat in before:
        yield from _placed(seat, at)
        at += _height(seat)
    yield node.heat, top + (rows - own) // 2, node.column
