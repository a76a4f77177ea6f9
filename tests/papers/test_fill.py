"""Filled sheets: what was typed stands where it belongs, and a spreadsheet program works out the totals.

The totals are worked by hand from the points of the sample day: call 10, late 10, wrong place 10, spoken 5, handling 2.
"""

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from openpyxl import load_workbook
from openpyxl.worksheet.worksheet import Worksheet

from tourney.model.sheet import SheetEntries
from tourney.model.sheet_layout import sheet_code
from tourney.papers.fill import fill_workbook
from tourney.papers.score_sheets import write_score_sheets

TICKS = dict.fromkeys(range(1, 7), "x")


@pytest.fixture(scope="module")
def small(new_day: Any) -> Any:
    """Two heats of eight in one room, six calls, one judge."""
    return new_day(names=("Junior",), teams=4, rooms=1, rounds=1, calls=6, judges=1)


@pytest.fixture(scope="module")
def codes(small: Any) -> list[str]:
    return [sheet_code(heat.id, 1) for heat in small.plan.heats]


@pytest.fixture(scope="module")
def entries(codes: list[str]) -> dict[str, SheetEntries]:
    marks = {(1, 1): "l", (1, 2): " S ", (2, 1): "HS", (2, 2): "WS", (3, 6): "n", (4, 3): "L?", (5, 4): "S*"}
    ticked = {call: tick for call, tick in TICKS.items() if call != 5}
    done = {(1, 1): "W", (8, 6): "s h"}
    return {
        codes[0]: SheetEntries(codes[0], marks, ticked, "AB"),
        codes[1]: SheetEntries(codes[1], done, {**TICKS, 6: "X"}, "<&CD"),
    }


@pytest.fixture(scope="module")
def filled(small: Any, entries: dict[str, SheetEntries], tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("filled")
    (source,) = write_score_sheets(folder, small.plan, small.book, small.roster)
    fill_workbook(source, folder / "returned" / "filled.xlsx", entries)
    return folder / "returned" / "filled.xlsx"


def block(sheet: Worksheet, name: str) -> Any:
    """The cells of a sheet-scoped name as rows, the way a stranger's program finds them."""
    _, place = next(iter(sheet.defined_names[name].destinations))
    found = sheet[place.replace("$", "")]
    return found if isinstance(found, tuple) else ((found,),)


def test_what_was_typed_stands_where_it_belongs(
    filled: Path, codes: list[str], entries: dict[str, SheetEntries]
) -> None:
    for code, sheet in zip(codes, load_workbook(filled).worksheets, strict=True):
        marks = {
            (line, call): cell.value
            for line, row in enumerate(block(sheet, "marks"), 1)
            for call, cell in enumerate(row, 1)
            if cell.value is not None
        }
        ticks = {call: cell.value for call, cell in enumerate(block(sheet, "judged")[0], 1) if cell.value}
        assert block(sheet, "sheet_code")[0][0].value == code
        assert (marks, ticks) == (entries[code].cells, entries[code].ticked)
        assert block(sheet, "judge_initials")[0][0].value == entries[code].initials


def test_filling_keeps_style_and_everything_else(filled: Path) -> None:
    blank = load_workbook(filled.parent.parent / "Boat_Shed.xlsx").worksheets[0]
    sheet = load_workbook(filled).worksheets[0]
    for row in blank.iter_rows():
        for cell in row:
            assert sheet[cell.coordinate].style_id == cell.style_id
            if cell.value is not None:
                assert sheet[cell.coordinate].value == cell.value


def test_what_formulas_came_to_is_taken_out_of_filled_sheets_alone(
    small: Any, codes: list[str], tmp_path: Path
) -> None:
    (path,) = write_score_sheets(tmp_path, small.plan, small.book, small.roster)
    fill_workbook(path, path, {codes[0]: SheetEntries(codes[0], {}, TICKS, "AB")})
    first, second = load_workbook(path, data_only=True).worksheets
    assert (first["B2"].value, second["B2"].value) == (None, "6 calls open")


def test_a_code_that_no_sheet_has_is_passed_over(filled: Path, tmp_path: Path) -> None:
    strange = {"J-R9-9.A.0": SheetEntries("J-R9-9.A.0", {}, {}, "AB")}
    fill_workbook(filled, tmp_path / "same.xlsx", strange)
    assert [s.title for s in load_workbook(tmp_path / "same.xlsx")] == [s.title for s in load_workbook(filled)]


def test_a_line_that_the_sheet_does_not_have_is_a_mistake_of_the_caller(
    filled: Path, codes: list[str], tmp_path: Path
) -> None:
    with pytest.raises(KeyError):
        fill_workbook(filled, tmp_path / "x.xlsx", {codes[0]: SheetEntries(codes[0], {(99, 1): "L"}, {}, "")})
    assert not (tmp_path / "x.xlsx").exists()


def test_a_spreadsheet_program_works_out_totals_and_status(filled: Path, office: Callable[..., Path]) -> None:
    first, second = load_workbook(office(filled, "xlsx"), data_only=True).worksheets
    # Calls 3 and 4 hold what can't be read, call 5 has no tick: only calls 1, 2 and 6 count.
    assert _totals(first, 1) == [1, 0, 1, 0, 0, 0 + 5 + 10]
    assert _totals(first, 2) == [0, 1, 2, 1, 0, 3 + 0 + 10]
    assert _totals(first, 3) == [0, 0, 0, 0, 1, 10 + 10 + 0]
    assert _totals(first, 4) == [0, 0, 0, 0, 0, 30]
    assert first["B2"].value == "FIX call 3"
    assert _checks(first) == ["ok", "ok", "FIX", "FIX", None, "ok"]
    assert _totals(second, 1) == [0, 1, 0, 0, 0, 50]
    assert _totals(second, 8) == [0, 0, 1, 1, 0, 50 + 3]
    assert second["B2"].value == "COMPLETE"


def test_a_spreadsheet_program_prints_the_largest_sheet_on_one_page(
    new_day: Any, tmp_path: Path, office: Callable[..., Path]
) -> None:
    day = new_day(names=("Junior",), teams=2, rooms=1, rounds=1, calls=30, squad=6, judges=1, paper="Letter")
    (path,) = write_score_sheets(tmp_path, day.plan, day.book, day.roster)
    printed = office(path, "pdf").read_bytes()
    assert printed.count(b"/Type/Page/") == 1
    assert b"/MediaBox[0 0 792 612]" in printed  # Letter, landscape, in points


def _totals(sheet: Worksheet, line: int) -> list[Any]:
    """L W S H N and points, right of a line's boxes."""
    boxes = block(sheet, "marks")[line - 1]
    return [sheet.cell(boxes[-1].row, boxes[-1].column + place).value for place in range(1, 7)]


def _checks(sheet: Worksheet) -> list[Any]:
    ticks = block(sheet, "judged")[0]
    return [sheet.cell(tick.row + 1, tick.column).value or None for tick in ticks]
