"""What the workbook reader does not tell about a worksheet: formulas, error values, joined and far cells.

Element and attribute names are those of Office Open XML (ECMA-376, part 1, 18.3.1: sheetData, row, c, f, mergeCell).
"""

import itertools
import re
from dataclasses import dataclass, field
from functools import lru_cache
from xml.parsers.expat import ExpatError, ParserCreate

from tourney.intake.grid import ERROR, FORMULA, TYPED, Place, Unreadable, check_near, column_number, damaged

_MOST_MERGED = 1_000
_PLACES_KEPT = 100_000  # the sheets of a day have the same places
_RUNS_KEPT = 5_000
_ATTRIBUTES = rb"(?:[^<>\"']|\"[^\"<]*\"|'[^'<]*')*"
_USUAL = rb"(?: s=\"[0-9]+\")?(?: t=\"(b|inlineStr|n|s|str)\")?\s*(/?)>"  # nothing odd about it, filled or not
_NAMED = rb"(row|c|f|mergeCell)(?:\s+r=\"([^\"<]*)\")?(?:" + _USUAL + rb"|(?=[\s/>])(" + _ATTRIBUTES + rb")>)"
_EMPTY = rb"c r=\"[A-Z]{1,3}[1-9][0-9]{0,6}\" s=\"[0-9]{1,6}\" ?/>"  # most cells of a score sheet
_RUN = rb"(" + _EMPTY + rb"(?:<" + _EMPTY + rb"){0,63})"  # short enough to be kept
_TAG = re.compile(rb"<(?:" + _RUN + rb"|" + _NAMED + rb")")
_ANY_TAG = re.compile(rb"<(?:" + _RUN + rb"|(?:[\w.-]+:)?" + _NAMED + rb")")
_RUN_PLACE = re.compile(rb"\"([A-Z]+[0-9]+)\"")
_OWN_TEXT = re.compile(rb"\s*<(?:[\w.-]+:)?is[\s/>]")
_TWO_TEXTS = re.compile(rb"</(?:[\w.-]+:)?t>\s*<(?:[\w.-]+:)?t[\s/>]")  # 18.4.8: a text has one, or runs
_MORE_THAN_TEXT = rb"t(?:\s[^<>]*)?(?<!/)>[^<]*<(?![/!])"  # an element within a text
_MORE_THAN_PLAIN_TEXT = re.compile(rb"<" + _MORE_THAN_TEXT)
_MORE_THAN_ANY_TEXT = re.compile(rb"<(?:[\w.-]+:)?" + _MORE_THAN_TEXT)
_PREFIXED = re.compile(rb":(?:row|c|f|mergeCell)[\s/>]")  # here and there in other words too: that only takes longer
_PLACE = re.compile(rb"\s(?:r|ref)\s*=\s*[\"']([^\"']*)[\"']")
_KIND = re.compile(rb"\st\s*=\s*[\"']([^\"']*)[\"']")
_KINDS = (b"b", b"d", b"e", b"inlineStr", b"n", b"s", b"str")  # 18.18.11, ST_CellType
_STRANGE = re.compile(rb"\s(?!(?:r|s|t|cm|vm|ph)\s*=)[\w:.-]+\s*=")  # attributes that no cell has
_TYPED = tuple(f"{word}<".encode() for word in TYPED)
_CELL = re.compile(rb"([A-Za-z]{1,3})([1-9][0-9]{0,6})")


@dataclass
class Scan:
    """What a worksheet part holds beside its values. cells: how many the reader sets memory aside for."""

    doubts: dict[Place, str] = field(default_factory=dict)
    merged: list[tuple[Place, Place]] = field(default_factory=list)
    cells: int = 0


def scan(part: bytes) -> Scan:
    """Odd cells and joined cells of a worksheet part. Unreadable where it is damaged or a filled cell lies far outside.

    It must come before the workbook reader, which sets aside memory for everything up to the farthest cell, and reads
    on past damage as if nothing had stood there.
    """
    check(part)
    found = Scan()
    row, column = bottom, right = -1, -1
    end = part.rfind(b"sheetData>")  # later "f" elements belong to rules, not to cells
    for tag in (_ANY_TAG if _PREFIXED.search(part) else _TAG).finditer(part):
        run, name, place, kind, closed, attributes = tag.groups()
        if run:
            here, left, end_of_run = _across(run)
            if here != row or left <= column:
                raise damaged()
            column = end_of_run
            continue
        if name == b"f":
            if tag.start() < end and not part.startswith(_TYPED, tag.end()):
                found.doubts[row, column] = FORMULA
            continue
        if place is None and attributes and (other := _PLACE.search(attributes)):
            place = other[1]
        if name == b"row":
            before, row, column = row, (row + 1 if place is None else _row(place)), -1
            if row <= before:
                raise damaged()
            continue
        if name == b"mergeCell":
            first, _, last = (place or b"").partition(b":")
            found.merged.append((place_of(first), place_of(last or first)))
            continue
        empty = closed or (attributes and attributes.endswith(b"/"))
        here, across = (row, column + 1) if place is None else place_of(place)
        if not empty and (here > bottom or across > right):
            check_near((here, across))
            bottom, right = max(bottom, here), max(right, across)
        if here != row or across <= column:  # every program writes cells in their order
            raise damaged()
        column = across
        if attributes:
            kind = _odd_kind(attributes)
            if kind == b"e":
                found.doubts[row, column] = ERROR
        if empty:
            continue
        if part[tag.end()] not in b"< \t\r\n":  # text stands in elements of the cell, never in the cell itself
            raise damaged()
        if (kind == b"inlineStr") != bool(_OWN_TEXT.match(part, tag.end())):
            raise damaged()
    if len(found.merged) > _MOST_MERGED:
        raise Unreadable("has far more joined cells than it should.", "Fill a fresh copy.")
    found.cells = (bottom + 1) * (right + 1)
    return found


@lru_cache(maxsize=_RUNS_KEPT)
def _across(run: bytes) -> tuple[int, int, int]:
    """Row, first and last column of empty cells side by side. Unreadable when they are not in order."""
    places = [place_of(text) for text in _RUN_PLACE.findall(run)]
    rows, columns = zip(*places, strict=True)
    if len(set(rows)) > 1 or any(right <= left for left, right in itertools.pairwise(columns)):
        raise damaged()
    return rows[0], columns[0], columns[-1]


def _odd_kind(attributes: bytes) -> bytes | None:
    """The kind of a cell whose attributes are not written in the usual way, None where it says none."""
    kind = _KIND.search(attributes)
    if _STRANGE.search(attributes) or (kind and kind[1] not in _KINDS):
        raise damaged()
    return kind[1] if kind else None


def check(part: bytes) -> None:
    """Unreadable unless the part is well-formed XML, with nothing in it that readers take differently."""
    try:
        ParserCreate().Parse(part, True)
    except ExpatError as reason:
        raise damaged() from reason
    more_than_text = _MORE_THAN_ANY_TEXT if b":t" in part else _MORE_THAN_PLAIN_TEXT  # the plain one is far faster
    if b"<!--" in part or _TWO_TEXTS.search(part) or more_than_text.search(part):
        raise damaged()


def _row(text: bytes) -> int:
    if not (text.isdigit() and len(text) <= 7):
        raise _odd_place()
    return int(text) - 1


@lru_cache(maxsize=_PLACES_KEPT)
def place_of(text: bytes) -> Place:
    """Row and column of an address such as F9. Unreadable when it is none."""
    found = _CELL.fullmatch(text)
    if not found:
        raise _odd_place()
    return int(found[2]) - 1, column_number(found[1].decode().upper()) - 1


def _odd_place() -> Unreadable:
    return Unreadable("is damaged: a cell has no proper place.")
