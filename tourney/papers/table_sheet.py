"""A sheet that is a table: title, remark, headings, rows; ready to filter, to scroll and to print."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from math import ceil
from typing import Any

from openpyxl.utils import get_column_letter
from openpyxl.worksheet.properties import PageSetupProperties

from tourney.papers.cells import Content
from tourney.papers.sheet_style import FONT, MM_PER_INCH, PALE, PAPER_CODE, Look, column_width
from tourney.papers.stamp import Stamp
from tourney.papers.text_cells import corner, text_width
from tourney.papers.workbook import Sheet

TITLE_ROW, REMARK_ROW, MEANINGS_ROW, HEADINGS_ROW = 1, 2, 3, 4
FIRST_ROW = HEADINGS_ROW + 1
TITLE = Look(16, bold=True)
REMARK = Look(10, ink="595959")
HEADING = Look(9, bold=True, fill=PALE, wrap=True, rules=("", "", "medium", "medium"))
BODY = Look(10, up="top", wrap=True, indent=1, rules=("", "", "", "light"))
_AIR, _LEADING = 4.0, 1.22  # points above and below a row's text; height of a line in sizes
_MEANING = Look(8, ink="595959", up="bottom", wrap=True)
_READING = Look(10, up="top", wrap=True)
_PADDING = 4.0  # mm of a column that text can't use
MARGIN_MM = 12.0  # left and right of what is printed


@dataclass(frozen=True, slots=True)
class Shown:
    """A cell's content with a look of its own."""

    content: Content
    look: Look


@dataclass(frozen=True, slots=True)
class Field:
    """A column. width: mm. look: of its cells; the heading stands as the cells do."""

    heading: str
    width: float
    look: Look = BODY
    meaning: str = ""


def number(look: Look = BODY, *, bold: bool = False, pattern: str = "General") -> Look:
    """A look for numbers: to the right, unwrapped."""
    return replace(look, across="right", wrap=False, indent=0, bold=bold, number=pattern)


def write_table(
    sheet: Sheet,
    title: str,
    remark: str,
    fields: Sequence[Field],
    rows: Iterable[Sequence[Content | Shown]],
    fixed: int = 0,
    *,
    filtered: bool = True,
) -> None:
    """Write title, remark, headings and rows. A row holds as many things as there are fields.

    Meanings of the fields, where any has one, stand above the headings.

    fixed: columns that stay in sight when the rest is scrolled sideways.
    """
    frame = sheet.frame
    sheet.put(TITLE_ROW, 1, title, TITLE)
    sheet.put(REMARK_ROW, 1, remark, REMARK)
    for column, field in enumerate(fields, 1):
        frame.column_dimensions[get_column_letter(column)].width = column_width(field.width)
    if any(field.meaning for field in fields):
        write_row(sheet, MEANINGS_ROW, fields, [Shown(field.meaning, _MEANING) for field in fields])
    headings = [Shown(field.heading, _heading(field.look)) for field in fields]
    write_row(sheet, HEADINGS_ROW, fields, headings)
    last = HEADINGS_ROW
    for row in rows:
        last += 1
        write_row(sheet, last, fields, row)
    if filtered:
        frame.auto_filter.ref = f"A{HEADINGS_ROW}:{get_column_letter(len(fields))}{max(last, FIRST_ROW)}"
    frame.freeze_panes = f"{get_column_letter(1 + fixed)}{FIRST_ROW}"
    frame.sheet_view.showGridLines = False


def _heading(look: Look) -> Look:
    return replace(HEADING, across=look.across, indent=look.indent)


def write_row(sheet: Sheet, row: int, fields: Sequence[Field], values: Sequence[Content | Shown]) -> None:
    """Write one row, as high as its longest text needs: not every program finds that out by itself."""
    height = 0.0
    for column, (field, value) in enumerate(zip(fields, values, strict=True), 1):
        shown = value if isinstance(value, Shown) else Shown(value, field.look)
        sheet.put(row, column, shown.content, shown.look)
        height = max(height, text_height(shown.content, shown.look, field.width))
    sheet.height(row, height)


def text_height(content: Content, look: Look, width: float) -> float:
    """Points of height that content takes in a column of so many mm."""
    lines = 1
    if look.wrap and isinstance(content, str):
        lines = sum(
            max(1, ceil(text_width(part, look.size, bold=look.bold) / max(width - _PADDING, 1)))
            for part in content.split("\n")
        )
    return lines * look.size * _LEADING + _AIR


def fit_pages(sheet: Sheet, paper: str = "A4", *, headings: bool = True) -> None:
    """Landscape, as wide as the page; headings on every page."""
    frame = sheet.frame
    frame.page_setup.orientation = "landscape"
    frame.page_setup.paperSize = PAPER_CODE[paper]
    frame.sheet_properties.pageSetUpPr = PageSetupProperties(fitToPage=True)
    frame.page_setup.fitToWidth, frame.page_setup.fitToHeight = 1, 0
    if headings:
        frame.print_title_rows = f"{HEADINGS_ROW}:{HEADINGS_ROW}"
    margins = frame.page_margins
    margins.left = margins.right = MARGIN_MM / MM_PER_INCH
    margins.top = margins.bottom = 16 / MM_PER_INCH
    margins.header = margins.footer = 7 / MM_PER_INCH


def stamp_pages(sheet: Sheet, stamp: Stamp, state: str) -> None:
    """A head and a foot that say what the sheet was made from, and how final it is."""
    head: Any = sheet.frame.oddHeader
    foot: Any = sheet.frame.oddFooter
    for part, text in (
        (head.left, corner(f"{stamp.event}, {stamp.date}")),
        (head.right, corner(state)),
        (foot.left, f"Plan {stamp.revision}  ·  rules {stamp.rules}"),
        (foot.right, "&A  ·  page &P of &N"),
    ):
        part.text, part.font, part.size = text, f"{FONT},Regular", 8


def write_lines(sheet: Sheet, title: str, lines: Sequence[tuple[str, str]]) -> None:
    """A page of reading: a title, then pairs of a few bold words and what they say."""
    fields = (Field("", 48, replace(_READING, bold=True)), Field("", 175, _READING))
    sheet.frame.sheet_view.showGridLines = False
    for column, field in zip("AB", fields, strict=True):
        sheet.frame.column_dimensions[column].width = column_width(field.width)
    sheet.put(TITLE_ROW, 1, title, TITLE)
    for row, line in enumerate(lines, TITLE_ROW + 2):
        write_row(sheet, row, fields, line)
