"""What to do next, in every state of a day, each with the line to type."""

import os
import shutil
from collections.abc import Callable
from datetime import UTC, datetime, time, timedelta
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

import pytest
from openpyxl import load_workbook

from tourney.day.new import new
from tourney.day.next import next_step
from tourney.day.papers import papers
from tourney.day.plan import plan
from tourney.day.results import results
from tourney.day.state import read_day
from tourney.model.plan import Plan
from tourney.record.folder import read_plan
from tourney.resources import sample_events

Tourney = Callable[..., Any]
LONG_BEFORE = datetime(2027, 1, 5, 12, tzinfo=UTC)


@pytest.fixture(scope="module")
def planned(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A planned small day with its papers; nobody may change it."""
    folder = Path(shutil.copytree(sample_events() / "small_hall", tmp_path_factory.mktemp("next") / "day"))
    plan(folder, LONG_BEFORE)
    papers(folder)
    return folder


@pytest.fixture
def day(planned: Path, tmp_path: Path) -> Path:
    return Path(shutil.copytree(planned, tmp_path / "day"))


def at(found: Plan, clock: str) -> datetime:
    return datetime.combine(found.event.date, time.fromisoformat(clock), ZoneInfo(found.event.timezone))


def test_before_the_plan(tmp_path: Path) -> None:
    (tmp_path / "empty").mkdir()
    assert next_step(tmp_path / "empty", LONG_BEFORE).command == "new"
    new(tmp_path / "fresh", toml=True)
    assert (next_step(tmp_path / "fresh", LONG_BEFORE).state, next_step(tmp_path / "fresh", LONG_BEFORE).command) == (
        "faults",
        "check",
    )
    folder = Path(shutil.copytree(sample_events() / "small_hall", tmp_path / "sound"))
    assert next_step(folder, LONG_BEFORE).command == "plan"
    settings = folder / "event.toml"
    text = settings.read_text(encoding="utf-8")
    said = next(line for line in text.splitlines() if line.startswith("draw_words"))
    settings.write_text(text.replace(said, ""), encoding="utf-8")
    assert next_step(folder, LONG_BEFORE).state == "no_draw_words"


def test_papers_to_write_and_then_nothing_before_the_day(day: Path) -> None:
    step = next_step(day, LONG_BEFORE)
    assert (step.state, step.command) == ("ready", "verify")
    shutil.rmtree(day / "papers")
    assert next_step(day, LONG_BEFORE).command == "papers"


def test_papers_of_an_older_plan(day: Path) -> None:
    sheet = day / "papers" / "coordinator" / "run_sheet.html"
    sheet.write_text(sheet.read_text(encoding="utf-8").replace("plan 1<", "plan 0<"), encoding="utf-8")
    step = next_step(day, LONG_BEFORE)
    assert step.state == "papers" and "plan 0" in step.what


def test_a_wave_to_wait_for_and_a_wave_that_is_on(day: Path, tourney: Tourney) -> None:
    found = read_plan(day)
    first = found.waves[0]
    step = next_step(day, first.start - timedelta(minutes=20))
    assert (step.state, step.command, step.behind) == ("wave", "rule", None)
    assert f"{first.start:%H:%M}" in step.what and step.words.startswith(f"started --wave {first.id}")
    assert not any("should be on" in sentence for sentence in step.more)
    on = next_step(day, first.start + timedelta(minutes=1))
    assert on.state == "wave" and f"Wave {first.id} should be on. If it began late" in on.more[0]
    later = (first.start + timedelta(minutes=7)).strftime("%H:%M")
    said = tourney(
        "rule", day, "started", "--wave", first.id, "--at", later, "--by", "Chief judge", "--why", "late bus"
    )
    assert said.code == 0
    on = next_step(day, first.start + timedelta(minutes=8))
    assert on.behind == 7 and not any("should be on" in sentence for sentence in on.more)
    step = next_step(day, found.waves[-1].start + timedelta(minutes=8))
    assert step.behind == 7


def test_sheets_that_are_out_are_named_and_a_dropped_file_is_seen_first(day: Path) -> None:
    found = read_plan(day)
    step = next_step(day, found.waves[0].end + timedelta(minutes=1))
    assert (step.state, step.command) == ("sheets_missing", "collect")
    assert "has not come in" in step.more[0] and any(words.startswith("Fetch first") for words in step.more)
    (day / "returned").mkdir(exist_ok=True)
    (day / "returned" / "totals.csv").write_text("heat,team,points\n", encoding="utf-8")
    assert next_step(day, found.waves[0].end).state == "collect"


def test_the_end_of_a_day(played: Path) -> None:
    found = read_plan(played)
    last = read_day(played).state.last_sheet
    assert last is not None
    assert next_step(played, last + timedelta(minutes=1)).state in ("protests", "open_matters", "collect")
    for path in (played / "returned").rglob("*"):
        os.utime(path, (last.timestamp() - 60, last.timestamp() - 60))
    step = next_step(played, last + timedelta(minutes=1))
    assert step.state == "protests" and "heard until" in step.what
    after = last + timedelta(minutes=found.event.day.protest_minutes + 1)
    (played / "results" / "results.json").unlink()
    assert next_step(played, after).state == "results"
    results(played, after)
    assert next_step(played, after).state == "review"
    (played / "results" / "review").mkdir()
    step = next_step(played, after)
    assert (step.state, step.command) == ("backup", "record")
    due = datetime.combine(found.event.date + timedelta(days=found.event.day.keep_days), time(12), UTC)
    assert next_step(played, due).command == "purge"


def test_a_sheet_in_two_versions_leaves_the_choice_to_the_chief_judge(played: Path, tourney: Tourney) -> None:
    book = load_workbook(next((played / "returned").glob("*.xlsx")))
    sheet = next(page for page in book.worksheets if "marks" in page.defined_names)
    box = sheet.cell(sheet[sheet.defined_names["marks"].attr_text.split("!")[1].split(":")[0].replace("$", "")].row, 4)
    box.value = None if box.value else "W"
    book.save(played / "again.xlsx")
    assert tourney("collect", played, played / "again.xlsx").code == 0
    step = next_step(played, LONG_BEFORE)
    assert step.state == "open_matters" and "--version 1 " in step.words
    assert any(line.startswith("Or, if the chief judge says so: tourney rule ") and "--version 2 " in line
               for line in step.more)  # fmt: skip


def test_a_purged_folder_and_the_command_itself(day: Path, played: Path, tourney: Tourney) -> None:
    assert tourney("purge", played, "--yes", "--override").code == 0
    assert next_step(played, LONG_BEFORE).state == "purged"
    said = tourney("next", played, "--json")
    assert said.document["state"] == "purged" and said.document["line"] == ""
    said = tourney("next", day)
    assert said.code == 0 and f"Type: tourney verify {day}" in said.text.replace("\n", " ")
