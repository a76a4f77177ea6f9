"""event.xlsx: the same event as event.toml, and faults with their cells."""

import io
from collections.abc import Sequence
from datetime import date as Date
from datetime import time
from pathlib import Path
from typing import Any, get_args

import openpyxl
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tourney.faults import Code, Fault
from tourney.intake.findings import Findings
from tourney.intake.settings import Settings, read_settings
from tourney.intake.settings_cells import from_cell
from tourney.intake.settings_schema import schema_at
from tourney.model.event import Event, TieBreak
from tourney.model.settings_layout import KEY, MEANING, SHEET, SHEETS, VALUE, cell_value

Rows = list[list[Any]]
TOML = """\
[event]
name = "Millrace Day"
date = 2027-04-17
timezone = "Europe/Dublin"
start = "08:30"
draw_words = "12"
[day]
rest = 15
pauses = [{ after_wave = 4, minutes = 40, label = "Lunch" }]
[[rooms]]
name = "1"
step_free = false
[[rooms]]
name = "Barn"
line_limit = 14
[[divisions]]
name = "Junior"
ages = [8, 10]
age_on = 2026-12-31
rounds = "all"
play_up = true
points = { late = 9 }
judges = 2
zones = [[1, 6], [7, 14]]
bands = [{ label = "A", from = 0.9 }]
[[divisions]]
name = "Senior"
grades = [6, 8]
sections = { law = 2, paul = 1.5 }
tie_breaks = ["clean_calls", "lot"]
bands = [{ label = "A", from = 0.9 }, { label = "Gold", from = 1 }]
[[answers]]
id = "maybe-same-child-1"
answer = "two children"
"""
BOOK: dict[str, Rows] = {
    "Event": [["The day"], [KEY, VALUE, MEANING], ["name", "Millrace Day", "what it is called"],
              ["date", Date(2027, 4, 17)], ["timezone", "Europe/Dublin"], ["start", time(8, 30)], ["draw_words", 12]],
    "day": [[KEY, VALUE], ["rest", 15], ["changeover", None], ["paper", "a4"]],
    "pauses": [["after_wave", "minutes", "label"], [4, 40, "Lunch"]],
    "rooms": [["name", "line_limit", "step_free"], [1, None, "no"], [], ["Barn", 14, "yes"]],
    "divisions": [[KEY, MEANING, "first", "second", "third"], ["name", "", "Junior", "Senior"], ["ages", "", "8-10"],
                  ["age_on", "", "31 December 2026"], ["grades", "", None, "6, 8"], ["rounds", "", "ALL"],
                  ["play_up", "", "Yes"], ["points.late", "", 9], ["sections", "", None, "law=2; paul=1.5"],
                  ["tie_breaks", "", None, "clean_calls; lot"], ["judges", "", 2], ["zones", "", "1-6, 7 - 14"]],
    "bands": [["division", "label", "from"], [None, "A", 0.9], ["senior", "Gold", 1]],
    "answers": [["id", "answer"], ["maybe-same-child-1", "two children"]],
    "Read me": [["anything"]],
}  # fmt: skip


def write(folder: Path, book: dict[str, Rows]) -> None:
    target = openpyxl.Workbook(write_only=True)
    for title, rows in book.items():
        sheet = target.create_sheet(title)
        for row in rows:
            sheet.append(row)
    content = io.BytesIO()
    target.save(content)
    (folder / "event.xlsx").write_bytes(content.getvalue())


def read(folder: Path) -> tuple[Settings, Sequence[Fault]]:
    findings = Findings()
    settings = read_settings(folder, findings)
    return settings, findings.faults


def test_the_workbook_says_what_the_toml_says(tmp_path: Path) -> None:
    write(tmp_path, BOOK)
    settings, faults = read(tmp_path)
    (tmp_path / "event.xlsx").unlink()
    (tmp_path / "event.toml").write_text(TOML, encoding="utf-8")
    assert not faults
    assert settings.event is not None and settings.event == read(tmp_path)[0].event


def with_cell(sheet: str, row: int, column: int, value: object) -> dict[str, Rows]:
    book = {title: [[*row, *[None] * 6] for row in rows] for title, rows in BOOK.items()}
    book[sheet][row - 1][column - 1] = value
    return book


@pytest.mark.parametrize(
    ("sheet", "row", "column", "value", "where", "code", "message", "hint"),
    [
        ("Event", 4, 2, None, "Event!B4", Code.MISSING_KEY, "date is missing.", "Add it: the day, year-month-day."),
        ("Event", 4, 2, "03/04/2027", "Event!B4", Code.BAD_VALUE, 'date is "03/04/2027".', "Write a date such as"),
        ("Event", 4, 1, "dat", "Event!A4", Code.UNKNOWN_KEY, "dat is not a key of event.", 'The nearest is "date".'),
        ("Event", 7, 1, "name", "Event!A7", Code.DUPLICATE_NAME, "name is there twice.", "Keep one row."),
        ("Event", 6, 2, "9", "Event!B6", Code.BAD_VALUE, 'start is "9".', "Write a time such as 09:00."),
        ("day", 2, 2, "long", "day!B2", Code.BAD_VALUE, 'day.rest is "long".', "Write a whole number from 0 to 600."),
        ("day", 4, 2, "A5", "day!B4", Code.BAD_VALUE, 'day.paper is "A5".', 'The nearest is "A4". Write one of: A4,'),
        ("pauses", 2, 1, None, "pauses!A2", Code.MISSING_KEY, "after_wave of pause 1 is missing.", "Add it"),
        ("rooms", 2, 1, None, "rooms!A2", Code.MISSING_KEY, "name is missing.", "Add it: the room's name"),
        ("rooms", 4, 2, 4.5, "rooms!B4", Code.BAD_VALUE, "line_limit of Barn is 4.5.", "Write a whole number from 1"),
        ("rooms", 2, 3, "may", "rooms!C2", Code.BAD_VALUE, 'step_free of 1 is "may".', "Write yes or no."),
        ("rooms", 1, 3, "step-fre", "rooms!C1", Code.UNKNOWN_KEY, "step_fre is not a key of rooms.", "The nearest is"),
        ("divisions", 3, 3, "8", "divisions!C3", Code.BAD_VALUE, "ages of Junior is [8].", "Write two whole numbers"),
        ("divisions", 3, 3, Date(2026, 10, 8), "divisions!C3", Code.BAD_VALUE, 'ages of Junior is "2026-10-08".',
         "Write two whole numbers, such as 8, 10."),
        ("divisions", 6, 4, "every", "divisions!D6", Code.BAD_VALUE, 'rounds of Senior is "every".', "Write a whole"),
        ("divisions", 9, 4, "law=x", "divisions!D9", Code.BAD_VALUE, 'sections of Senior is "law=x".',
         "Write one of: equal, by_size or weights such as law=2, paul=1."),
        ("divisions", 10, 4, "lot, lat", "divisions!D10", Code.BAD_VALUE, 'tie_breaks of Senior is "lat".', "The near"),
        ("divisions", 5, 5, "1, 2", "divisions!E2", Code.MISSING_KEY, "name is missing.", "Add it: the division's"),
        ("bands", 3, 1, "seniors", "bands!A3", Code.UNKNOWN_DIVISION, 'There is no division "seniors".',
         'The nearest is "Senior".'),
        ("bands", 3, 3, 90, "bands!C3", Code.BAD_VALUE, "from of band 2 is 90.", "Write a number above 0"),
        ("answers", 2, 2, None, "answers!B2", Code.MISSING_KEY, "answer of answer 1 is missing.", "Add it"),
    ],
)  # fmt: skip
def test_faults_name_their_cell(
    tmp_path: Path, sheet: str, row: int, column: int, value: object, where: str, code: Code, message: str, hint: str
) -> None:
    write(tmp_path, with_cell(sheet, row, column, value))
    found = [(fault.where, fault.code, fault.message) for fault in read(tmp_path)[1]]
    assert (where, code, message) in found
    assert any(fault.message == message and fault.hint.startswith(hint) for fault in read(tmp_path)[1])


@pytest.mark.parametrize(("typed", "part"), [("85%", 0.85), ("7 %", 0.07), ("28,7%", 0.287), ("0,9", 0.9), (0.5, 0.5)])
def test_a_part_may_be_typed_in_percent(tmp_path: Path, typed: Any, part: float) -> None:
    write(tmp_path, with_cell("bands", 3, 3, typed))
    settings, faults = read(tmp_path)
    assert not faults and settings.event is not None
    assert part in [band.from_ for division in settings.event.divisions for band in division.bands]


def test_a_band_of_all_divisions_is_wrong_once(tmp_path: Path) -> None:
    write(tmp_path, with_cell("bands", 2, 3, 90))
    assert [(fault.where, fault.message) for fault in read(tmp_path)[1]] == [("bands!C2", "from of band 1 is 90.")]


def test_a_sheet_nearly_called_so_and_one_without_header_are_named(tmp_path: Path) -> None:
    book = {("Pause" if title == "pauses" else title): rows for title, rows in BOOK.items()}
    book["day"] = [["rest", 15]]
    write(tmp_path, book)
    said = [(fault.where, fault.code, fault.message) for fault in read(tmp_path)[1]]
    assert said == [
        ("Pause", Code.UNKNOWN_KEY, 'A sheet "Pause" is not known.'),
        ("day", Code.MISSING_COLUMN, 'The sheet "day" has no row with key and value near its top.'),
    ]


def test_a_missing_sheet_is_named(tmp_path: Path) -> None:
    write(tmp_path, {title: rows for title, rows in BOOK.items() if title != "rooms"})
    ((fault),) = read(tmp_path)[1]
    assert (fault.where, fault.code, fault.message) == ("rooms", Code.MISSING_KEY, "rooms is missing.")


def test_without_a_sheet_of_bands_the_defaults_hold_and_an_empty_one_means_none(tmp_path: Path) -> None:
    write(tmp_path, {title: rows for title, rows in BOOK.items() if title != "bands"})
    settings, _ = read(tmp_path)
    assert settings.event is not None
    assert [band.label for band in settings.event.divisions[0].bands] == ["A", "B"]
    write(tmp_path, {**BOOK, "bands": BOOK["bands"][:1]})
    settings, _ = read(tmp_path)
    assert settings.event is not None and settings.event.divisions[0].bands == ()


def test_a_starter_with_every_default_written_out_is_the_event_of_defaults(tmp_path: Path) -> None:
    """What the layout says of defaults is what the reader takes them for."""
    needed = {"name": "Junior", "date": Date(2027, 4, 17), "ages": "8, 10"}
    book: dict[str, Rows] = {}
    for sheet in SHEETS:
        values = [(key.name, needed.get(key.name, key.default)) for key in sheet.keys]
        if sheet.shape == "rows":
            book[sheet.name] = [[name for name, _ in values]]
        else:
            book[sheet.name] = [[KEY, VALUE, MEANING], *([name, value, ""] for name, value in values)]
    book["divisions"] = [[KEY, MEANING, "1"], *([name, "", value] for name, value, _ in book["divisions"][1:])]
    book["rooms"].append(["Junior"])
    del book["bands"]
    write(tmp_path, book)
    settings, faults = read(tmp_path)
    assert not faults
    assert settings.event == Event.model_validate(
        {"name": "Junior", "date": "2027-04-17", "rooms": [{"name": "Junior"}],
         "divisions": [{"name": "Junior", "ages": [8, 10]}]}
    )  # fmt: skip


CELLS = st.one_of(st.text(max_size=12), st.integers(-9, 99), st.floats(), st.booleans(), st.dates(), st.times())
KEYS = [(sheet, key.name) for sheet in ("event", "day", "divisions") for key in SHEET[sheet].keys]


@given(CELLS, st.sampled_from(KEYS))
def test_no_cell_breaks_it(value: Any, key: tuple[str, str]) -> None:
    base: dict[str, tuple[str | int, ...]] = {"event": (), "day": ("day",), "divisions": ("divisions", 0)}
    schema = schema_at((*base[key[0]], *key[1].split(".")))
    assert schema
    from_cell(value, schema)


@given(st.lists(st.sampled_from(get_args(TieBreak)), min_size=1, unique=True))
def test_lists_come_back_as_written(chain: list[str]) -> None:
    assert from_cell(cell_value(tuple(chain)), schema_at(("divisions", 0, "tie_breaks"))) == chain


@given(st.dictionaries(st.sampled_from(["law", "history", "paul"]), st.integers(0, 9), min_size=1))
def test_weights_come_back_as_written(weights: dict[str, int]) -> None:
    assert from_cell(cell_value(weights), schema_at(("divisions", 0, "sections"))) == weights
