"""Whole days through the command line and real files."""

import json
import shutil
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from openpyxl import load_workbook
from openpyxl.cell import Cell
from openpyxl.worksheet.worksheet import Worksheet

from tourney.resources import sample_events

Tourney = Callable[..., Any]  # the fixture of tests/conftest.py


def read(path: Path) -> Any:
    return json.loads(path.read_text(encoding="utf-8"))


@pytest.fixture
def small_hall(tmp_path: Path) -> Path:
    """A copy of the small sample, in a folder with a name that needs care."""
    target = tmp_path / "Ägir's day – 練習"
    shutil.copytree(sample_events() / "small_hall", target)
    return target


@pytest.mark.parametrize("sample", ["lantern_coast", "small_hall"])
def test_a_rehearsal_plays_the_whole_day(tourney: Tourney, tmp_path: Path, sample: str) -> None:
    into = tmp_path / "played"
    said = tourney("rehearse", sample_events() / sample, "--into", into)
    assert said.code == 0, said.out
    results, plan = read(into / "results" / "results.json"), read(into / "plan.json")
    assert results["state"] == "final"
    assert (into / "results" / "results.xlsx").stat().st_size > 0
    for division in results["divisions"]:
        teams = [team["id"] for team in plan["teams"] if team["division"] == division["division"]]
        assert sorted(row["team"] for row in division["teams"]) == sorted(teams)
        assert all(row["reason"] and row["range"] == [row["place"], row["place"]] for row in division["teams"])
        for row in division["teams"]:
            if row["place"] <= 3:
                assert row["reason"].split(":")[0].split(",")[0] in said.text
    assert f"of {len(plan['fairness'])} properties within their limits" in said.text


def test_a_rehearsal_repeats_and_leaves_its_source_alone(tourney: Tourney, tmp_path: Path) -> None:
    source = Path(shutil.copytree(sample_events() / "small_hall", tmp_path / "source"))
    before = {path: path.read_bytes() for path in source.rglob("*") if path.is_file()}
    for name in ("one", "two"):
        assert tourney("rehearse", source, "--into", tmp_path / name).code == 0
    for file in ("plan.json", "calls.json", "results/results.json"):
        assert (tmp_path / "one" / file).read_bytes() == (tmp_path / "two" / file).read_bytes()
    assert {path: path.read_bytes() for path in source.rglob("*") if path.is_file()} == before


def test_the_same_words_and_secret_give_the_same_bytes(tourney: Tourney, small_hall: Path, tmp_path: Path) -> None:
    assert tourney("plan", small_hall).code == 0
    other = Path(shutil.copytree(sample_events() / "small_hall", tmp_path / "other"))
    shutil.copyfile(small_hall / "draw_secret.txt", other / "draw_secret.txt")
    assert tourney("plan", other).code == 0
    for file in ("plan.json", "calls.json"):
        assert (small_hall / file).read_bytes() == (other / file).read_bytes()


def test_another_secret_changes_the_calls_and_nothing_else_of_the_draw(
    tourney: Tourney, small_hall: Path, tmp_path: Path
) -> None:
    assert tourney("plan", small_hall).code == 0
    other = Path(shutil.copytree(sample_events() / "small_hall", tmp_path / "other"))
    (other / "draw_secret.txt").write_text("another secret\n", encoding="utf-8")
    assert tourney("plan", other).code == 0
    first, second = read(small_hall / "plan.json"), read(other / "plan.json")
    assert first["heats"] == second["heats"] and first["waves"] == second["waves"]
    calls = [[[call["item"] for call in found["calls"]] for found in read(folder / "calls.json")["sets"]]
             for folder in (small_hall, other)]  # fmt: skip
    assert calls[0] != calls[1]


def test_planning_twice_changes_nothing(tourney: Tourney, small_hall: Path) -> None:
    assert tourney("plan", small_hall).code == 0
    first = (small_hall / "plan.json").read_bytes()
    said = tourney("plan", small_hall)
    assert said.code == 0 and "the same as before" in said.text
    assert (small_hall / "plan.json").read_bytes() == first


def test_a_changed_entry_makes_the_next_revision_and_keeps_ids(tourney: Tourney, small_hall: Path) -> None:
    assert tourney("plan", small_hall).code == 0
    before = read(small_hall / "plan.json")
    entry = next(path for path in sorted((small_hall / "entries").iterdir()) if path.suffix == ".csv")
    rows = entry.read_text(encoding="utf-8-sig").splitlines()
    entry.write_text("\n".join(rows[:-1]) + "\n", encoding="utf-8")  # one child stays at home
    assert tourney("plan", small_hall).code == 0
    after = read(small_hall / "plan.json")
    assert after["revision"] == before["revision"] + 1
    kept = {team["id"]: set(team["members"]) for team in before["teams"]}
    gone = {child for team in after["teams"] for child in kept.pop(team["id"]) - set(team["members"])}
    assert len(gone) == 1 and not kept


# A day played by hand, by a program that knows no more than the defined names on the sheets.


def cells(sheet: Worksheet, name: str) -> list[Cell]:
    _, place = next(sheet.defined_names[name].destinations)
    block = sheet[place.replace("$", "")]
    return [block] if isinstance(block, Cell) else [cell for row in block for cell in row]


def judged_sheets(folder: Path) -> Iterator[Path]:
    """Fill every sheet: all judged, the first line late at the first call. Yields the workbooks, saved in returned/."""
    for source in sorted((folder / "papers" / "judges").glob("*.xlsx")):
        book = load_workbook(source)
        for sheet in book.worksheets:
            if "marks" in sheet.defined_names:
                cells(sheet, "marks")[0].value = "l "
                cells(sheet, "judge_initials")[0].value = "ab"
                for tick in cells(sheet, "judged"):
                    tick.value = "x"
        target = folder / "returned" / f"phone photo of {source.name}"
        book.save(target)
        yield target


@pytest.fixture
def printed(tourney: Tourney, small_hall: Path) -> Path:
    """The small sample, planned and printed."""
    assert tourney("plan", small_hall).code == 0
    assert tourney("papers", small_hall).code == 0
    (small_hall / "returned").mkdir(exist_ok=True)
    return small_hall


def test_a_day_by_hand_with_mistakes(tourney: Tourney, printed: Path) -> None:
    (workbook,) = judged_sheets(printed)
    plan = read(printed / "plan.json")
    wanted = sum(len(heat["judges"]) for heat in plan["heats"])
    book = load_workbook(workbook)
    sheets = [sheet for sheet in book.worksheets if "marks" in sheet.defined_names]
    cells(sheets[0], "marks")[3].value = "Q"
    cells(sheets[1], "judged")[5].value = None
    book.save(workbook)

    said = tourney("collect", printed, "--json")
    assert said.code == 0 and (said.document["accepted"], said.document["noted"]) == (wanted - 2, 2)
    notes = [note for sheet in said.document["sheets"] for note in sheet["notes"]]
    assert any('"Q"' in note["message"] and sheets[0].title in note["where"] for note in notes)
    assert any("no tick" in note["message"] and sheets[1].title in note["where"] for note in notes)

    said = tourney("results", printed, "--json")
    assert said.code == 0 and said.document["state"] == "provisional"
    assert {matter["kind"] for matter in said.document["open_matters"]} >= {"open_cell", "not_judged"}

    # The judges mend both, and the same workbook comes in again.
    cells(sheets[0], "marks")[3].value = "W"
    cells(sheets[1], "judged")[5].value = "X"
    book.save(workbook)
    said = tourney("collect", printed, "--json")
    assert (said.document["accepted"], said.document["same"]) == (2, wanted - 2)
    again = tourney("collect", printed, "--json")
    assert (again.document["accepted"], again.document["same"]) == (0, wanted)
    left = tourney("results", printed, "--json").document["open_matters"]
    assert {matter["kind"] for matter in left} <= {"tie_at_the_cut"}  # every team was marked alike


def test_after_sheets_came_in_the_plan_stands(tourney: Tourney, printed: Path) -> None:
    assert len(list(judged_sheets(printed))) == 1
    assert tourney("collect", printed).code == 0
    before = (printed / "plan.json").read_bytes()
    said = tourney("plan", printed)
    assert said.code == 1 and "the plan stands" in said.text
    assert (printed / "plan.json").read_bytes() == before


def test_a_sheet_of_another_event_is_refused_by_name(tourney: Tourney, printed: Path, tmp_path: Path) -> None:
    other = Path(shutil.copytree(sample_events() / "small_hall", tmp_path / "other"))
    (other / "draw_secret.txt").write_text(
        "fedcba9876543210" * 2 + "\n", encoding="ascii"
    )  # its own, as each event has
    assert tourney("plan", other).code == 0 and tourney("papers", other).code == 0
    (other / "returned").mkdir()
    (foreign,) = judged_sheets(other)
    said = tourney("collect", printed, foreign)
    assert said.code == 0 and "another event" in said.text and "0 score sheets taken" in said.text


def test_files_that_are_no_workbooks_stop_nothing(tourney: Tourney, printed: Path) -> None:
    (printed / "returned" / "holiday.xlsx").write_bytes(b"not a workbook")
    (printed / "returned" / "~$open.xlsx").write_bytes(b"lock")
    (printed / "returned" / ".~lock.hall.ods#").write_bytes(b"lock")
    (printed / "returned" / "Thumbs.db").write_bytes(b"of the system")
    (printed / "returned" / "photo.jpg").write_bytes(b"\xff\xd8\xff\xe0\0\x10JFIF")
    assert len(list(judged_sheets(printed))) == 1
    said = tourney("collect", printed, "--json").document
    assert said["refused"] == 2 and said["accepted"] > 0
    refused = {sheet["file"] for sheet in said["sheets"] if sheet["state"] == "refused"}
    assert refused == {"returned/holiday.xlsx", "returned/photo.jpg"}


def test_a_folder_among_the_files_stands_for_all_in_it(tourney: Tourney, printed: Path, tmp_path: Path) -> None:
    stick = tmp_path / "a judge's stick"
    (stick / "hall").mkdir(parents=True)
    (sheets,) = judged_sheets(printed)
    shutil.move(sheets, stick / "hall" / "filled.xlsx")
    said = tourney("collect", printed, stick, "--json").document
    assert said["accepted"] > 0 and {sheet["file"] for sheet in said["sheets"]} == {
        (stick / "hall" / "filled.xlsx").as_posix()
    }


def test_one_heat_once_more(tourney: Tourney, printed: Path) -> None:
    heat = read(printed / "plan.json")["heats"][0]["id"]
    before = {path: path.read_bytes() for path in (printed / "papers" / "judges").glob("*.xlsx")}
    said = tourney("papers", printed, "--heat", heat)
    assert said.code == 0 and "1 document in" in said.text and "one sheet a judge" in said.text
    copy = printed / "papers" / "judges" / "heats" / f"{heat}.xlsx"
    assert {sheet.title.split()[1] for sheet in load_workbook(copy).worksheets} == {heat}
    assert all(path.read_bytes() == content for path, content in before.items())
    assert tourney("papers", printed, "--heat", "Q-R1-1").code == 1


def test_a_room_that_kept_totals_alone(tourney: Tourney, printed: Path) -> None:
    (workbook,) = judged_sheets(printed)
    first = read(printed / "plan.json")["heats"][0]
    book = load_workbook(workbook)
    for sheet in [sheet for sheet in book.worksheets if "marks" in sheet.defined_names]:
        if str(cells(sheet, "sheet_code")[0].value).startswith(f"{first['id']}."):
            del book[sheet.title]
    book.save(workbook)
    lines = [f"{first['id']},{team},{points}" for team, points in zip(first["teams"], ("55", "lots"), strict=True)]
    totals = printed / "returned" / "totals.csv"
    totals.write_text("\n".join(["heat,team,points", *lines]), encoding="utf-8")

    said = tourney("collect", printed)
    assert said.code == 0 and "Refused (1)" in said.text and 'line 3: "lots" is no number of points' in said.text
    said = tourney("results", printed, "--json")
    assert "missing_sheet" in {matter["kind"] for matter in said.document["open_matters"]}

    totals.write_text(totals.read_text(encoding="utf-8").replace("lots", "61"), encoding="utf-8")
    said = tourney("collect", printed, "--json").document
    assert (said["totals"], said["refused"], said["missing"]) == (2, 0, [])
    assert tourney("collect", printed, "--json").document["totals"] == 0
    said = tourney("results", printed, "--json")
    kinds = {matter["kind"] for matter in said.document["open_matters"]}
    assert "totals_only_settled" in kinds and kinds <= {"totals_only_settled", "tie_at_the_cut"}
    assert f"{first['teams'][0]} in {first['id']} 55" in tourney("record", printed).text


def test_a_paper_that_somebody_changed_is_kept(tourney: Tourney, printed: Path) -> None:
    schedule = printed / "papers" / "public" / "schedule.html"
    schedule.write_text("with my own notes", encoding="utf-8")
    said = tourney("papers", printed)
    assert said.code == 0 and "left as it is" in said.text
    assert schedule.read_text(encoding="utf-8") == "with my own notes"


def test_every_step_prints_its_one_document(tourney: Tourney, small_hall: Path, tmp_path: Path) -> None:
    (small_hall / "returned").mkdir()
    formats = {
        "check": "tourney-check/1",
        "plan": "tourney-plan/1",
        "papers": "tourney-papers/1",
        "collect": "tourney-collect/1",
        "results": "tourney-results/1",
    }
    for command, wanted in formats.items():
        if command == "collect":
            assert len(list(judged_sheets(small_hall))) == 1
        said = tourney(command, small_hall, "--json")
        assert (said.code, said.document["format"]) == (0, wanted)
    assert tourney("new", tmp_path / "new", "--json").document["format"] == "tourney-new/1"
    said = tourney("rehearse", sample_events() / "small_hall", "--into", tmp_path / "played", "--json")
    assert said.document["format"] == "tourney-rehearsal/1" and said.document["results"]["state"] == "final"


def test_questions_alone_are_no_fault_but_hold_up_the_plan(tourney: Tourney, small_hall: Path) -> None:
    entry = small_hall / "entries" / "hobnail lane.csv"
    text = entry.read_text(encoding="utf-8")
    entry.write_text(text.replace("2 May 2015", "03/09/2013"), encoding="utf-8")  # 3 September or 9 March
    settings = small_hall / "event.toml"
    rules = settings.read_text(encoding="utf-8").replace("ages = [9, 13]", "ages = [9, 12]")
    settings.write_text(rules, encoding="utf-8")
    asked = tourney("check", small_hall, "--json")
    assert asked.code == 0 and asked.document["faults"] == []
    (question,) = asked.document["questions"]
    assert tourney("plan", small_hall).code == 1
    answer = f'\n[[answers]]\nid = "{question["id"]}"\nanswer = "2013-03-09"\n'
    settings.write_text(rules + answer, encoding="utf-8")
    said = tourney("check", small_hall, "--json").document
    assert said["questions"] == [] and [fault["code"] for fault in said["faults"]] == ["wrong-division"]
    settings.write_text(rules + answer.replace("03-09", "09-03"), encoding="utf-8")
    assert tourney("plan", small_hall).code == 0
    assert b"2013-09-03" not in (small_hall / "plan.json").read_bytes(), "a plan holds no birth date"
    assert tourney("purge", small_hall, "--yes", "--override").code == 0
    left = b"".join(path.read_bytes() for path in small_hall.rglob("*") if path.is_file())
    assert b"2013-09-03" not in left and question["id"].encode() not in left
