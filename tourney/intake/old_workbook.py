"""Sheets of a workbook in the old binary format (.xls): values by calamine, oddities by a look at the records.

Records are those of [MS-XLS] 2.3; they lie one after the other: kind, length, content (little-endian).
"""

import io
import re
import struct
from collections.abc import Iterator
from dataclasses import dataclass, field

from olefile import OleFileIO
from python_calamine import CalamineError, CalamineWorkbook, SheetTypeEnum, SheetVisibleEnum

from tourney.intake.grid import (
    ERROR,
    FORMULA,
    MOST_CELLS,
    MOST_SHEETS,
    Grid,
    Place,
    Unreadable,
    check_near,
    damaged,
    locked,
    too_large,
)
from tourney.intake.old_comments import Comments

CONTAINER = b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1"  # of .xls files and of workbooks under a password ([MS-CFB] 2.2)

_BEGIN, _END, _SHEET, _PASSWORD = 0x0809, 0x000A, 0x0085, 0x002F
_FORMULAS = (0x0006, 0x0206, 0x0406)
_TYPED = re.compile(
    rb"(?:\x1d[\0\1]|[\x21\x41\x61][\x22\x23]\0)", re.DOTALL
)  # TRUE or FALSE ([MS-XLS] 2.5.198.42, .62)
_TRUTH_OR_ERROR, _JOINED = 0x0205, 0x00E5
_VALUES = (*_FORMULAS, _TRUTH_OR_ERROR, 0x0203, 0x0204, 0x027E, 0x00FD, 0x00D6)
_SEVERAL_VALUES = 0x00BD  # numbers side by side


@dataclass
class _Scan:
    doubts: dict[Place, str] = field(default_factory=dict)
    merged: list[tuple[Place, Place]] = field(default_factory=list)
    comments: Comments = field(default_factory=Comments)
    bottom: int = -1
    right: int = -1


def sheets(content: bytes) -> Iterator[Grid]:
    """All worksheets, in order. Unreadable when it is no workbook, or locked."""
    scans = _scans(_stream(content))
    if sum((scan.bottom + 1) * (scan.right + 1) for scan in scans) > MOST_CELLS:
        raise too_large()
    try:
        book = CalamineWorkbook.from_filelike(io.BytesIO(content))
        for about, scan in zip(book.sheets_metadata, scans, strict=True):
            if about.typ == SheetTypeEnum.WorkSheet:
                rows = book.get_sheet_by_name(about.name).to_python(skip_empty_area=False)
                visible = about.visible == SheetVisibleEnum.Visible
                yield Grid(about.name, rows, scan.doubts, scan.merged, scan.comments.found(), visible)
    except (CalamineError, ValueError) as reason:
        raise damaged() from reason


def _stream(content: bytes) -> bytes:
    try:
        with OleFileIO(io.BytesIO(content)) as container:
            if container.exists("EncryptedPackage"):
                raise locked()
            name = next((name for name in ("Workbook", "Book") if container.exists(name)), None)
            if name is None:
                raise Unreadable("is not a workbook, whatever its name says.")
            stream: bytes = container.openstream(name).read()
    except (OSError, ValueError, struct.error, IndexError, TypeError) as reason:
        raise damaged() from reason
    return stream


def _scans(stream: bytes) -> list[_Scan]:
    """What the records of each sheet tell, sheets in the order in which the workbook lists them."""
    try:
        starts = []
        for kind, body in _records(stream, 0):
            if kind == _PASSWORD:
                raise locked()
            if kind == _SHEET:
                starts.append(struct.unpack_from("<I", body)[0])
        if len(starts) > MOST_SHEETS:
            raise too_large()
        return [_scan(stream, start) for start in starts]
    except struct.error as reason:
        raise damaged() from reason


def _records(stream: bytes, at: int) -> Iterator[tuple[int, bytes]]:
    """The records from here to the end of the part that begins here, without those of charts within."""
    depth = 0
    while at < len(stream):
        kind, length = struct.unpack_from("<HH", stream, at)
        depth += (kind == _BEGIN) - (kind == _END)
        if depth == 0:
            return
        if depth == 1:
            yield kind, stream[at + 4 : at + 4 + length]
        at += 4 + length


def _scan(stream: bytes, start: int) -> _Scan:
    found = _Scan()
    for kind, body in _records(stream, start):
        found.comments.take(kind, body)
        if kind == _JOINED:
            for number in range(struct.unpack_from("<H", body)[0]):
                top, bottom, left, right = struct.unpack_from("<4H", body, 2 + 8 * number)
                found.merged.append(((top, left), (bottom, right)))
        elif kind in _VALUES or kind == _SEVERAL_VALUES:
            place: Place = struct.unpack_from("<HH", body)
            last = struct.unpack_from("<H", body, len(body) - 2)[0] if kind == _SEVERAL_VALUES else place[1]
            check_near((place[0], last))
            found.bottom, found.right = max(found.bottom, place[0]), max(found.right, last)
            if kind in _FORMULAS and not _TYPED.fullmatch(body, 22):
                found.doubts[place] = FORMULA
            elif kind == _TRUTH_OR_ERROR and body[7:8] != b"\0":
                found.doubts[place] = ERROR
    return found
