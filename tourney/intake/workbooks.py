"""Reads a workbook that somebody sent, after looking whether that is safe."""

import io
import re
import zipfile
import zlib
from dataclasses import dataclass
from typing import Any

from python_calamine import CalamineError, CalamineWorkbook, SheetTypeEnum, SheetVisibleEnum

MOST_BYTES = 200_000_000  # unpacked; a day's largest workbook has some three million
MOST_CELLS = 4_000_000  # the reader holds the whole rectangle from the first cell to the last

_OLD_OR_LOCKED = b"\xd0\xcf\x11\xe0"  # the container of .xls files and of workbooks with a password
_DAMAGED = (zipfile.BadZipFile, zlib.error, OSError, EOFError, ValueError, NotImplementedError, RuntimeError)
_CELL = re.compile(rb"<(?:\w+:)?c(?:\s[^>]*)?(?<!/)>")  # a cell with something in it
_ADDRESS = re.compile(rb"\sr=\"([A-Z]{1,3})(\d{1,7})\"")
_SAVE_AGAIN = "Open it in a spreadsheet program, save it as an Excel workbook (.xlsx) and send that."


class Unreadable(Exception):
    """What was sent can't be read. message goes after the file's name; hint says what would help."""

    def __init__(self, message: str, hint: str = _SAVE_AGAIN) -> None:
        super().__init__(message)
        self.message = message
        self.hint = hint


@dataclass(frozen=True, slots=True)
class Worksheet:
    """One worksheet as the library reads it. rows: from A1 on, "" where nothing is."""

    name: str
    visible: bool
    rows: list[list[Any]]


def worksheets(content: bytes) -> tuple[Worksheet, ...]:
    """The sheets in these bytes. Unreadable when they are no workbook, locked, damaged, or too much for the memory."""
    if not content:
        raise Unreadable("is empty.", "Ask for the file again: it may have been sent before it was saved.")
    if content.startswith(_OLD_OR_LOCKED):
        raise Unreadable(
            "has a password or is in an old format.", "Take the password off and save it as an Excel workbook (.xlsx)."
        )
    if not content.startswith(b"PK"):
        raise Unreadable("is not an Excel workbook, whatever its name says.")
    try:
        with zipfile.ZipFile(io.BytesIO(content)) as parts:
            _look_through(parts)
        workbook = CalamineWorkbook.from_filelike(io.BytesIO(content))
        found = tuple(
            Worksheet(
                about.name,
                about.visible == SheetVisibleEnum.Visible,
                workbook.get_sheet_by_name(about.name).to_python(skip_empty_area=False),
            )
            for about in workbook.sheets_metadata
            if about.typ == SheetTypeEnum.WorkSheet
        )
    except (*_DAMAGED, CalamineError) as reason:
        raise Unreadable("is damaged or is not an Excel workbook.") from reason
    if not found:
        raise Unreadable("is a workbook without sheets.")
    return found


def _look_through(parts: zipfile.ZipFile) -> None:
    if sum(part.file_size for part in parts.infolist()) > MOST_BYTES:
        raise Unreadable("is far too large once unpacked.")
    for name in parts.namelist():
        if not name.lower().endswith((".xml", ".rels")):
            continue
        text = parts.read(name)
        if b"<!DOCTYPE" in text or b"<!ENTITY" in text:
            raise Unreadable("holds instructions that no score sheet or entry needs.")
        if "worksheets" in name and _cells(text) > MOST_CELLS:
            raise Unreadable("has a cell very far from the others.", "Delete the rows and columns behind the table.")


def _cells(text: bytes) -> int:
    """The rectangle from A1 to the farthest cell in which something stands."""
    right, bottom = 0, 0
    for cell in _CELL.findall(text):
        address = _ADDRESS.search(cell)
        if address is None:
            raise Unreadable("has cells without an address.")
        right = max(right, column_number(address[1].decode()))
        bottom = max(bottom, int(address[2]))
    return right * bottom


def column_number(letters: str) -> int:
    """1 for A, 27 for AA."""
    number = 0
    for letter in letters:
        number = number * 26 + ord(letter) - ord("A") + 1
    return number


def column_letters(number: int) -> str:
    """A for 1, AA for 27."""
    letters = ""
    while number:
        number, rest = divmod(number - 1, 26)
        letters = chr(ord("A") + rest) + letters
    return letters
