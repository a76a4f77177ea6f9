"""The look that all workbooks share: one typeface, greys that copy well, rules instead of colours."""

from dataclasses import dataclass
from datetime import date as Date
from datetime import datetime, time
from io import BytesIO
from pathlib import Path
from typing import Any, Literal
from zipfile import ZIP_DEFLATED, ZipFile, ZipInfo

from openpyxl import Workbook
from openpyxl.cell.cell import Cell, MergedCell
from openpyxl.cell.rich_text import CellRichText
from openpyxl.styles import Alignment, Border, Font, PatternFill, Protection, Side
from openpyxl.utils.indexed_list import IndexedList
from openpyxl.worksheet.cell_range import CellRange
from openpyxl.worksheet.worksheet import Worksheet
from openpyxl.writer.excel import ExcelWriter

from tourney.files import save
from tourney.papers.text_cells import put_text

FONT = "Arial"  # on every machine, or with a stand-in of the same widths; so columns are as wide everywhere
PALE, SOFT, MIDDLE, DARK = "F2F2F2", "D9D9D9", "A6A6A6", "262626"
PAPER_CODE = {"A4": 9, "Letter": 1}  # ECMA-376 part 1, 18.3.1.63 (pageSetup, paperSize)
PAPER_MM = {"A4": (297.0, 210.0), "Letter": (279.4, 215.9)}  # landscape, ISO 216 and ANSI/ASME Y14.1
MM_PER_INCH = 25.4
_PIXELS_PER_CHARACTER = 7  # the widest digit of Arial 10 at 96 dots an inch
NO_DAY = Date(2000, 1, 1)  # of files that are made before the event has a date
_NO_TIME = (1980, 1, 1, 0, 0, 0)

Rule = Literal["", "light", "thin", "medium", "thick"]
Rules = tuple[Rule, Rule, Rule, Rule]


@dataclass(frozen=True, slots=True)
class Look:
    """How a cell looks. size: points. rules: left, right, top, bottom. entry: may be typed into when protected."""

    size: float = 10
    bold: bool = False
    ink: str = DARK
    fill: str = ""
    across: Literal["left", "center", "right"] = "left"
    up: Literal["top", "center", "bottom"] = "center"
    wrap: bool = False
    shrink: bool = False
    indent: int = 0
    number: str = "General"
    rules: Rules = ("", "", "", "")
    entry: bool = False


class Painter:
    """Writes cells of one workbook. A look is turned into a style once and then shared, which is what makes it fast."""

    def __init__(self, workbook: Workbook) -> None:
        self._scratch = Cell(workbook.worksheets[0], row=1, column=1)
        self._made: dict[Look, object] = {}

    def dress(self, cell: Cell | MergedCell, look: Look) -> None:
        """Give a cell its look, and leave what it holds."""
        keeper: Any = cell  # openpyxl offers no open way to share a style, only to compute it anew for every cell
        keeper._style = self._style(look)

    def text(self, cell: Cell, text: str, look: Look) -> None:
        """Write text that stays text."""
        put_text(cell, text)
        self.dress(cell, look)

    def put(self, cell: Cell, value: float | Date | CellRichText | None, look: Look) -> None:
        """Write a number, a day, text in several sizes, or nothing."""
        cell.value = value
        self.dress(cell, look)

    def formula(self, cell: Cell, formula: str, look: Look) -> None:
        """Write a formula, which begins with `=`."""
        cell.value = formula
        self.dress(cell, look)

    def merge(self, sheet: Worksheet, row: int, first: int, last: int, look: Look) -> Cell:
        """Join the cells of a row from column `first` to `last`; returns the one that holds the content."""
        for column in range(first, last + 1) if look.fill or any(look.rules) else ():
            self.dress(sheet.cell(row, column), look)
        if last > first:
            # Not merge_cells, which takes a third of all the time to redraw borders that are drawn here already.
            sheet.merged_cells.add(CellRange(min_row=row, min_col=first, max_row=row, max_col=last).coord)
        cell = sheet.cell(row, first)
        assert isinstance(cell, Cell)
        return cell

    def _style(self, look: Look) -> object:
        if look not in self._made:
            cell: Any = self._scratch
            cell.font = Font(name=FONT, size=look.size, bold=look.bold, color=look.ink)
            cell.fill = PatternFill("solid", start_color=look.fill) if look.fill else PatternFill()
            cell.alignment = Alignment(
                horizontal=look.across,
                vertical=look.up,
                wrap_text=look.wrap,
                shrink_to_fit=look.shrink,
                indent=look.indent,
            )
            left, right, top, bottom = map(_side, look.rules)
            cell.border = Border(left, right, top, bottom)
            cell.number_format = look.number
            cell.protection = Protection(locked=not look.entry)
            self._made[look] = cell._style
            self._scratch = Cell(cell.parent, row=1, column=1)
        return self._made[look]


def _side(rule: Rule) -> Side:
    return Side(style="thin", color=MIDDLE) if rule == "light" else Side(style=rule or None, color=DARK)


def new_workbook(title: str, day: Date = NO_DAY) -> Workbook:
    """An empty workbook in the family's typeface. day: stands in the file's properties instead of the present time."""
    workbook = Workbook()
    font = Font(name=FONT, size=10)
    styles: Any = workbook
    styles._fonts = IndexedList([font])
    styles._named_styles["Normal"].font = font  # column widths are counted in its digits
    workbook.properties.title = title
    workbook.properties.creator = "tourney"
    workbook.properties.created = datetime.combine(day, time())
    return workbook


def save_workbook(path: Path, workbook: Workbook) -> None:
    """Write a workbook; the same content gives the same bytes. FileTrouble when the file is open elsewhere."""
    workbook.properties.modified = workbook.properties.created
    draft = BytesIO()
    ExcelWriter(workbook, ZipFile(draft, "w")).save()

    def write(target: Path) -> None:
        with ZipFile(draft) as parts, ZipFile(target, "w") as archive:
            for name in parts.namelist():
                archive.writestr(ZipInfo(name, _NO_TIME), parts.read(name), ZIP_DEFLATED)

    save(path, write)


def column_width(mm: float) -> float:
    """A column's width in the unit of workbooks, from mm on paper, in whole screen dots."""
    return round(mm / MM_PER_INCH * 96) / _PIXELS_PER_CHARACTER


def row_height(mm: float) -> float:
    """A row's height in points, from mm on paper, in whole screen dots."""
    return round(mm / MM_PER_INCH * 96) * 0.75
