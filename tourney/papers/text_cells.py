"""Text as cells and printed corners can safely hold it. Names are hostile until they have passed through here."""

import re
import unicodedata
from collections.abc import Collection

TITLE_LIMIT = 31  # characters in a sheet's title, and none of []:*?/\ (Office Open XML as spreadsheet programs keep it)
CORNER_LIMIT = 64  # characters: all three corners with their commands may have 255 (spreadsheet programs; no source)
MM_PER_POINT = 25.4 / 72
BROAD = 0.95  # ems of an M or a W, bold ones too
_NO_XML = re.compile("[^\t\n\r\u0020-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")  # XML 1.0, production Char


def clean(text: str) -> str:
    """Text without the characters that no workbook can hold."""
    return _NO_XML.sub("", text)


def corner(text: str) -> str:
    """Text for a header or footer: short, in one line, and without a single &, which would begin a command."""
    doubled = " ".join(clean(text).split()).replace("&", "&&")[:CORNER_LIMIT]
    return doubled[:-1] if doubled.count("&") % 2 else doubled


def sheet_title(text: str, taken: Collection[str]) -> str:
    """A sheet title from people's words: short, clean, and unlike those taken, in whatever case."""
    stem = re.sub(r"[\s\[\]:*?/\\]", " ", clean(text)).strip(" '") or "Sheet"
    used = {title.casefold() for title in taken}
    title, number = _cut(stem, TITLE_LIMIT), 2
    while title.casefold() in used:
        ending = f" {number}"
        title, number = _cut(stem, TITLE_LIMIT - len(ending)) + ending, number + 1
    return title


def _cut(text: str, limit: int) -> str:
    """The beginning of a text, in no more than so many UTF-16 units, which is what spreadsheet programs count."""
    return text.encode("utf-16-le")[: 2 * limit].decode("utf-16-le", "ignore").rstrip(" '")


def text_width(text: str, points: float, *, bold: bool = False) -> float:
    """About how wide a line of text prints, in mm.

    Wide East Asian letters take one em, M and W nearly as much, all others on average half of one: in a line of many
    letters the capitals of a few words don't count, in a name of capitals they do.
    """
    usual = 0.57 if bold else 0.49
    broad = sum(map(text.count, "MW"))
    ems = (len(text) - broad) * usual + broad * BROAD
    if not text.isascii():
        ems += (1 - usual) * sum(unicodedata.east_asian_width(letter) in "WF" for letter in text)
    return ems * points * MM_PER_POINT
