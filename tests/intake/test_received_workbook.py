"""Files that are hostile, damaged or of another kind end in one sentence, fast and without a traceback."""

import io
import random

import pytest
from openpyxl import Workbook, load_workbook

from tests.intake.zipped import PAGE, packed, parts_of, saved
from tourney.intake import received_workbook
from tourney.intake.grid import Unreadable, cell_name
from tourney.intake.reader import open_workbook
from tourney.intake.received_workbook import read_workbook


def workbook() -> bytes:
    book = Workbook()
    sheet = book.worksheets[0]
    sheet["C3"], sheet["D3"], sheet["E4"] = "here", True, 12
    sheet.merge_cells("A6:B7")
    return saved(book)


SOUND = workbook()


def changed(name: str, old: bytes, new: bytes) -> bytes:
    parts = parts_of(SOUND)
    assert old in parts[name]
    return packed({**parts, name: parts[name].replace(old, new, 1)})


def sentence(content: bytes) -> str:
    with pytest.raises(Unreadable) as refused:
        read_workbook(content)
    assert refused.value.hint
    return refused.value.message


def trouble(content: bytes) -> str:
    (grid,) = read_workbook(content)
    return grid.trouble.message if grid.trouble else ""


def test_a_sound_workbook() -> None:
    (grid,) = read_workbook(SOUND)
    assert (grid.name, grid.trouble) == ("Sheet", None)
    assert [grid.at(place) for place in ((2, 2), (2, 3), (3, 4), (99, 99))] == ["here", True, 12, ""]
    assert grid.doubt((6, 1)) == "is joined with other cells"
    assert grid.doubt((2, 2)) == ""


def test_a_truth_value_kept_as_a_formula_is_taken_as_typed() -> None:
    """As a free office program saves a typed TRUE; with anything beside it, it is a formula like another."""
    for formula, doubt in ((b"TRUE()", ""), (b"TRUE()*1", "holds a formula"), (b"NOT(TRUE())", "holds a formula")):
        (grid,) = read_workbook(changed(PAGE, b"<v>1</v>", b'<f aca="false">' + formula + b"</f><v>1</v>"))
        assert (grid.at((2, 3)), grid.doubt((2, 3))) == (True, doubt)
        (grid,) = read_workbook(packed({"content.xml": OPEN_DOCUMENT.replace(b"of:=1", b"of:=" + formula)}))
        assert grid.doubt((2, 3)) == doubt


def test_cell_names_are_those_of_the_spreadsheet() -> None:
    assert [cell_name((0, 0)), cell_name((8, 25)), cell_name((0, 26)), cell_name((1048575, 16383))] == [
        "A1", "Z9", "AA1", "XFD1048576",
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("content", "words"),
    [
        (b"", "is empty"),
        (b"name,points\n", "is not a workbook"),
        (b"%PDF-1.7", "is not a workbook"),
        (b"PK\x03\x04", "damaged or cut short"),
        (SOUND[: len(SOUND) // 2], "damaged or cut short"),
        (packed({"word/document.xml": b"<a/>"}), "is not a workbook"),
        (packed({"xl/workbook.bin": b""}), "of the kind .xlsb"),
        (b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + bytes(600), "damaged or cut short"),
        (packed({"content.xml": b"\x01", "META-INF/manifest.xml": b"<encryption-data/>"}), "has a password"),
    ],
)
def test_other_files_get_one_sentence(content: bytes, words: str) -> None:
    assert words in sentence(content)


def test_too_large_a_file(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(received_workbook, "MOST_BYTES", len(SOUND) - 1)
    assert "far larger than it should be" in sentence(SOUND)


def test_a_file_that_unpacks_without_end(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(received_workbook, "MOST_EXPANDED", 5_000_000)
    bomb = packed({**parts_of(SOUND), "xl/media/notes.xml": bytes(6_000_000)})
    assert len(bomb) < 100_000
    assert "far larger than it should be" in sentence(bomb)


@pytest.mark.parametrize(("limit", "least"), [("MOST_TAGS", 20), ("MOST_CELLS", 4), ("MOST_SHEETS", 0)])
def test_more_than_score_sheets_need(limit: str, least: int, monkeypatch: pytest.MonkeyPatch) -> None:
    for content in (SOUND, packed({"content.xml": OPEN_DOCUMENT})):
        with monkeypatch.context() as patch:
            patch.setattr(received_workbook, limit, least)
            assert "far larger than it should be" in sentence(content)


@pytest.mark.parametrize("name", [PAGE, "xl/workbook.xml", "xl/styles.xml", "docProps/core.xml"])
def test_type_declarations_are_refused_in_any_part(name: str) -> None:
    declared = b'<!DOCTYPE x [<!ENTITY a "aaaaaaaaaa">]>'
    assert "no spreadsheet program writes" in sentence(
        packed({**parts_of(SOUND), name: declared + parts_of(SOUND)[name]})
    )


@pytest.mark.parametrize("place", [b"XFD1048576", b"A1048576", b"XFD1"])
def test_a_far_cell_is_named(place: bytes) -> None:
    assert f"in cell {place.decode()}." in trouble(changed(PAGE, b'r="C3"', b'r="' + place + b'"'))


def test_a_far_row_without_places_in_its_cells() -> None:
    content = changed(PAGE, b'<row r="3"><c r="C3"', b'<row r="1048576"><c')
    assert "in cell A1048576." in trouble(content)


def test_far_cells_with_nothing_in_them_do_no_harm() -> None:
    assert trouble(changed(PAGE, b"</row>", b'<c r="XFD3" s="0"/></row>')) == ""


@pytest.mark.parametrize("place", [b"AAAAAAAAAAAA3", b"C99999999999", b"3C", b"", b"C0"])
def test_an_odd_place_is_damage(place: bytes) -> None:
    assert "no proper place" in trouble(changed(PAGE, b'r="C3"', b'r="' + place + b'"'))


def test_damage_in_one_sheet_leaves_the_others() -> None:
    book = load_workbook(io.BytesIO(SOUND))
    book.create_sheet("two")["A1"] = "fine"
    target = io.BytesIO()
    book.save(target)
    parts = parts_of(target.getvalue())
    parts[PAGE] = parts[PAGE].replace(b"</row>", b"</wor>", 1)
    first, second = read_workbook(packed(parts))
    assert first.trouble and "damaged" in first.trouble.message
    assert (second.trouble, second.at((0, 0))) == (None, "fine")


# Element and attribute names by OASIS OpenDocument 1.2, part 1, 9.1 and 19.
OPEN_DOCUMENT = b"""<office:document-content xmlns:office="urn:oasis:names:tc:opendocument:xmlns:office:1.0"
 xmlns:table="urn:oasis:names:tc:opendocument:xmlns:table:1.0"
 xmlns:text="urn:oasis:names:tc:opendocument:xmlns:text:1.0">
<office:body><office:spreadsheet><table:table table:name="One">
<table:table-row table:number-rows-repeated="2"><table:table-cell table:number-columns-repeated="1024"/>
</table:table-row>
<table:table-row><table:table-cell/>
<table:table-cell table:number-columns-repeated="2"><text:p>L</text:p></table:table-cell>
<table:table-cell table:formula="of:=1"><text:p>1</text:p></table:table-cell>
<table:table-cell table:number-columns-spanned="2">
<office:annotation><text:p>hm</text:p></office:annotation></table:table-cell>
</table:table-row>
<table:table-row table:number-rows-repeated="1048573"><table:table-cell table:number-columns-repeated="1024"/>
</table:table-row>
</table:table></office:spreadsheet></office:body></office:document-content>"""


def test_open_document_sheets() -> None:
    (grid,) = read_workbook(packed({"content.xml": OPEN_DOCUMENT}))
    assert [grid.at((2, column)) for column in range(5)] == ["", "L", "L", "1", ""]
    assert grid.doubt((2, 3)) == "holds a formula"
    assert grid.doubt((2, 5)) == "is joined with other cells"
    assert len(grid.rows) == 3


def test_an_open_document_cell_repeated_without_end_is_named() -> None:
    hostile = OPEN_DOCUMENT.replace(b'repeated="2"><text:p>', b'repeated="9999999"><text:p>')
    assert "far away from the rest" in trouble(packed({"content.xml": hostile}))


def test_damaged_bytes_never_raise_anything_else() -> None:
    """Bytes of the file, and of the parts inside it, are changed at random."""
    chance = random.Random(20261125)
    parts = parts_of(SOUND)
    read = 0
    for _ in range(300):
        if chance.random() < 0.3:
            content = bytearray(SOUND)
            for _ in range(chance.randint(1, 8)):
                content[chance.randrange(len(content))] = chance.randrange(256)
        else:
            name = chance.choice(sorted(parts))
            part = bytearray(parts[name])
            for _ in range(chance.randint(1, 4)):
                at = chance.randrange(len(part))
                part[at : at + chance.randint(0, 3)] = chance.choice([b"<", b">", b"9", b'"', b"\xff", b"", b"r", b"/"])
            content = bytearray(packed({**parts, name: bytes(part)}))
        try:
            open_workbook(bytes(content))
            read += 1
        except Unreadable as reason:
            assert reason.message and reason.hint
    assert 0 < read < 300
