"""The judges' workbooks: what they hold, and that a stranger's program can read them by the names of the contract."""

from pathlib import Path
from typing import Any
from zipfile import ZipFile

import pytest
from openpyxl import load_workbook
from openpyxl.worksheet.worksheet import Worksheet

from tourney.model.sheet_layout import DEFINED_NAMES, event_mark, parse_identity, sheet_code
from tourney.papers.score_sheets import write_score_sheets


@pytest.fixture(scope="module")
def day(new_day: Any) -> Any:
    """One round of the sample day: six heats in three rooms."""
    return new_day(rounds=1)


@pytest.fixture(scope="module")
def workbooks(day: Any, tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, ...]:
    return write_score_sheets(tmp_path_factory.mktemp("judges"), day.plan, day.book, day.roster)


@pytest.fixture(scope="module")
def sheets(workbooks: tuple[Path, ...]) -> dict[str, Worksheet]:
    """Sheets by code."""
    found = [sheet for path in workbooks for sheet in load_workbook(path, rich_text=True).worksheets]
    return {str(cells(sheet, "sheet_code")[0].value): sheet for sheet in found}


def cells(sheet: Worksheet, name: str) -> list[Any]:
    """The cells of a sheet-scoped name."""
    _, block = next(iter(sheet.defined_names[name].destinations))
    first, _, last = block.replace("$", "").partition(":")
    return [cell for row in sheet[f"{first}:{last or first}"] for cell in row]


def line_of(sheet: Worksheet, number: int) -> int:
    """The row of a line number."""
    return int(next(cell.row for cell in cells(sheet, "line_numbers") if cell.value == number))


def test_a_workbook_a_room_with_clean_names_in_the_order_of_the_settings(workbooks: tuple[Path, ...]) -> None:
    assert [path.name for path in workbooks] == ["Boat_Shed.xlsx", "Net_Loft.xlsx", "Con_.xlsx"]


def test_a_sheet_a_judge_and_heat(day: Any, sheets: dict[str, Worksheet]) -> None:
    wanted = {sheet_code(heat.id, judge) for heat in day.plan.heats for judge in range(1, len(heat.judges) + 1)}
    assert set(sheets) == wanted


def test_sheets_stand_in_wave_order(day: Any, workbooks: tuple[Path, ...]) -> None:
    order = {wave.id: place for place, wave in enumerate(day.plan.waves)}
    for path in workbooks:
        waves = [order[title.split()[0]] for title in load_workbook(path, read_only=True).sheetnames]
        assert waves == sorted(waves)


def test_titles_are_short_and_say_wave_heat_and_judge(sheets: dict[str, Worksheet]) -> None:
    assert sheets["J-R1-1.A.1"].title == "W01 J-R1-1 A"
    assert all(len(sheet.title) <= 31 for sheet in sheets.values())


def test_the_names_of_the_contract_cover_lines_calls_and_boxes(day: Any, sheets: dict[str, Worksheet]) -> None:
    for heat in day.plan.heats:
        sheet = sheets[sheet_code(heat.id, 1)]
        assert set(sheet.defined_names) >= set(DEFINED_NAMES)
        assert [cell.value for cell in cells(sheet, "line_numbers")] == list(range(1, len(heat.line) + 1))
        assert [cell.value for cell in cells(sheet, "call_numbers")] == list(range(1, 17))
        assert len(cells(sheet, "marks")) == len(heat.line) * 16
        assert len(cells(sheet, "judged")) == 16
        assert len(cells(sheet, "judge_initials")) == 1


def test_the_hidden_corner_says_what_the_sheet_is(day: Any, sheets: dict[str, Worksheet]) -> None:
    sheet = sheets["J-R1-1.A.1"]
    identity = parse_identity(sheet["A1"].value)
    assert identity is not None
    assert (identity.code, identity.heat, identity.judge) == ("J-R1-1.A.1", "J-R1-1", 1)
    assert (identity.revision, identity.event) == (day.plan.revision, event_mark(day.plan.draw.secret))
    assert sheet.row_dimensions[1].hidden and sheet.column_dimensions["A"].hidden


def test_only_boxes_ticks_initials_and_end_are_unlocked(sheets: dict[str, Worksheet]) -> None:
    sheet = sheets["J-R1-1.A.1"]
    unlocked = {cell.coordinate for row in sheet.iter_rows() for cell in row if not cell.protection.locked}
    initials = cells(sheet, "judge_initials")[0]
    expected = {cell.coordinate for name in ("marks", "judged") for cell in cells(sheet, name)}
    assert unlocked == expected | {initials.coordinate, initials.offset(1, 0).coordinate}
    assert sheet.protection.sheet and sheet.protection.password is None


def test_boxes_are_text_so_that_nothing_typed_is_turned_into_a_number(sheets: dict[str, Worksheet]) -> None:
    sheet = sheets["J-R1-1.A.1"]
    for name in ("marks", "judged", "judge_initials"):
        assert {cell.number_format for cell in cells(sheet, name)} == {"@"}


def test_names_that_look_like_formulas_stay_text(day: Any, sheets: dict[str, Worksheet]) -> None:
    heat = next(heat for heat in day.plan.heats if "J02" in heat.teams)
    sheet = sheets[sheet_code(heat.id, 1)]
    number = heat.line.index("J02-4") + 1
    name = sheet.cell(line_of(sheet, number), 3)
    assert str(name.value).startswith("=SUM(A1)") and name.data_type != "f"


def test_own_seconds_stand_by_the_name_and_the_need_does_not(
    day: Any, sheets: dict[str, Worksheet], workbooks: tuple[Path, ...]
) -> None:
    heat = next(heat for heat in day.plan.heats if "J01" in heat.teams)
    sheet = sheets[sheet_code(heat.id, 1)]
    shown = [str(sheet.cell(line_of(sheet, number), 3).value) for number in range(1, len(heat.line) + 1)]
    assert [heat.line[place] for place, text in enumerate(shown) if "15\N{NO-BREAK SPACE}s" in text] == ["J01-3"]
    for path in workbooks:
        with ZipFile(path) as parts:
            assert not any(b"large print" in parts.read(part) for part in parts.namelist())


def test_the_box_of_each_speaker_is_outlined_and_no_other(day: Any, sheets: dict[str, Worksheet]) -> None:
    heat = day.plan.heats[0]
    sheet = sheets[sheet_code(heat.id, 1)]
    outlined = {
        (cell.row - line_of(sheet, 1) + 1, cell.column - cells(sheet, "call_numbers")[0].column + 1)
        for cell in cells(sheet, "marks")
        if {getattr(cell.border, side).style for side in ("left", "right", "top", "bottom")} == {"thick"}
    }
    assert outlined == {(line, call) for call, line in enumerate(day.book.speakers_of[heat.id], 1)}


def test_heavier_rules_part_groups_of_four(sheets: dict[str, Worksheet]) -> None:
    numbers = cells(sheets["J-R1-1.A.1"], "call_numbers")
    assert [cell.value for cell in numbers if cell.border.left.style == "medium"] == [1, 5, 9, 13]


def test_the_foot_ties_sheet_script_and_rules_together(day: Any, sheets: dict[str, Worksheet]) -> None:
    heat = day.plan.heats[0]
    foot: Any = sheets[sheet_code(heat.id, 1)].oddFooter
    mark = next(found.fingerprint for found in day.plan.call_sets if found.id == heat.call_set)
    assert mark.removeprefix("sha256:")[:8] in foot.center.text
    assert f"Plan {day.plan.revision}" in foot.left.text


def test_opens_at_the_first_box_with_the_head_frozen(sheets: dict[str, Worksheet]) -> None:
    sheet = sheets["J-R1-1.A.1"]
    first = cells(sheet, "marks")[0].coordinate
    assert sheet.freeze_panes == first
    assert [pane.activeCell for pane in sheet.sheet_view.selection if pane.pane == "bottomRight"] == [first]


def test_no_condition_is_longer_than_spreadsheet_programs_take(new_day: Any, tmp_path: Path) -> None:
    """255 characters: a limit of spreadsheet programs, common practice, no source."""
    day = new_day(names=("Junior",), teams=2, rooms=1, rounds=1, calls=30, squad=6, judges=1)
    (path,) = write_score_sheets(tmp_path, day.plan, day.book, day.roster)
    sheet = load_workbook(path).worksheets[0]
    conditions = [rule.formula[0] for found in sheet.conditional_formatting for rule in found.rules]
    assert len(conditions) == 5
    for text in (*conditions, *(found.prompt for found in sheet.data_validations.dataValidation)):
        assert 0 < len(str(text)) <= 255


def test_boxes_offer_the_letters_and_refuse_nothing_typed(sheets: dict[str, Worksheet]) -> None:
    sheet = sheets["J-R1-1.A.1"]
    offered = {str(found.sqref): found for found in sheet.data_validations.dataValidation}
    boxes, ticks = (
        f"{block[0].coordinate}:{block[-1].coordinate}" for block in (cells(sheet, "marks"), cells(sheet, "judged"))
    )
    assert {place: found.formula1 for place, found in offered.items()} == {boxes: '"L,W,S,H,N"', ticks: '"x"'}
    assert all(found.promptTitle and not found.showErrorMessage for found in offered.values())
    assert "W wrong place" in str(offered[boxes].prompt)


def test_the_same_plan_gives_the_same_bytes(day: Any, workbooks: tuple[Path, ...], tmp_path: Path) -> None:
    again = write_score_sheets(tmp_path, day.plan, day.book, day.roster)
    assert [path.read_bytes() for path in again] == [path.read_bytes() for path in workbooks]


def test_an_empty_sheet_shows_what_its_formulas_come_to(workbooks: tuple[Path, ...]) -> None:
    formulas, values = (load_workbook(workbooks[0], data_only=shown).worksheets[0] for shown in (False, True))
    held = [cell.coordinate for row in formulas.iter_rows() for cell in row if cell.data_type == "f"]
    assert len(held) == 1 + 16 + 8 * 6  # status, a check a call, totals a line
    assert {values[place].value or "" for place in held} == {"", "16 calls open"}


def test_the_file_says_what_it_is(day: Any, workbooks: tuple[Path, ...]) -> None:
    workbook: Any = load_workbook(workbooks[0])
    told = {prop.name: prop.value for prop in workbook.custom_doc_props}
    assert told == {
        "tourney_event": event_mark(day.plan.draw.secret),
        "tourney_plan": "1",
        "tourney_holds": "score sheets, Boat Shed",
    }
    assert workbook.properties.title == "Pebble Harbour Drill Day: score sheets, Boat Shed"


def test_no_macros(workbooks: tuple[Path, ...]) -> None:
    with ZipFile(workbooks[0]) as parts:
        assert not any("vba" in name.lower() for name in parts.namelist())


def test_sheets_of_one_size_differ_in_nothing_but_what_they_say(sheets: dict[str, Worksheet]) -> None:
    """They are made from one, so what is not said must be there in each."""
    first, other = sheets["J-R1-1.A.1"], sheets["J-R1-2.C.U"]
    assert first["A1"].value != other["A1"].value and first["T3"].value != other["T3"].value
    for place in ("B2", "D5", "D6", "D17"):
        assert first[place].value == other[place].value
    assert first.protection.sheet and other.protection.sheet
    for sheet in (first, other):
        assert len(sheet.data_validations.dataValidation) == 2
        assert sheet.page_setup.orientation == "landscape" and sheet.print_area


def test_lines_of_another_judge_are_hatched_locked_and_not_added_up(new_day: Any, tmp_path: Path) -> None:
    day = new_day(rounds=1, zones=((1, 3), (4, 12)), judges=2)
    write_score_sheets(tmp_path, day.plan, day.book, day.roster)
    asked = day.book.speakers_of
    for path in tmp_path.iterdir():
        for sheet in load_workbook(path).worksheets:
            identity = parse_identity(sheet["A1"].value)
            assert identity is not None
            own = range(1, 4) if identity.judge == 1 else range(4, 9)
            first = line_of(sheet, 1)
            for cell in cells(sheet, "marks"):
                mine = cell.row - first + 1 in own
                assert (cell.protection.locked, cell.fill.fill_type) == ((False, None) if mine else (True, "lightUp"))
                outlined = cell.border.left.style == "thick"
                assert outlined == (mine and asked[identity.heat][cell.column - 4] == cell.row - first + 1)
            totals = [sheet.cell(first + line - 1, 4 + 16).value for line in range(1, 9)]
            assert [line for line, total in enumerate(totals, 1) if total] == list(own)
            assert f"you mark lines {own[0]} to {own[-1]} only" in str(sheet["B4"].value)
