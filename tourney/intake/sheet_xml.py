"""What the workbook reader does not tell about a worksheet: formulas, error values, joined and far cells.

Element and attribute names are those of Office Open XML (ECMA-376, part 1, 18.3.1: sheetData, row, c, f, mergeCell).
"""

import re
from functools import lru_cache
from xml.parsers.expat import ExpatError, ParserCreate

from tourney.intake.grid import DAMAGED, MOST_COLUMNS, MOST_ROWS, Place, Unreadable, far_away

Doubts = dict[Place, str]
Merged = list[tuple[Place, Place]]

_MOST_MERGED = 1_000
_ATTRIBUTES = rb"(?:[^<>\"']|\"[^\"<]*\"|'[^'<]*')*"
_TAG = re.compile(rb"<(?:[\w.-]+:)?(row|c|f|mergeCell)(?:\s+r=\"([^\"<]*)\")?(?=[\s/>])(" + _ATTRIBUTES + rb")>")
_PLACE = re.compile(rb"\s(?:r|ref)\s*=\s*[\"']([^\"']*)[\"']")
_KIND = re.compile(rb"\st\s*=\s*[\"']([^\"']*)[\"']")
_KINDS = (b"b", b"d", b"e", b"inlineStr", b"n", b"s", b"str")  # 18.18.11, ST_CellType
_USUAL = re.compile(rb"(?: s=\"[0-9]+\")?(?: t=\"(?:b|inlineStr|n|s|str)\")?\s*/?")
_STRANGE = re.compile(rb"\s(?!(?:r|s|t|cm|vm|ph)\s*=)[\w:.-]+\s*=")  # attributes that no cell has
_CELL = re.compile(rb"([A-Za-z]{1,3})([1-9][0-9]{0,6})")
_ODD_PLACE = "This sheet is damaged: a cell has no proper place. Open the workbook, save it once more and hand that in."


def scan(part: bytes) -> tuple[Doubts, Merged]:
    """Odd cells and joined cells of a worksheet part. Unreadable where it is damaged or a filled cell lies far outside.

    It must come before the workbook reader, which sets aside memory for everything up to the farthest cell, and reads
    on past damage as if nothing had stood there.
    """
    check(part)
    doubts: Doubts = {}
    merged: Merged = []
    row, column = -1, -1
    end = part.rfind(b"sheetData>")  # later "f" elements belong to rules, not to cells
    for tag in _TAG.finditer(part):
        name, place, attributes = tag.groups()
        if name == b"f":
            if tag.start() < end:
                doubts[row, column] = "holds a formula"
            continue
        if place is None and (found := _PLACE.search(attributes)):
            place = found[1]
        if name == b"row":
            row, column = (row + 1 if place is None else _row(place)), -1
        elif name == b"mergeCell":
            first, _, last = (place or b"").partition(b":")
            merged.append((_place(first), _place(last or first)))
        else:
            row, column = (row, column + 1) if place is None else _place(place)
            if not _USUAL.fullmatch(attributes) and _shows_error(attributes):
                doubts[row, column] = "shows an error"
            if attributes.endswith(b"/"):
                continue
            if row >= MOST_ROWS or column >= MOST_COLUMNS:
                raise Unreadable(far_away((row, column)))
            if part[tag.end()] not in b"< \t\r\n":  # text stands in elements of the cell, never in the cell itself
                raise Unreadable(DAMAGED)
    if len(merged) > _MOST_MERGED:
        raise Unreadable("This sheet has far more joined cells than a score sheet. Fill a fresh copy of the sheet.")
    return doubts, merged


def _shows_error(attributes: bytes) -> bool:
    kind = _KIND.search(attributes)
    if _STRANGE.search(attributes) or (kind and kind[1] not in _KINDS):
        raise Unreadable(DAMAGED)
    return kind is not None and kind[1] == b"e"


def check(part: bytes) -> None:
    """Unreadable unless the part is well-formed XML."""
    try:
        ParserCreate().Parse(part, True)
    except ExpatError as reason:
        raise Unreadable(DAMAGED) from reason


def _row(text: bytes) -> int:
    if not (text.isdigit() and len(text) <= 7):
        raise Unreadable(_ODD_PLACE)
    return int(text) - 1


@lru_cache(maxsize=MOST_ROWS * MOST_COLUMNS)  # the sheets of a day have the same places
def _place(text: bytes) -> Place:
    found = _CELL.fullmatch(text)
    if not found:
        raise Unreadable(_ODD_PLACE)
    column = 0
    for letter in found[1].upper():
        column = column * 26 + letter - ord("A") + 1
    return int(found[2]) - 1, column - 1
