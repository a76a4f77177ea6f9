"""Sheets of an Office Open XML workbook (.xlsx, .xlsm): values by calamine, everything else by the parts' own XML.

Element and attribute names are those of ECMA-376, part 1, 18.2 (workbook) and 18.7 (comments).
"""

import io
import posixpath
import zipfile
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from xml.etree.ElementTree import Element, ParseError

from defusedxml.ElementTree import fromstring
from python_calamine import CalamineError, CalamineWorkbook

from tourney.intake import sheet_xml
from tourney.intake.grid import MOST_CELLS, Grid, Place, Unreadable, damaged, too_large

Parts = Mapping[str, bytes]

_TEXTS = "xl/sharedStrings.xml"


@dataclass(frozen=True, slots=True)
class _Page:
    name: str
    part: str
    visible: bool


def sheets(parts: Parts) -> Iterator[Grid]:
    """All worksheets, in order. parts: the XML parts by name, without type declarations."""
    pages = _pages(parts)
    sheet_xml.check(parts.get(_TEXTS, b"<none/>"))
    checked = io.BytesIO()
    with zipfile.ZipFile(checked, "w") as archive:  # the reader gets what was checked, and nothing else
        for name, part in parts.items():
            archive.writestr(name, part)
    checked.seek(0)
    try:
        book = CalamineWorkbook.from_filelike(checked)
    except (CalamineError, ValueError) as reason:
        raise damaged() from reason
    cells = 0
    for page in pages:
        try:
            found = sheet_xml.scan(parts.get(page.part, b""))
            cells += found.cells
            if cells > MOST_CELLS:
                raise too_large()
            rows = book.get_sheet_by_name(page.name).to_python(skip_empty_area=False)
            comments = _comments(parts, page.part)
        except Unreadable as reason:
            yield Grid(page.name, visible=page.visible, trouble=reason)
        except (CalamineError, ValueError, OverflowError):
            yield Grid(page.name, visible=page.visible, trouble=damaged())
        else:
            yield Grid(page.name, rows, found.doubts, found.merged, comments, page.visible)


def xml(parts: Parts, name: str) -> Element:
    """The root of a part. Unreadable when it is missing or damaged."""
    try:
        root: Element = fromstring(parts.get(name, b""), forbid_dtd=True)
    except (ParseError, ValueError) as reason:
        raise damaged() from reason
    return root


def _pages(parts: Parts) -> list[_Page]:
    """The worksheets of the workbook."""
    targets = dict(_links(parts, "xl/workbook.xml", "/worksheet"))
    pages = [
        _Page(sheet.get("name", ""), targets[link], sheet.get("state", "visible") == "visible")
        for sheet in xml(parts, "xl/workbook.xml").iterfind("{*}sheets/{*}sheet")
        for link in [next((value for key, value in sheet.items() if key.endswith("}id")), "")]
        if link in targets
    ]
    if len({page.name for page in pages}) < len(pages):
        raise damaged()
    return pages


def _links(parts: Parts, source: str, kind: str) -> Iterator[tuple[str, str]]:
    """Id and target part of each link of one kind that a part has to others (ECMA-376, part 2, 9.3)."""
    folder, name = posixpath.split(source)
    for link in xml(parts, f"{folder}/_rels/{name}.rels").iterfind("{*}Relationship"):
        if link.get("Type", "").endswith(kind):
            yield link.get("Id", ""), posixpath.join(f"/{folder}", link.get("Target", "")).lstrip("/")


def _comments(parts: Parts, page: str) -> dict[Place, str]:
    """What hangs on the cells of a worksheet part."""
    if "{}/_rels/{}.rels".format(*posixpath.split(page)) not in parts:
        return {}
    found: dict[Place, str] = {}
    for _, target in _links(parts, page, "/comments"):
        for comment in xml(parts, posixpath.normpath(target)).iterfind("{*}commentList/{*}comment"):
            text = "".join(run.text or "" for run in comment.iterfind("{*}text//{*}t"))
            found[sheet_xml.place_of(comment.get("ref", "").encode())] = text
    return found
