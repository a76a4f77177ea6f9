"""What a new folder starts with: it can be read back, and holds every key with its meaning."""

import datetime
import shutil
import tomllib
from pathlib import Path
from typing import Any

import pytest
from openpyxl import load_workbook
from openpyxl.worksheet.worksheet import Worksheet

from tourney.canon.syllabus import built_in
from tourney.faults import Code
from tourney.intake.findings import Findings
from tourney.intake.folder import read_folder
from tourney.intake.sound_alikes import read_sound_alikes
from tourney.model.event import Day, Division, Event, Room
from tourney.model.settings_layout import SHEETS
from tourney.model.table_columns import ENTRIES, OFFICIALS
from tourney.papers.starters import write_starters

NOT_YET = {Code.NO_ENTRIES, Code.MISSING_FILE}  # nobody has entered, no officials are listed
DAY = datetime.date(2027, 4, 17)


def fill_pairs(folder: Path, **values: Any) -> None:
    workbook = load_workbook(folder / "event.xlsx")
    for row in workbook["event"].iter_rows(min_row=5):
        if row[0].value in values:
            row[1].value = values[str(row[0].value)]
    workbook.save(folder / "event.xlsx")


def put_row(sheet: Worksheet, **values: Any) -> None:
    """Fill the first free row of a form by the names of its columns."""
    headings = {str(cell.value): place for place, cell in enumerate(sheet[4], 1)}
    row = next(number for number in range(5, 99) if sheet.cell(number, headings["name"]).value is None)
    for name, value in values.items():
        sheet.cell(row, headings[name]).value = value


def test_the_workbook_is_sound_once_name_and_date_are_filled_in(tmp_path: Path) -> None:
    write_starters(tmp_path, toml=False)
    fill_pairs(tmp_path, name="Pebble Harbour", date=DAY)
    found = read_folder(tmp_path)
    assert found.event == Event(
        name="Pebble Harbour",
        date=DAY,
        rooms=(Room(name="Room 1"),),
        divisions=(Division(name="Junior", ages=(8, 10)),),
    )
    assert {fault.code for fault in found.faults} == NOT_YET and not found.questions


def test_untouched_it_misses_name_and_date_and_nothing_else(tmp_path: Path) -> None:
    write_starters(tmp_path, toml=False)
    faults = [fault for fault in read_folder(tmp_path).faults if fault.code not in NOT_YET]
    assert [(fault.code, fault.where) for fault in faults] == [
        (Code.MISSING_KEY, "event!B5"),
        (Code.MISSING_KEY, "event!B6"),
    ]


def test_the_text_says_the_same_as_the_workbook(tmp_path: Path) -> None:
    write_starters(tmp_path / "text", toml=True)
    text = (tmp_path / "text" / "event.toml").read_text(encoding="utf-8")
    text = text.replace('name = ""', 'name = "Pebble Harbour"', 1).replace("# date = 2027-04-17", "date = 2027-04-17")
    (tmp_path / "text" / "event.toml").write_text(text, encoding="utf-8")
    write_starters(tmp_path / "workbook", toml=False)
    fill_pairs(tmp_path / "workbook", name="Pebble Harbour", date=DAY)
    event = read_folder(tmp_path / "text").event
    assert event is not None and event == read_folder(tmp_path / "workbook").event


def test_the_text_is_toml_and_names_every_key_with_its_meaning(tmp_path: Path) -> None:
    write_starters(tmp_path, toml=True)
    text = (tmp_path / "event.toml").read_text(encoding="utf-8")
    tomllib.loads(text)
    plain = " ".join(line.lstrip("# ") for line in text.splitlines())
    for table in (Day, Room, Division):
        for name, info in table.model_fields.items():
            assert f"\n{name} = " in text or f"\n# {name} = " in text
            assert info.description is not None and info.description in plain


def test_the_workbook_names_every_key_with_its_meaning(tmp_path: Path) -> None:
    write_starters(tmp_path, toml=False)
    workbook = load_workbook(tmp_path / "event.xlsx")
    for layout in SHEETS:
        shown = [str(cell.value) for row in workbook[layout.name].iter_rows() for cell in row if cell.value is not None]
        for key in layout.keys:
            assert key.name in shown
            assert any(text.startswith(key.meaning) for text in shown)


def test_words_are_offered_where_only_certain_words_will_do(tmp_path: Path) -> None:
    write_starters(tmp_path, toml=False)
    sheet = load_workbook(tmp_path / "event.xlsx")["divisions"]
    row = next(cell.row for cell in sheet["A"] if cell.value == "panel")
    lists = [v for v in sheet.data_validations.dataValidation if f"C{row}" in v.sqref]
    assert [found.formula1 for found in lists] == ['"median,majority,mean,chief"']


@pytest.mark.parametrize("toml", [True, False])
def test_a_file_that_is_there_stays(tmp_path: Path, toml: bool) -> None:
    name = "event.toml" if toml else "event.xlsx"
    (tmp_path / name).write_bytes(b"mine")
    written = write_starters(tmp_path, toml)
    assert [path.name for path in written] == ["entry_form.xlsx", "officials_form.xlsx", "sound_alikes.csv"]
    assert (tmp_path / name).read_bytes() == b"mine"
    assert write_starters(tmp_path, toml) == ()


def test_filled_forms_are_read_without_faults(tmp_path: Path) -> None:
    write_starters(tmp_path, toml=False)
    fill_pairs(tmp_path, name="Pebble Harbour", date=DAY)
    form = load_workbook(tmp_path / "forms" / "entry_form.xlsx")
    for child, born in (("Orla Saltash", (2017, 3, 4)), ("Bram Okpilo", (2018, 1, 9))):
        club = {"club": "Gull Point", "team": "Gulls", "division": "Junior"}
        put_row(form["Entries"], **club, name=child, birth_date=datetime.date(*born), role="member")
    (tmp_path / "entries").mkdir()
    form.save(tmp_path / "entries" / "gull_point.xlsx")
    officials = load_workbook(tmp_path / "forms" / "officials_form.xlsx")
    put_row(officials["Officials"], name="Wren Marrowby", roles="judge;caller", cleared_until=datetime.date(2028, 1, 1))
    officials.save(tmp_path / "officials.xlsx")
    found = read_folder(tmp_path)
    assert found.faults == () and found.questions == ()
    assert [(team.name, [child.name for child in team.members]) for team in found.teams] == [
        ("Gulls", ["Orla Saltash", "Bram Okpilo"])
    ]
    assert [(entered.official.name, entered.official.roles) for entered in found.officials] == [
        ("Wren Marrowby", ("judge", "caller"))
    ]


def test_the_table_of_sound_alikes_is_read_as_the_built_in_one(tmp_path: Path) -> None:
    write_starters(tmp_path, toml=True)
    shutil.copyfile(tmp_path / "forms" / "sound_alikes.csv", tmp_path / "sound_alikes.csv")
    findings = Findings()
    assert read_sound_alikes(tmp_path, built_in(), findings) == built_in().sound_alikes
    assert findings == Findings()


def test_forms_have_the_columns_that_the_readers_know(tmp_path: Path) -> None:
    write_starters(tmp_path, toml=False)
    for name, tab, columns in (("entry_form", "Entries", ENTRIES), ("officials_form", "Officials", OFFICIALS)):
        sheet = load_workbook(tmp_path / "forms" / f"{name}.xlsx")[tab]
        assert [cell.value for cell in sheet[4]] == [column.name for column in columns]


def test_the_entry_form_offers_divisions_and_shows_days_as_days(tmp_path: Path) -> None:
    write_starters(tmp_path, toml=False)
    workbook = load_workbook(tmp_path / "forms" / "entry_form.xlsx")
    sheet = workbook["Entries"]
    offered = {v.formula1 for v in sheet.data_validations.dataValidation}
    assert {'"initial,full,number"', '"member,substitute"', "=Divisions!$A$5:$A$24"} <= offered
    assert workbook["Divisions"]["A5"].value == "Junior"
    column = next(cell.column for cell in sheet[4] if cell.value == "birth_date")
    assert sheet.cell(5, column).number_format == "yyyy-mm-dd"
    words = " ".join(str(cell.value) for row in workbook["Read me"].iter_rows() for cell in row)
    assert "only to the coordinator" in words and "safeguarding" in words
