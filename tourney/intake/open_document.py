"""Sheets of an OpenDocument workbook (.ods), by the names of OpenDocument 1.2 part 1, chapters 9, 14 and 19."""

from collections.abc import Iterator
from contextlib import suppress
from datetime import datetime
from xml.etree.ElementTree import Element

from tourney.intake.grid import FORMULA, MOST_CELLS, TYPED, Grid, Place, Unreadable, check_near, damaged, too_large

_URN = "urn:oasis:names:tc:opendocument:xmlns"
_TABLE, _TEXT, _OFFICE = (f"{{{_URN}:{name}:1.0}}" for name in ("table", "text", "office"))


def sheets(content: Element) -> Iterator[Grid]:
    """All sheets of the root of content.xml, in order."""
    return map(_sheet, content.iterfind(f".//{_OFFICE}spreadsheet/{_TABLE}table"))


def _sheet(table: Element) -> Grid:
    name = table.get(f"{_TABLE}name", "")
    values: dict[Place, object] = {}
    doubts: dict[Place, str] = {}
    merged: list[tuple[Place, Place]] = []
    comments: dict[Place, str] = {}
    try:
        for place, cell in _filled(table):
            values[place] = _value(cell)
            if cell.get(f"{_TABLE}formula", "").rpartition("=")[2] not in ("", *TYPED):
                doubts[place] = FORMULA
            across, down = _count(cell, "number-columns-spanned"), _count(cell, "number-rows-spanned")
            if across > 1 or down > 1:
                merged.append((place, (place[0] + down - 1, place[1] + across - 1)))
            if comment := " ".join(_paragraphs(note) for note in cell.iterfind(f"{_OFFICE}annotation")):
                comments[place] = comment
    except Unreadable as reason:
        return Grid(name, trouble=reason)
    height = 1 + max((row for row, _ in values), default=-1)
    width = 1 + max((column for _, column in values), default=-1)
    if height * width > MOST_CELLS:
        return Grid(name, trouble=too_large())
    rows = [[values.get((row, column), "") for column in range(width)] for row in range(height)]
    return Grid(name, rows, doubts, merged, comments)


def _filled(table: Element) -> Iterator[tuple[Place, Element]]:
    """Cells with something in them or joined with others, repeated ones each at its place."""
    row = 0
    for line in table.iter(f"{_TABLE}table-row"):
        deep = _count(line, "number-rows-repeated")
        column = 0
        for cell in line:
            wide = _count(cell, "number-columns-repeated")
            if len(cell) or f"{_OFFICE}value-type" in cell.attrib or f"{_TABLE}formula" in cell.attrib:
                check_near((row + deep - 1, column + wide - 1))
                if deep * wide > MOST_CELLS:
                    raise too_large()
                for down in range(deep):
                    for across in range(wide):
                        yield (row + down, column + across), cell
            column += wide
        row += deep


def _count(element: Element, name: str) -> int:
    text = element.get(f"{_TABLE}{name}", "1")
    if not (text.isdecimal() and text.isascii() and len(text) <= 7):
        raise damaged()
    return int(text)


def _paragraphs(element: Element) -> str:
    return "\n".join("".join(paragraph.itertext()) for paragraph in element.iterfind(f"{_TEXT}p"))


def _value(cell: Element) -> object:
    """What the cell holds, without the comment that may hang on it; what it shows depends on the language."""
    kind = cell.get(f"{_OFFICE}value-type")
    with suppress(ValueError):
        if kind == "boolean":
            return cell.get(f"{_OFFICE}boolean-value") == "true"
        if kind == "date":
            return datetime.fromisoformat(cell.get(f"{_OFFICE}date-value", ""))
        if kind in ("float", "percentage", "currency"):
            return float(cell.get(f"{_OFFICE}value", ""))
    return _paragraphs(cell)
