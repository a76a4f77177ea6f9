"""What a spreadsheet program makes of our workbooks: it works out the same values, and what it saves is still read."""

import re
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any
from zipfile import ZipFile

import pytest
from openpyxl import load_workbook

from tourney.intake.score_sheets import read_score_sheets
from tourney.model.sheet import FilledSheet, SheetEntries
from tourney.model.sheet_layout import DEFINED_NAMES, event_mark, sheet_code
from tourney.papers.fill import fill_workbook
from tourney.papers.results_workbook import write_results_workbook
from tourney.papers.score_sheets import write_score_sheets
from tourney.scoring.results import results_of

Office = Callable[..., Path]
# As a judge types it, then as it counts: lower case, signs between letters, a mark that nobody can read, an open call.
TYPED = {(1, 1): "l", (1, 2): " S ", (2, 1): "h,s", (2, 4): "W/L", (3, 6): "n", (4, 3): "L?"}
MARKS = {(1, 1): ("L",), (1, 2): ("S",), (2, 1): ("S", "H"), (2, 4): ("L", "W"), (3, 6): ("N",)}
DIVISIONS = ("Junior", "St. Quill / Marsh: Youth of Low Shore")  # 31 characters are too few for a tab


@pytest.fixture(scope="module")
def day(new_day: Any) -> Any:
    """Two divisions with names that no tab can hold as they are; clubs and children with stranger ones."""
    return new_day(names=DIVISIONS, teams=4, rooms=2, rounds=1, calls=8, judges=1)


@pytest.fixture(scope="module")
def filled(day: Any, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The workbook of one room, filled in."""
    folder = tmp_path_factory.mktemp("judges")
    path = write_score_sheets(folder, day.plan, day.book, day.roster)[0]
    ticks = {call: "X" for call in range(1, 9) if call != 7}
    codes = [sheet_code(heat.id, 1) for heat in day.plan.heats]
    fill_workbook(path, path, {code: SheetEntries(code, TYPED, ticks, "äb & c") for code in codes})
    return path


def read(path: Path, day: Any) -> dict[str, FilledSheet]:
    """What intake makes of every sheet, but for the notes."""
    readings = read_score_sheets(path.name, path.read_bytes(), day.plan, day.roster.contestant)
    assert {reading.state for reading in readings} == {"noted"}
    return {reading.code: replace(reading.sheet_read, notes=()) for reading in readings if reading.sheet_read}


@pytest.mark.parametrize("kind", ["xlsx", "ods", "xls"])
def test_a_sheet_saved_by_another_program_is_read_alike(kind: str, filled: Path, day: Any, office: Office) -> None:
    found = read(office(filled, kind), day)
    assert found == read(filled, day) and len(found) == 2
    for sheet in found.values():
        assert {(mark.line, mark.call): mark.letters for mark in sheet.marks} == MARKS
        assert sheet.judged == (1, 2, 3, 4, 5, 6, 8) and sheet.open_cells == ((4, 3),)
        assert sheet.initials == "äb & c"


def test_the_sheet_that_a_csv_file_holds_is_read_alike(filled: Path, day: Any, office: Office) -> None:
    ((code, sheet),) = read(office(filled, "csv"), day).items()
    assert sheet == read(filled, day)[code]


def test_names_lists_locks_and_properties_come_through(filled: Path, day: Any, office: Office) -> None:
    workbook: Any = load_workbook(office(filled, "xlsx"))
    told = {prop.name: prop.value for prop in workbook.custom_doc_props}
    assert told["tourney_event"] == event_mark(day.plan.draw.secret)
    for sheet in workbook.worksheets:
        assert set(DEFINED_NAMES) <= set(sheet.defined_names)
        assert sheet.protection.sheet and len(sheet.data_validations.dataValidation) == 2
        assert sheet.row_dimensions[1].hidden and sheet.column_dimensions["A"].hidden
        assert sum(len(rules.rules) for rules in sheet.conditional_formatting) == 5


def values_taken_out(path: Path, target: Path) -> Path:
    """A copy whose formulas hold nothing, so that a program has to work out every one."""
    with ZipFile(path) as parts, ZipFile(target, "w") as archive:
        for name in parts.namelist():
            text = parts.read(name)
            archive.writestr(name, re.sub(rb"</f><v>[^<]*</v>", b"</f>", text) if "worksheets/" in name else text)
    return target


def plain(value: Any) -> Any:
    return "" if value is None else f"{value:.14g}" if isinstance(value, int | float) else value


def formula_values(path: Path, like: Path) -> dict[tuple[str, str], Any]:
    """Tab and cell of every formula of `like` -> the value in `path`: "" where nothing is, numbers to 14 digits."""
    formulas, values = load_workbook(like), load_workbook(path, data_only=True)
    assert values.sheetnames == formulas.sheetnames
    return {
        (sheet.title, cell.coordinate): plain(values[sheet.title][cell.coordinate].value)
        for sheet in formulas.worksheets
        for row in sheet.iter_rows()
        for cell in row
        if cell.data_type == "f"
    }


def test_empty_sheets_show_what_a_program_works_out(day: Any, tmp_path: Path, office: Office) -> None:
    path = write_score_sheets(tmp_path, day.plan, day.book, day.roster)[0]
    ours = formula_values(path, path)
    assert len(ours) == 2 * (1 + 8 + 8 * 6)  # a sheet: the status, a check a call, totals of eight lines
    assert formula_values(office(values_taken_out(path, tmp_path / "bare.xlsx"), "xlsx"), path) == ours


@pytest.mark.filterwarnings("ignore:.*extension is not supported")  # how bars are drawn, for openpyxl
def test_totals_of_the_results_are_those_that_a_program_works_out(
    filled: Path, day: Any, tmp_path: Path, office: Office
) -> None:
    sheets = tuple(read(filled, day).values())
    results = results_of(day.plan, day.book, day.roster, sheets, protests_closed=True)
    path = tmp_path / "results.xlsx"
    write_results_workbook(path, results, day.plan, day.roster, sheets)
    ours = formula_values(path, path)
    theirs = formula_values(office(values_taken_out(path, tmp_path / "bare.xlsx"), "xlsx"), path)
    assert len(ours) >= 2 * 6 * 10 and theirs == ours
    tabs = load_workbook(path, data_only=True)
    for division in results.divisions:
        sheet = next(found for found in tabs.worksheets if found["A1"].value == f"{division.division}: teams")
        total = next(cell.column for cell in sheet[4] if cell.value == "Total")
        shown = [sheet.cell(row, total).value for row in range(5, 5 + len(division.teams))]
        assert shown == [float(team.points) for team in division.teams]
