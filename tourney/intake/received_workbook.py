"""A workbook that came back, opened with care: whatever is in it, nothing stops, hangs or fills the memory."""

import io
import posixpath
import zipfile
import zlib
from collections.abc import Callable, Iterator
from typing import TypeVar
from xml.etree.ElementTree import Element, ParseError

from defusedxml.ElementTree import fromstring
from python_calamine import CalamineError, CalamineWorkbook

from tourney.intake import open_document, sheet_xml
from tourney.intake.grid import DAMAGED, Grid, Unreadable

# Far more than a day's sheets need, and little enough to be read in seconds: a sheet has some 4,000 tags and 800 cells.
MOST_BYTES = 20_000_000  # of a file
MOST_EXPANDED = 100_000_000  # bytes of all its parts
MOST_SHEETS, MOST_TAGS, MOST_CELLS = 1_000, 5_000_000, 2_000_000

T = TypeVar("T")

_TEXTS = "xl/sharedStrings.xml"
_OLD_CONTAINER = b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1"  # .xls, and workbooks under a password
_BROKEN_ZIP = (zipfile.BadZipFile, zlib.error, EOFError, OSError, RuntimeError, ValueError)
_NO_WORKBOOK = "This file is not a workbook. Score sheets are handed in as .xlsx or .ods."
_LOCKED = "This workbook has a password. Open it, take the password off, save it and hand that in."
_TOO_LARGE = "This file is far larger than score sheets need. Is it the right one?"


def open_workbook(content: bytes) -> tuple[Grid, ...]:
    """All sheets of an Office Open XML or OpenDocument workbook. Unreadable when the file is anything else."""
    if not content:
        raise Unreadable("This file is empty. Save the filled workbook once more and hand that in.")
    if len(content) > MOST_BYTES:
        raise Unreadable(_TOO_LARGE)
    if content.startswith(_OLD_CONTAINER):
        if "EncryptedPackage".encode("utf-16-le") in content:
            raise Unreadable(_LOCKED)
        raise Unreadable(_other_kind(".xls"))
    if not content.startswith(b"PK"):
        raise Unreadable(_NO_WORKBOOK)
    parts = _parts(content)
    if "xl/workbook.xml" in parts:
        found = _office_sheets(parts)
    elif "content.xml" in parts:
        found = open_document.sheets(_xml(parts, "content.xml"))
    else:
        raise Unreadable(_NO_WORKBOOK)
    grids: list[Grid] = []
    cells = 0
    for grid in found:
        grids.append(grid)
        cells += sum(map(len, grid.rows))
        if cells > MOST_CELLS or len(grids) > MOST_SHEETS:
            raise Unreadable(_TOO_LARGE)
    return tuple(grids)


def _other_kind(ending: str) -> str:
    return f"This workbook is of the {ending} kind. Open it, save it as .xlsx and hand that in."


def _parts(content: bytes) -> dict[str, bytes]:
    """The XML parts by name, expanded and checked against their checksums."""
    try:
        with zipfile.ZipFile(io.BytesIO(content)) as archive:
            if "xl/workbook.bin" in archive.NameToInfo:
                raise Unreadable(_other_kind(".xlsb"))
            wanted = [entry for entry in archive.infolist() if entry.filename.endswith((".xml", ".rels"))]
            if sum(entry.file_size for entry in wanted) > MOST_EXPANDED:
                raise Unreadable(_TOO_LARGE)
            parts = {entry.filename: archive.read(entry) for entry in wanted}
    except _BROKEN_ZIP as reason:
        raise Unreadable(DAMAGED) from reason
    if b"encryption-data" in parts.get("META-INF/manifest.xml", b""):
        raise Unreadable(_LOCKED)
    if any(b"<!DOCTYPE" in part or b"\0" in part for part in parts.values()):
        raise Unreadable(
            "This workbook holds parts that no spreadsheet program writes. Fill a fresh copy and hand that in."
        )
    if sum(part.count(b"<") for part in parts.values()) > MOST_TAGS:
        raise Unreadable(_TOO_LARGE)
    return parts


def _xml(parts: dict[str, bytes], name: str) -> Element:
    try:
        root: Element = fromstring(parts.get(name, b""), forbid_dtd=True)
    except (ParseError, ValueError) as reason:
        raise Unreadable(DAMAGED) from reason
    return root


def _office_sheets(parts: dict[str, bytes]) -> Iterator[Grid]:
    names = _sheet_parts(parts)
    sheet_xml.check(parts.get(_TEXTS, b"<none/>"))
    checked = io.BytesIO()
    with zipfile.ZipFile(checked, "w") as archive:  # the reader gets what was checked, and nothing else
        for name, part in parts.items():
            archive.writestr(name, part)
    checked.seek(0)
    book = _careful(lambda: CalamineWorkbook.from_filelike(checked))
    for title, place in names.items():
        yield _office_sheet(book, title, parts.get(place, b""))


def _office_sheet(book: CalamineWorkbook, name: str, part: bytes) -> Grid:
    try:
        doubts, merged = sheet_xml.scan(part)
        rows = _careful(lambda: book.get_sheet_by_name(name).to_python(skip_empty_area=False))
    except Unreadable as reason:
        return Grid(name, trouble=str(reason))
    return Grid(name, rows, doubts, merged)


def _sheet_parts(parts: dict[str, bytes]) -> dict[str, str]:
    """Title of each worksheet -> the part that holds it."""
    targets = {
        link.get("Id", ""): posixpath.join("/xl", link.get("Target", "")).lstrip("/")
        for link in _xml(parts, "xl/_rels/workbook.xml.rels").iterfind("{*}Relationship")
        if link.get("Type", "").endswith("/worksheet")
    }
    sheets = [
        (sheet.get("name", ""), next((value for key, value in sheet.items() if key.endswith("}id")), ""))
        for sheet in _xml(parts, "xl/workbook.xml").iterfind("{*}sheets/{*}sheet")
    ]
    if len({name for name, _ in sheets}) < len(sheets):
        raise Unreadable(DAMAGED)
    return {name: targets[link] for name, link in sheets if link in targets}


def _careful(read: Callable[[], T]) -> T:
    """What `read` gives, its errors as Unreadable. A panic of the reader's has no name that could be imported."""
    try:
        return read()
    except BaseException as reason:
        if isinstance(reason, CalamineError | ValueError | OverflowError) or type(reason).__name__ == "PanicException":
            raise Unreadable(DAMAGED) from reason
        raise
