"""Text as cells and printed corners can safely hold it. Names are hostile until they have passed through here."""

import re
import unicodedata
from collections.abc import Collection
from functools import cache

from openpyxl.cell.cell import ILLEGAL_CHARACTERS_RE, Cell
from openpyxl.cell.rich_text import CellRichText, TextBlock
from openpyxl.cell.text import InlineFont

TITLE_LIMIT = 31  # characters in a sheet's title, and none of []:*?/\ (Office Open XML as spreadsheet programs keep it)
MM_PER_POINT = 25.4 / 72


def clean(text: str) -> str:
    """Text without the control characters that no workbook can hold."""
    return ILLEGAL_CHARACTERS_RE.sub("", text)


def put_text(cell: Cell, text: str) -> None:
    """Write text that stays text, whatever it begins with: `=`, `+`, `-`, `@` or `#N/A`."""
    cell.value = clean(text)
    cell.data_type = "s"


@cache
def runs(font: str, *parts: tuple[str, float, bool]) -> CellRichText:
    """Text in several sizes within one cell. parts: (text, points, bold)."""
    return CellRichText(
        [TextBlock(InlineFont(rFont=font, sz=size, b=bold or None), clean(text)) for text, size, bold in parts if text]
    )


def corner(text: str) -> str:
    """Text for a header or footer, where a single & would begin a command."""
    return clean(text).replace("&", "&&")


def sheet_title(text: str, taken: Collection[str]) -> str:
    """A sheet title from people's words: short, clean, and unlike those taken, in whatever case."""
    stem = re.sub(r"[\[\]:*?/\\]", " ", clean(text)).strip(" '") or "Sheet"
    used = {title.casefold() for title in taken}
    title, number = stem[:TITLE_LIMIT], 2
    while title.casefold() in used:
        ending = f" {number}"
        title, number = stem[: TITLE_LIMIT - len(ending)] + ending, number + 1
    return title


def text_width(text: str, points: float, *, bold: bool = False) -> float:
    """About how wide a line of text prints, in mm: wide East Asian letters one em, others a little over half of one."""
    usual = 0.57 if bold else 0.49
    ems = sum(1.0 if unicodedata.east_asian_width(letter) in "WF" else usual for letter in text)
    return ems * points * MM_PER_POINT
