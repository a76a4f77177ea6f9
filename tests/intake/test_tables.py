"""Tables in every dress in which they are sent, hostile ones too."""

import io
import zipfile
from collections.abc import Sequence
from datetime import date as Date
from datetime import time
from pathlib import Path
from typing import Any

import openpyxl
import pytest
from hypothesis import given
from hypothesis import strategies as st
from openpyxl.utils import get_column_letter

from tourney.faults import Code
from tourney.intake.findings import Findings
from tourney.intake.grid import Unreadable, column_letters, column_number
from tourney.intake.sheets import workbook_sheets
from tourney.intake.tables import Table, read_tables
from tourney.model.table_columns import Column

COLUMNS = (
    Column("club", "the club", needed=True),
    Column("name", "the child", needed=True),
    Column("birth_date", "the day"),
)


def workbook(*sheets: tuple[str, Sequence[list[Any]]]) -> bytes:
    """A workbook of these sheets: title and rows of each."""
    book = openpyxl.Workbook(write_only=True)
    for title, rows in sheets:
        sheet = book.create_sheet(title)
        for row in rows:
            sheet.append(row)
    target = io.BytesIO()
    book.save(target)
    return target.getvalue()


def entries(*rows: list[Any]) -> bytes:
    return workbook(("Entries", rows))


def read(folder: Path, name: str, content: bytes | str) -> tuple[tuple[Table, ...], Findings]:
    path, findings = folder / name, Findings()
    path.write_bytes(content.encode() if isinstance(content, str) else content)
    return read_tables(path, name, COLUMNS, findings), findings


def cells(tables: tuple[Table, ...]) -> list[tuple[str, str]]:
    return [(row.text("club"), row.text("name")) for table in tables for row in table.rows]


@pytest.mark.parametrize(
    "content",
    [
        "club,name\nOxbow,Zoë Ångström\n".encode(),
        "\ufeffclub;name\r\nOxbow;Zoë Ångström\r\n".encode(),
        "name;Club\r\nZoë Ångström;Oxbow\r\n".encode("cp1252"),
        "club\tname\nOxbow\tZoë Ångström\n".encode("utf-16"),
        'sep=;\nclub;name\n"Oxbow";"Zoë  Ångström "\n\n;\n'.encode(),
        "Entries of Oxbow\n\nCLUB , Name\nOxbow,Zoë Ångström".encode(),
    ],
    ids=["utf-8", "mark and semicolons", "code page", "utf-16", "separator line", "title above"],
)
def test_csv_as_programs_write_it(tmp_path: Path, content: bytes) -> None:
    tables, findings = read(tmp_path, "a b.csv", content)
    assert cells(tables) == [("Oxbow", "Zoë Ångström")]
    assert not findings.faults


def test_places_in_csv_are_lines_even_after_a_cell_of_two_lines(tmp_path: Path) -> None:
    tables, _ = read(tmp_path, "a.csv", 'club,name\n"Ox\nbow",Ada\n\nOxbow,Ben\n')
    assert [(row.text("club"), row.where()) for row in tables[0].rows] == [("Ox bow", "line 2"), ("Oxbow", "line 5")]


def test_places_in_workbooks_are_cells(tmp_path: Path) -> None:
    header, row = [None, "Club", "Birth date", "Name"], [None, "Oxbow", Date(2016, 5, 3), "Ada"]
    tables, findings = read(tmp_path, "a.xlsx", entries(["Entry form"], [], header, [], row))
    (found,) = tables[0].rows
    assert found.cells == {"club": "Oxbow", "birth_date": Date(2016, 5, 3), "name": "Ada"}
    assert (found.where("birth_date"), found.where("club")) == ("Entries!C5", "Entries!B5")
    assert not findings.faults and not findings.notes


def test_whole_numbers_and_times_stay_what_they_are(tmp_path: Path) -> None:
    tables, _ = read(tmp_path, "a.xlsx", entries(["club", "name", "birth_date"], [4, 4.5, time(9, 30)]))
    assert tables[0].rows[0].cells == {"club": 4, "name": 4.5, "birth_date": time(9, 30)}


def test_names_like_formulas_are_texts(tmp_path: Path) -> None:
    tables, _ = read(tmp_path, "a.csv", "club,name\n=cmd,@SUM(A1)\n+1,-2\n")
    assert cells(tables) == [("=cmd", "@SUM(A1)"), ("+1", "-2")]


def test_every_sheet_with_the_columns_is_read_and_others_are_not(tmp_path: Path) -> None:
    content = workbook(
        ("Read me", [["Name", "the child's name"]]),
        ("One", [["club", "name"], ["Oxbow", "Ada"]]),
        ("Two", [["name", "club"], ["Ben", "Tarn"]]),
    )
    tables, findings = read(tmp_path, "a.xlsx", content)
    assert cells(tables) == [("Oxbow", "Ada"), ("Tarn", "Ben")]
    assert not findings.faults


def test_extra_columns_are_kept_and_noted_once(tmp_path: Path) -> None:
    header = ",".join(["club", "name", *(f"Box {number}" for number in range(100))])
    tables, findings = read(tmp_path, "a.csv", f"{header}\nOxbow,Ada,{',' * 99}last\n")
    assert tables[0].rows[0].extra == {"Box 99": "last"}
    assert [note.code for note in findings.notes] == [Code.EXTRA_COLUMNS]
    assert findings.notes[0].message.endswith("Box 6, Box 7 and 92 more.")


def test_a_column_twice_is_a_fault(tmp_path: Path) -> None:
    _, findings = read(tmp_path, "a.csv", "club,name,Club\nOxbow,Ada,Tarn\n")
    assert [(fault.code, fault.message) for fault in findings.faults] == [
        (Code.DUPLICATE_NAME, 'Two columns are called "club".')
    ]


def test_a_missing_column_names_what_looks_like_it(tmp_path: Path) -> None:
    tables, findings = read(tmp_path, "a.xlsx", entries(["clubs", "name"], ["Oxbow", "Ada"]))
    assert tables == ()
    (fault,) = findings.faults
    assert (fault.code, fault.where) == (Code.MISSING_COLUMN, "Entries!A1")
    assert fault.hint == '"clubs" looks like it: write "club" there.'


def changed(content: bytes, part: str, old: bytes, new: bytes) -> bytes:
    target = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(content)) as source, zipfile.ZipFile(target, "w") as copy:
        for name in source.namelist():
            text = source.read(name)
            copy.writestr(name, text.replace(old, new) if name == part else text)
    return target.getvalue()


GOOD = entries(["club", "name"], ["Oxbow", "Ada"])
SHEET = "xl/worksheets/sheet1.xml"


@pytest.mark.parametrize(
    ("name", "content", "says"),
    [
        ("a.xlsx", b"", "a.xlsx is empty."),
        ("a.csv", b"", "a.csv is empty."),
        ("a.csv", b" \n\n", "a.csv is empty."),
        ("a.xlsx", b"club,name\n", "a.xlsx is not a workbook, whatever its name says."),
        ("a.xlsx", GOOD[: len(GOOD) // 2], "a.xlsx is damaged or cut short."),
        ("a.xlsx", b"PK\x03\x04 and then nothing", "a.xlsx is damaged or cut short."),
        ("a.xlsx", b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1", "a.xlsx is damaged or cut short."),
        (
            "a.xlsx",
            changed(GOOD, SHEET, b'"B2"', b'"XFD20000"'),
            'a.xlsx holds the sheet "Entries", which has something far away from the rest, in cell XFD20000.',
        ),
        (
            "a.xlsx",
            changed(GOOD, SHEET, b'r="A1"', b'r="1A"'),
            'a.xlsx holds the sheet "Entries", which is damaged: a cell has no proper place.',
        ),
        (
            "a.xlsx",
            changed(GOOD, SHEET, b"<worksheet", b'<!DOCTYPE x [<!ENTITY y "z">]><worksheet'),
            "a.xlsx holds parts that no spreadsheet program writes.",
        ),
        ("a.csv", b"club,name\nOxbow,A\0da\n", "a.csv is not a CSV text, whatever its name says."),
        ("a.csv", GOOD, "a.csv is not a CSV text, whatever its name says."),
        ("a.csv", b"club,name\nOxbow,\x81\x8d\n", "a.csv has letters in a code that can't be told."),
        ("a.csv", b"club,name\nOxbow," + b"a" * 200_000, "a.csv can't be read as a table from line 2 on."),
    ],
)  # fmt: skip
def test_what_can_not_be_read_is_said(tmp_path: Path, name: str, content: bytes, says: str) -> None:
    tables, findings = read(tmp_path, name, content)
    assert tables == ()
    (fault,) = findings.faults
    assert (fault.code, fault.file, fault.message) == (Code.UNREADABLE_FILE, name, says)
    assert fault.hint
    assert findings.lost == {name}


@given(st.data())
def test_no_slip_in_a_workbook_breaks_it(data: st.DataObject) -> None:
    with zipfile.ZipFile(io.BytesIO(GOOD)) as parts:
        name = data.draw(st.sampled_from(sorted(parts.namelist())))
        part = parts.read(name)
    start = data.draw(st.integers(0, len(part) - 1))
    end = data.draw(st.integers(start + 1, min(len(part), start + 40)))
    slip = data.draw(st.sampled_from([b"", b"9", b"<c>", b"\xff", b'r="ZZZ9"', part[start:end] * 2]))
    damaged = changed(GOOD, name, part, part[:start] + slip + part[end:])
    try:
        assert workbook_sheets("a.xlsx", damaged)
    except Unreadable as reason:
        assert reason.message.endswith(".") and reason.hint.endswith(".")


def test_a_locked_file_is_said(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def locked(_: Path) -> bytes:
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(Path, "read_bytes", locked)
    findings = Findings()
    assert read_tables(tmp_path / "a.csv", "a.csv", COLUMNS, findings) == ()
    (fault,) = findings.faults
    assert (fault.code, fault.message) == (Code.UNREADABLE_FILE, "a.csv can't be read.")
    assert "close it there" in fault.hint


@given(st.binary(max_size=300), st.sampled_from(["a.csv", "a.xlsx"]))
def test_no_bytes_break_it(tmp_path_factory: pytest.TempPathFactory, content: bytes, name: str) -> None:
    _, findings = read(tmp_path_factory.mktemp("bytes"), name, content)
    assert findings.faults or name.endswith(".csv")


@given(st.integers(1, 16_384))
def test_letters_of_columns(number: int) -> None:
    assert column_number(column_letters(number)) == number
    assert column_letters(number) == get_column_letter(number)
