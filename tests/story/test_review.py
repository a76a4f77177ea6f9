"""The review of a played day, through the command line: before results are final and after, and carried on."""

import csv
from collections.abc import Callable
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner

from tourney import clock
from tourney.cli import main
from tourney.day.state import read_day
from tourney.resources import sample_events

Tourney = Callable[..., Any]  # the fixture of tests/conftest.py


@pytest.fixture(scope="module")
def played(tmp_path_factory: pytest.TempPathFactory) -> Path:
    into = tmp_path_factory.mktemp("days") / "played"
    done = CliRunner().invoke(main, ["rehearse", str(sample_events() / "small_hall"), "--into", str(into)])
    assert done.exit_code == 0, done.output
    return into


def at(folder: Path, monkeypatch: pytest.MonkeyPatch, minutes: int) -> None:
    """Let it be so many minutes after the last sheet."""
    last = read_day(folder).state.last_sheet
    assert last is not None
    monkeypatch.setattr(clock, "now", lambda: last + timedelta(minutes=minutes))


def files(folder: Path) -> dict[str, bytes]:
    found = sorted((folder / "results" / "review").rglob("*"))
    return {path.relative_to(folder).as_posix(): path.read_bytes() for path in found if path.is_file()}


def test_first_provisional_then_final(tourney: Tourney, played: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(clock, "now", lambda: read_day(played).plan.waves[0].end)
    early = tourney("review", played, "--json")
    assert early.code == 0 and early.document["state"] == "provisional"
    assert not any("call_writer" in name for name in early.document["files"])
    at(played, monkeypatch, 60)
    said = tourney("review", played, "--json").document
    assert (said["format"], said["state"], said["clubs"]) == ("tourney-review/1", "final", 4)
    written = files(played)
    assert set(said["files"]) == {name for name in written if "/." not in name} and said["kept"] == []
    assert said["summary"] and all((played / name).stat().st_size for name in said["files"])
    assert tourney("review", played).code == 0
    assert files(played) == written  # the same record gives the same files
    shown = tourney("review", played).text
    assert "Reviews of 4 clubs" in shown and "difficulty.csv" in shown


def test_difficulty_is_carried_on_by_item(tourney: Tourney, played: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    at(played, monkeypatch, 60)
    assert tourney("review", played).code == 0
    table = (played / "results" / "review" / "call_writer" / "difficulty.csv").read_text(encoding="utf-8")
    rows = {row["item"]: row for row in csv.DictReader(table.splitlines())}
    heard = {call.item for found in read_day(played).book.sets if found.use == "rotation" for call in found.calls}
    assert len(rows) == 66 and {key for key, row in rows.items() if int(row["heard"])} == heard
    assert float(rows["PSA"]["difficulty"]) < float(rows["PHM"]["difficulty"])


def test_what_a_coach_wrote_stays(tourney: Tourney, played: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    at(played, monkeypatch, 60)
    first = next(name for name in tourney("review", played, "--json").document["files"] if name.endswith(".html"))
    (played / first).write_text("my own notes", encoding="utf-8")
    said = tourney("review", played, "--json").document
    assert (played / first).read_text(encoding="utf-8") == "my own notes"
    assert said["kept"] == [first] and first.replace(".html", " (2).html") in said["files"]
    (played / first).unlink()


def test_without_a_sheet_there_is_nothing_to_review(tourney: Tourney, played: Path, tmp_path: Path) -> None:
    for name in ("event.toml", "event.xlsx", "officials.xlsx", "draw_secret.txt"):
        if (played / name).exists():
            (tmp_path / name).write_bytes((played / name).read_bytes())
    (tmp_path / "entries").mkdir()
    for path in (played / "entries").iterdir():
        (tmp_path / "entries" / path.name).write_bytes(path.read_bytes())
    assert tourney("plan", tmp_path).code == 0
    said = tourney("review", tmp_path)
    assert said.code == 1 and "No score sheet is in yet" in said.text and "tourney collect" in said.text
    assert not (tmp_path / "results" / "review").exists()
