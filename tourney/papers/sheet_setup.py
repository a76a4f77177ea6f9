"""What makes a score sheet easy to fill: names for other programs, protection, prompts, frozen head, one page."""

from typing import Any

from openpyxl.formatting.rule import Rule as FormatRule
from openpyxl.styles import Border, Font, PatternFill, Side
from openpyxl.styles.differential import DifferentialStyle
from openpyxl.styles.numbers import NumberFormat
from openpyxl.workbook.defined_name import DefinedName
from openpyxl.worksheet.datavalidation import DataValidation
from openpyxl.worksheet.properties import PageSetupProperties
from openpyxl.worksheet.views import Selection
from openpyxl.worksheet.worksheet import Worksheet

from tourney.model.sheet import LETTERS
from tourney.model.sheet_layout import TICK
from tourney.papers.cells import cell_name
from tourney.papers.sheet_formulas import FIX, address, area, unreadable
from tourney.papers.sheet_gaps import FOOT_CENTER, FOOT_LEFT, FOOT_RIGHT, HEAD_LEFT, HEAD_RIGHT
from tourney.papers.sheet_grid import (
    BOTTOM,
    CALLS_ROW,
    FIRST_CALL,
    FIRST_LINE,
    LEGEND_ROW,
    NAME_COLUMN,
    NUMBER_COLUMN,
    SIDE,
    STATUS_ROW,
    TITLE_ROW,
    TOP,
    Grid,
)
from tourney.papers.sheet_style import DARK, FONT, MM_PER_INCH, PAPER_CODE

_PROMPT = "; ".join(f"{letter} {meaning}" for letter, meaning in LETTERS.items())
_LINE = Side(style="thin", color=DARK)
# Seen by border, weight and an exclamation mark as well as by shade.
_LOUD = DifferentialStyle(
    font=Font(b=True, color="FFFFFF"),
    fill=PatternFill(bgColor=DARK, fill_type="solid"),
    border=Border(_LINE, _LINE, _LINE, _LINE),
    numFmt=NumberFormat(numFmtId=164, formatCode='General;General;General;"! "@'),
)


def name_places(sheet: Worksheet, grid: Grid) -> None:
    """What a workbook keeps of each of its sheets: the names by which programs find entries, and what prints."""
    places = {
        "sheet_code": address(TITLE_ROW, grid.code_column),
        "line_numbers": area(FIRST_LINE, NUMBER_COLUMN, grid.last_line, NUMBER_COLUMN),
        "call_numbers": area(CALLS_ROW, FIRST_CALL, CALLS_ROW, grid.last_call),
        "marks": _marks(grid),
        "judged": area(grid.judged_row, FIRST_CALL, grid.judged_row, grid.last_call),
        "judge_initials": address(LEGEND_ROW, NAME_COLUMN),
    }
    for name, place in places.items():
        sheet.defined_names[name] = DefinedName(name, attr_text=f"'{sheet.title}'!{place}")
    sheet.print_area = area(TITLE_ROW, NUMBER_COLUMN, grid.last_row, grid.last_column)
    if grid.pages != (1, 1):
        sheet.print_title_rows = f"{CALLS_ROW}:{CALLS_ROW}"
        sheet.print_title_cols = "B:C"


def set_up(sheet: Worksheet, grid: Grid) -> None:
    """Everything of a sheet's own but its cells."""
    _prompts(sheet, grid)
    _warnings(sheet, grid)
    sheet.protection.enable()
    sheet.sheet_view.showGridLines = False
    first = cell_name(FIRST_LINE, FIRST_CALL)
    sheet.freeze_panes = first
    corner_pane = Selection(pane="bottomRight", activeCell=first, sqref=first)
    sheet.sheet_view.selection = [Selection(pane="topRight"), Selection(pane="bottomLeft"), corner_pane]
    _print(sheet, grid)


def _marks(grid: Grid) -> str:
    return area(FIRST_LINE, FIRST_CALL, grid.last_line, grid.last_call)


def _prompts(sheet: Worksheet, grid: Grid) -> None:
    """Lists to choose from. They stop nobody: letters may be typed together, and what is wrong shows at once."""
    ticks = f"{cell_name(grid.judged_row, FIRST_CALL)}:{cell_name(grid.judged_row, grid.last_call)}"
    several = f"{_PROMPT}. Several letters may stand together. Leave it empty when clean."
    for cells, words, title, prompt in (
        (_marks(grid).replace("$", ""), ",".join(LETTERS), "Faults only", several),
        (ticks, TICK, "Judged", f"An {TICK} once you have judged this call, clean or not."),
    ):
        offered = DataValidation(type="list", formula1=f'"{words}"', allow_blank=True, showInputMessage=True)
        offered.promptTitle, offered.prompt = title, prompt
        offered.add(cells)
        sheet.add_data_validation(offered)


def _warnings(sheet: Worksheet, grid: Grid) -> None:
    checks = f"{cell_name(grid.check_row, FIRST_CALL)}:{cell_name(grid.check_row, grid.last_call)}"
    status = cell_name(STATUS_ROW, NUMBER_COLUMN)
    marks = _marks(grid).replace("$", "")
    for cells, condition in (
        *((marks, condition) for condition in unreadable(cell_name(FIRST_LINE, FIRST_CALL))),
        (checks, f'{checks.split(":")[0]}="{FIX}"'),
        (status, f'LEFT({status},{len(FIX)})="{FIX}"'),
    ):
        sheet.conditional_formatting.add(cells, FormatRule(type="expression", dxf=_LOUD, formula=[condition]))


def _print(sheet: Worksheet, grid: Grid) -> None:
    sheet.page_setup.orientation = "landscape"
    sheet.page_setup.paperSize = PAPER_CODE[grid.paper]
    sheet.sheet_properties.pageSetUpPr = PageSetupProperties(fitToPage=True)
    sheet.page_setup.fitToWidth, sheet.page_setup.fitToHeight = grid.pages
    sheet.print_options.horizontalCentered = True
    margins = sheet.page_margins
    margins.left = margins.right = SIDE / MM_PER_INCH
    margins.top, margins.bottom = TOP / MM_PER_INCH, BOTTOM / MM_PER_INCH
    margins.header = margins.footer = 6 / MM_PER_INCH
    # The middle of the head stays empty: there the clipboard grips.
    head: Any = sheet.oddHeader
    foot: Any = sheet.oddFooter
    for part, gap in (
        (head.left, HEAD_LEFT),
        (head.right, HEAD_RIGHT),
        (foot.left, FOOT_LEFT),
        (foot.center, FOOT_CENTER),
        (foot.right, FOOT_RIGHT),
    ):
        part.text, part.font, part.size = gap.mark(), f"{FONT},Regular", 8
