"""Hostile, damaged and foreign files, each through the real reading process: one sentence each, soon and in bounds."""

import io
import zipfile
from collections.abc import Callable

import pytest
from openpyxl import Workbook

from tests.intake.zipped import PAGE, packed, parts_of, saved
from tourney.intake.grid import Grid, Unreadable
from tourney.intake.reader import open_workbook


def workbook() -> bytes:
    book = Workbook()
    book.worksheets[0]["C3"] = "here"
    return saved(book)


SOUND = workbook()


PARTS = parts_of(SOUND)


def with_page(rows: bytes) -> bytes:
    """The sound workbook with other rows in its sheet."""
    start, end = PARTS[PAGE].index(b"<sheetData>") + 11, PARTS[PAGE].index(b"</sheetData>")
    return packed({**PARTS, PAGE: PARTS[PAGE][:start] + rows + PARTS[PAGE][end:]})


def bomb() -> bytes:
    return packed({**PARTS, "xl/comments1.xml": b"<a/>" + b" " * 150_000_000})


def tiny_cells() -> bytes:
    row = b"<row>" + b"<c><v>1</v></c>" * 1000 + b"</row>"
    return with_page(row * 2000)


def empty_cells() -> bytes:
    return with_page((b"<row>" + b"<c/>" * 1000 + b"</row>") * 200)


def many_sheets() -> bytes:
    sheets = b"".join(
        b'<sheet name="s%d" sheetId="%d" state="visible" r:id="rId%d"/>' % (n, n, n) for n in range(1, 10_001)
    )
    links = b"".join(
        b'<Relationship Id="rId%d" Type="http://x/relationships/worksheet" Target="worksheets/sheet1.xml"/>' % n
        for n in range(1, 10_001)
    )
    return packed(
        {
            **PARTS,
            "xl/workbook.xml": b'<workbook xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main" '
            b'xmlns:r="http://schemas.openxmlformats.org/officeDocument/2006/relationships"><sheets>'
            + sheets + b"</sheets></workbook>",
            "xl/_rels/workbook.xml.rels": b'<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships">'
            + links + b"</Relationships>",
        }
    )  # fmt: skip


def laughing() -> bytes:
    entities = b"".join(b'<!ENTITY a%d "%s">' % (n, b"&a%d;" % (n - 1) * 10) for n in range(1, 10))
    declared = b'<!DOCTYPE x [<!ENTITY a0 "aaaaaaaaaa">' + entities + b"]>"
    return packed({**PARTS, "xl/sharedStrings.xml": declared + b"<sst>&a9;</sst>"})


def elsewhere() -> bytes:
    declared = b'<!DOCTYPE x [<!ENTITY a SYSTEM "file:///etc/hostname">]>'
    return packed({**PARTS, "docProps/core.xml": declared + b"<x>&a;</x>"})


def with_wrong_checksum() -> bytes:
    content = bytearray(packed({**PARTS, "xl/styles.xml": bytes(range(65, 91)) * 9}))
    with zipfile.ZipFile(io.BytesIO(bytes(content))) as archive:
        at = archive.getinfo("xl/styles.xml").header_offset
    content[at + 60] ^= 0xFF
    return bytes(content)


REFUSED: dict[str, tuple[Callable[[], bytes], str]] = {
    "zip bomb": (bomb, "is far larger than it should be."),
    "two million tiny cells": (tiny_cells, "is far larger than it should be."),
    "ten thousand sheets": (many_sheets, "is far larger than it should be."),
    "entities upon entities": (laughing, "holds parts that no spreadsheet program writes."),
    "an entity from outside": (elsewhere, "holds parts that no spreadsheet program writes."),
    "cut short": (lambda: SOUND[:-40], "is damaged or cut short."),
    "a beginning alone": (lambda: SOUND[:300], "is damaged or cut short."),
    "wrong checksum": (with_wrong_checksum, "is damaged or cut short."),
    "nothing": (lambda: b"", "is empty."),
    "a picture": (lambda: b"\x89PNG\r\n\x1a\n" + bytes(100), "is not a workbook, whatever its name says."),
    "a document": (lambda: packed({"word/document.xml": b"<a/>"}), "is not a workbook, whatever its name says."),
    "the binary kind": (lambda: packed({"xl/workbook.bin": b""}), "is a workbook of the kind .xlsb."),
    "no links": (lambda: packed({**PARTS, "xl/_rels/workbook.xml.rels": b""}), "is damaged or cut short."),
    "texts out of form": (lambda: packed({**PARTS, "xl/sharedStrings.xml": b"<sst><si>"}), "is damaged or cut short."),
    "no sheet": (lambda: packed({**PARTS, "xl/workbook.xml": b"<workbook/>"}), "is a workbook without sheets."),
    "password on an open document": (
        lambda: packed({"content.xml": b"\1", "META-INF/manifest.xml": b"<encryption-data/>"}), "has a password."
    ),
}  # fmt: skip


@pytest.mark.parametrize("name", REFUSED)
def test_one_sentence(name: str) -> None:
    make, says = REFUSED[name]
    with pytest.raises(Unreadable) as refused:
        open_workbook(make())
    assert (refused.value.message, refused.value.hint.endswith((".", "?"))) == (says, True)


TEXT = b'<row r="1"><c r="A1" t="inlineStr"><is>%s</is></c></row>'
JOINED = b'<mergeCell ref="A1:B2"/>'
TROUBLED: dict[str, tuple[Callable[[], bytes], str]] = {
    "the last cell there is": (
        lambda: with_page(b'<row r="1048576"><c r="XFD1048576"><v>1</v></c></row>'),
        "has something far away from the rest, in cell XFD1048576.",
    ),
    "a place that is none": (
        lambda: with_page(b'<row r="1"><c r="1A"><v>1</v></c></row>'),
        "is damaged: a cell has no proper place.",
    ),
    "out of form": (lambda: with_page(b"<row><c>"), "is damaged or cut short."),
    "two texts in one": (lambda: with_page(TEXT % b"<t>L</t><t>W</t>"), "is damaged or cut short."),
    "more than text": (lambda: with_page(TEXT % b"<t><b/>L</t>"), "is damaged or cut short."),
    "another kind": (lambda: with_page(TEXT.replace(b"inlineS", b"s") % b"<t>L</t>"), "is damaged or cut short."),
    "a row twice": (lambda: with_page(TEXT % b"<t>L</t>" + TEXT % b"<t>W</t>"), "is damaged or cut short."),
    "no page": (lambda: packed({**PARTS, PAGE: b""}), "is damaged or cut short."),
    "joined without end": (
        lambda: with_page(b"</sheetData><mergeCells>" + JOINED * 2000 + b"</mergeCells><sheetData>"),
        "has far more joined cells than it should.",
    ),
}  # fmt: skip


@pytest.mark.parametrize("name", TROUBLED)
def test_a_damaged_sheet_is_named_and_no_more(name: str) -> None:
    make, says = TROUBLED[name]
    (grid,) = open_workbook(make())
    assert grid.trouble and grid.trouble.message == says


def sole(content: bytes) -> Grid:
    (grid,) = open_workbook(content)
    assert grid.trouble is None
    return grid


def test_what_does_no_harm_is_read() -> None:
    assert sole(with_page(TEXT % b"<t><![CDATA[L]]></t>")).at((0, 0)) == "L"
    assert sole(with_page(TEXT % b"<t />")).at((0, 0)) == ""
    assert sole(with_page(TEXT % b"<r><t>L</t></r><r><t>W</t></r>")).at((0, 0)) == "LW"
    assert sole(empty_cells()).rows == []
    assert sole(with_page(b'<row r="1"><c r="A1" s="99999"><v>7</v></c></row>')).at((0, 0)) == 7
    assert sole(packed({**PARTS, "xl/vbaProject.bin": b"\0" * 1000})).at((2, 2)) == "here"
