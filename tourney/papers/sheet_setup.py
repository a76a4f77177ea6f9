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
from tourney.papers.sheet_facts import SheetFacts
from tourney.papers.sheet_formulas import FIX, address, area, tick_allowed, unreadable
from tourney.papers.sheet_grid import (
    BOTTOM,
    CALLS_ROW,
    COUNTED,
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
from tourney.papers.text_cells import corner

_PROMPT = "; ".join(f"{letter} {meaning}" for letter, meaning in LETTERS.items())
_LINE = Side(style="thin", color=DARK)
# Seen by border, weight and an exclamation mark as well as by shade.
_LOUD = DifferentialStyle(
    font=Font(b=True, color="FFFFFF"),
    fill=PatternFill(bgColor=DARK, fill_type="solid"),
    border=Border(_LINE, _LINE, _LINE, _LINE),
    numFmt=NumberFormat(numFmtId=164, formatCode='General;General;General;"! "@'),
)


def set_up(sheet: Worksheet, grid: Grid, facts: SheetFacts) -> None:
    """Everything of a sheet but its cells."""
    marks = area(FIRST_LINE, FIRST_CALL, grid.last_line, grid.last_call)
    ticks = area(grid.judged_row, FIRST_CALL, grid.judged_row, grid.last_call)
    _define_names(sheet, grid, marks, ticks)
    _prompts(sheet, marks, ticks)
    _warnings(sheet, grid, marks)
    sheet.protection.enable()
    sheet.sheet_view.showGridLines = False
    first = f"{sheet.cell(FIRST_LINE, FIRST_CALL).coordinate}"
    sheet.freeze_panes = first
    corner_pane = Selection(pane="bottomRight", activeCell=first, sqref=first)
    sheet.sheet_view.selection = [Selection(pane="topRight"), Selection(pane="bottomLeft"), corner_pane]
    _print(sheet, grid, facts)


def _define_names(sheet: Worksheet, grid: Grid, marks: str, ticks: str) -> None:
    code_column = max(FIRST_CALL + 1, grid.last_column - len(COUNTED))
    places = {
        "sheet_code": address(TITLE_ROW, code_column),
        "line_numbers": area(FIRST_LINE, NUMBER_COLUMN, grid.last_line, NUMBER_COLUMN),
        "call_numbers": area(CALLS_ROW, FIRST_CALL, CALLS_ROW, grid.last_call),
        "marks": marks,
        "judged": ticks,
        "judge_initials": address(LEGEND_ROW, NAME_COLUMN),
    }
    for name, place in places.items():
        sheet.defined_names[name] = DefinedName(name, attr_text=f"'{sheet.title}'!{place}")


def _prompts(sheet: Worksheet, marks: str, ticks: str) -> None:
    first_mark, first_tick = (block.split(":")[0].replace("$", "") for block in (marks, ticks))
    faults = DataValidation(type="custom", formula1=f"NOT({unreadable(first_mark)})", allow_blank=True)
    faults.promptTitle, faults.prompt = "Faults only", f"{_PROMPT}. Leave it empty when clean."
    faults.errorTitle = "Not a mark"
    faults.error = f"Use the letters {', '.join(COUNTED)}, one or more. Leave the box empty when the call was clean."
    tick = DataValidation(type="custom", formula1=tick_allowed(first_tick), allow_blank=True)
    tick.promptTitle, tick.prompt = "Judged", "An x once you have judged this call, clean or not."
    tick.errorTitle, tick.error = (
        "Not a tick",
        "Type x when you have judged this call. Leave it empty when you have not.",
    )
    for validation, cells in ((faults, marks), (tick, ticks)):
        validation.showInputMessage = validation.showErrorMessage = True
        validation.add(cells.replace("$", ""))
        sheet.add_data_validation(validation)


def _warnings(sheet: Worksheet, grid: Grid, marks: str) -> None:
    first_mark = marks.split(":")[0].replace("$", "")
    checks = area(grid.check_row, FIRST_CALL, grid.check_row, grid.last_call).replace("$", "")
    status = address(STATUS_ROW, NUMBER_COLUMN)
    for cells, condition in (
        (marks.replace("$", ""), unreadable(first_mark)),
        (checks, f'{checks.split(":")[0]}="{FIX}"'),
        (status.replace("$", ""), f'LEFT({status},3)="{FIX}"'),
    ):
        sheet.conditional_formatting.add(cells, FormatRule(type="expression", dxf=_LOUD, formula=[condition]))


def _print(sheet: Worksheet, grid: Grid, facts: SheetFacts) -> None:
    sheet.print_area = area(TITLE_ROW, NUMBER_COLUMN, grid.last_row, grid.last_column)
    sheet.page_setup.orientation = "landscape"
    sheet.page_setup.paperSize = PAPER_CODE[facts.paper]
    sheet.sheet_properties.pageSetUpPr = PageSetupProperties(fitToPage=True)
    sheet.page_setup.fitToWidth, sheet.page_setup.fitToHeight = grid.pages
    if grid.pages != (1, 1):
        sheet.print_title_rows = f"{CALLS_ROW}:{CALLS_ROW}"
        sheet.print_title_cols = "B:C"
    sheet.print_options.horizontalCentered = True
    margins = sheet.page_margins
    margins.left = margins.right = SIDE / MM_PER_INCH
    margins.top, margins.bottom = TOP / MM_PER_INCH, BOTTOM / MM_PER_INCH
    margins.header = margins.footer = 6 / MM_PER_INCH
    stamp, heat = facts.stamp, facts.heat
    # The middle of the head stays empty: there the clipboard grips.
    head: Any = sheet.oddHeader
    foot: Any = sheet.oddFooter
    for part, text in (
        (head.left, corner(f"{stamp.event}, {stamp.date}")),
        (head.right, corner(f"{facts.start}  {heat.room}  {facts.identity.code}")),
        (foot.left, f"Plan {stamp.revision}  ·  rules {stamp.rules}"),
        (foot.center, f"Calls {facts.call_mark}: must be the same on the caller's script"),
        (foot.right, f"{corner(facts.identity.code)}  ·  page &P of &N"),
    ):
        part.text, part.font, part.size = text, f"{FONT},Regular", 8
