"""Writes into score sheets what simulated judges type.

Only the cells typed into are exchanged in the file's XML: twenty times as fast as reading and writing the whole
workbook. What formulas came to is taken out of those sheets, so that no program shows the totals of an empty one.
"""

import re
from collections.abc import Mapping
from io import BytesIO
from pathlib import Path
from zipfile import ZIP_DEFLATED, ZipFile

from tourney.files import read_bytes, write_bytes
from tourney.model.sheet import SheetEntries
from tourney.papers.cells import text_xml
from tourney.papers.sheet_places import Places, sheet_places

# A cell of SpreadsheetML (ECMA-376 part 1, 18.3.1.4): address, style, then nothing or its content.
_CELL = re.compile(r'<c r="([A-Z]+[0-9]+)"( s="[0-9]+")?[^>]*?(?:/>|>(<f>.*?</f>)?.*?</c>)')


def fill_workbook(source: Path, target: Path, entries: Mapping[str, SheetEntries]) -> None:
    """Write entries into the workbook `source`, as write_score_sheets made it, and save it as `target`.

    entries: by sheet code; a sheet whose code is not among them stays blank, a code that no sheet has is passed over.
    KeyError when an entry is for a line or a call that its sheet does not have. FileTrouble as in files.py.
    """
    content = read_bytes(source)
    typed = {
        f"xl/worksheets/sheet{number}.xml": _typed(places, entries[places.code])
        for number, places in enumerate(sheet_places(content), 1)
        if places is not None and places.code in entries
    }
    filled = BytesIO()
    with ZipFile(BytesIO(content)) as parts, ZipFile(filled, "w") as archive:
        for part in parts.infolist():
            data = parts.read(part)
            if part.filename in typed:
                data = _with_text(data.decode(), typed[part.filename]).encode()
            archive.writestr(part, data, ZIP_DEFLATED)
    write_bytes(target, filled.getvalue())


def _typed(places: Places, written: SheetEntries) -> dict[str, str]:
    """Address -> what is typed there."""
    return {
        **{places.boxes[place]: text for place, text in written.cells.items()},
        **{places.ticks[call]: text for call, text in written.ticked.items()},
        places.initials: written.initials,
    }


def _with_text(xml: str, typed: Mapping[str, str]) -> str:
    """A sheet's XML with these cells turned into text, each in the style it had."""

    def cell(found: re.Match[str]) -> str:
        address, style, formula = found[1], found[2] or "", found[3]
        if formula:
            return f'<c r="{address}"{style}>{formula}</c>'
        if not typed.get(address):
            return found[0]
        return f'<c r="{address}"{style} t="inlineStr"><is>{text_xml(typed[address])}</is></c>'

    return _CELL.sub(cell, xml)
