"""Tables on paper: one page wide while that can be read, else on more, with the names on each of them."""

from collections.abc import Sequence

from openpyxl.utils import get_column_letter

from tourney.papers.sheet_style import PAPER_MM
from tourney.papers.table_sheet import MARGIN_MM, Field, fit_pages
from tourney.papers.workbook import Sheet

LEAST = 0.7  # of the size on a screen: what stands there in 10 points is printed in 7


def fit_table(sheet: Sheet, fields: Sequence[Field], paper: str = "A4", fixed: int = 0) -> None:
    """Landscape, headings on every page; on as few pages across as are legible, each program to its own widths.

    fixed: columns at the left that stand on each page, so that a row can be followed.
    """
    fit_pages(sheet, paper)
    frame = sheet.frame
    room = (PAPER_MM[paper][0] - 2 * MARGIN_MM) / LEAST
    frame.page_setup.fitToWidth = across = pages_across([field.width for field in fields], fixed, room)
    if across > 1:
        frame.page_setup.pageOrder = "overThenDown"
        if fixed:
            frame.print_title_cols = f"A:{get_column_letter(fixed)}"


def pages_across(widths: Sequence[float], fixed: int, room: float) -> int:
    """How many pages columns of these widths take, in order; the fixed ones are repeated. All in mm.

    A column that is wider than its page has one alone.
    """
    left = room - sum(widths[:fixed])
    pages, taken = 1, 0.0
    for width in widths[fixed:]:
        if taken and taken + width > left:
            pages, taken = pages + 1, 0.0
        taken += width
    return pages
