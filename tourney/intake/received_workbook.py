"""A workbook that came back, opened with care. To be called in the worker of reader.py, which bounds time and memory.

What it is, its bytes say, never its name.
"""

import io
import zipfile
import zlib

from tourney.intake import office_workbook, old_workbook, open_document
from tourney.intake.grid import MOST_BYTES, MOST_CELLS, MOST_SHEETS, Grid, Unreadable, damaged, locked, too_large

# Far more than a day's sheets need, and little enough to be read in seconds: a sheet has some 4,000 tags and 800 cells.
MOST_EXPANDED = 100_000_000  # bytes of all its parts
MOST_TAGS = 5_000_000

_BROKEN_ZIP = (zipfile.BadZipFile, zlib.error, EOFError, OSError, RuntimeError, ValueError)
_SAVE_AS = "Open it in a spreadsheet program, save it as an Excel workbook (.xlsx) and hand that in."


def read_workbook(content: bytes) -> tuple[Grid, ...]:
    """All sheets of a workbook: .xlsx, .xlsm, .ods or .xls. Unreadable when the file is anything else."""
    if not content:
        raise Unreadable("is empty.", "Ask for it again: it may have been sent before it was saved.")
    if len(content) > MOST_BYTES:
        raise too_large()
    if content.startswith(old_workbook.CONTAINER):
        found = old_workbook.sheets(content)
    elif content.startswith(b"PK"):
        parts = _parts(content)
        if "xl/workbook.xml" in parts:
            found = office_workbook.sheets(parts)
        elif "content.xml" in parts:
            found = open_document.sheets(office_workbook.xml(parts, "content.xml"))
        else:
            raise Unreadable("is not a workbook, whatever its name says.", _SAVE_AS)
    else:
        raise Unreadable("is not a workbook, whatever its name says.", _SAVE_AS)
    grids: list[Grid] = []
    cells = 0
    for grid in found:
        grids.append(grid)
        cells += sum(map(len, grid.rows))
        if cells > MOST_CELLS or len(grids) > MOST_SHEETS:
            raise too_large()
    if not grids:
        raise Unreadable("is a workbook without sheets.")
    return tuple(grids)


def _parts(content: bytes) -> dict[str, bytes]:
    """The XML parts by name, expanded and checked against their checksums."""
    try:
        with zipfile.ZipFile(io.BytesIO(content)) as archive:
            if "xl/workbook.bin" in archive.NameToInfo:
                raise Unreadable("is a workbook of the kind .xlsb.", _SAVE_AS)
            wanted = [entry for entry in archive.infolist() if entry.filename.endswith((".xml", ".rels"))]
            if sum(entry.file_size for entry in wanted) > MOST_EXPANDED:
                raise too_large()
            parts = {entry.filename: archive.read(entry) for entry in wanted}
    except _BROKEN_ZIP as reason:
        raise damaged() from reason
    if b"encryption-data" in parts.get("META-INF/manifest.xml", b""):
        raise locked()
    if any(b"<!DOCTYPE" in part or b"\0" in part for part in parts.values()):
        raise Unreadable("holds parts that no spreadsheet program writes.", "Fill a fresh copy and hand that in.")
    if sum(part.count(b"<") for part in parts.values()) > MOST_TAGS:
        raise too_large()
    return parts
