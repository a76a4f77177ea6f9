"""CSV as programs write it: any common separator, any common code for letters (RFC 4180 names one of each)."""

import csv
import io

from tourney.intake.grid import MOST_CELLS, Unreadable, too_large

SEPARATORS = (",", ";", "\t")

_UTF_16 = (b"\xff\xfe", b"\xfe\xff")
_WORKBOOKS = (b"PK", b"\xd0\xcf\x11\xe0")  # how their bytes begin: .xlsx, .xlsm and .ods; .xls
_SAVE_AS = "Open it in a spreadsheet program and save it as an Excel workbook or as CSV UTF-8."


def is_text(content: bytes) -> bool:
    """Whether these bytes may be a CSV text, and not a workbook of any kind."""
    return bool(content) and not content.startswith(_WORKBOOKS) and (content[:2] in _UTF_16 or b"\0" not in content)


def decoded(content: bytes) -> str:
    """The text in these bytes. Unreadable when they are no text."""
    if not content.strip():
        raise Unreadable("is empty.", "Ask for the file again: it may have been sent before it was saved.")
    try:
        if content.startswith(_UTF_16):
            return content.decode("utf-16")
        if b"\0" in content:
            raise Unreadable("is not a CSV text, whatever its name says.", _SAVE_AS)
        return content.decode("utf-8-sig")
    except UnicodeDecodeError:
        return _windows(content)


def _windows(content: bytes) -> str:
    """Older spreadsheet programs write CSV in the code page of Western Windows."""
    try:
        return content.decode("cp1252")
    except UnicodeDecodeError as reason:
        raise Unreadable("has letters in a code that can't be told.", _SAVE_AS) from reason


def numbered_rows(text: str, separator: str) -> list[tuple[int, list[str]]]:
    """Each row with the number of the line in which it begins, from 1."""
    if text.count(separator) + text.count("\n") > MOST_CELLS:
        raise too_large()
    reader, rows, before = csv.reader(io.StringIO(text, newline=""), delimiter=separator), [], 0
    try:
        for row in reader:
            rows.append((before + 1, row))
            before = reader.line_num
    except csv.Error as reason:
        raise Unreadable(f"can't be read as a table from line {before + 1} on.", _SAVE_AS) from reason
    return rows
