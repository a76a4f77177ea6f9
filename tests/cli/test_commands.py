"""How every command behaves: help, --json, exit codes, sentences instead of tracebacks."""

import json
import os
import re
import shutil
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from tourney.cli.program import COMMANDS, SUMMARIES
from tourney.resources import sample_events

Tourney = Callable[..., Any]  # the fixture of tests/conftest.py

FOLDER_COMMANDS = [name for name in COMMANDS if name not in ("new", "rehearse")]


def words(command: str, folder: Path) -> list[object]:
    more: dict[str, list[object]] = {
        "rehearse": ["--into", folder / "into"],
        "rule": ["reopen", 1, "--by", "Ada", "--why", "a slip"],
    }
    return [command, folder, *more.get(command, [])]


def test_help_lists_every_command_in_the_order_of_a_day(tourney: Tourney) -> None:
    said = tourney("--help")
    places = [said.out.index(f"\n  {name} ") for name in COMMANDS]
    assert said.code == 0 and places == sorted(places) and list(SUMMARIES) == list(COMMANDS)


@pytest.mark.parametrize("command", COMMANDS)
def test_help_of_each_command_has_an_example(tourney: Tourney, command: str) -> None:
    said = tourney(command, "--help")
    assert said.code == 0 and f"Example: tourney {command} " in said.text and "--json" in said.text


@pytest.mark.parametrize("command", COMMANDS)
def test_no_folder_is_wrong_usage(tourney: Tourney, command: str) -> None:
    assert tourney(command).code == 2


def test_an_unknown_command_is_wrong_usage(tourney: Tourney) -> None:
    said = tourney("plann", "x")
    assert said.code == 2 and "No such command 'plann'. The nearest is 'plan'." in said.err
    assert "nearest" not in tourney("quux", "x").err
    assert "The nearest is 'disqualify'." in tourney("rule", "x", "disqualfy").err


@pytest.mark.parametrize("command", [*FOLDER_COMMANDS, "rehearse"])
def test_a_missing_folder_is_a_sentence(tourney: Tourney, tmp_path: Path, command: str) -> None:
    said = tourney(*words(command, tmp_path / "no such folder"))
    assert said.code == 1 and "no such folder" in said.text


@pytest.mark.parametrize("command", [*FOLDER_COMMANDS, "rehearse"])
def test_a_missing_folder_is_one_json_document(tourney: Tourney, tmp_path: Path, command: str) -> None:
    said = tourney(*words(command, tmp_path / "no such folder"), "--json")
    assert said.code == 1 and said.document["format"] == "tourney-stopped/1" and said.document["message"]


@pytest.mark.parametrize("command", ["papers", "collect", "results"])
def test_without_a_plan_the_sentence_names_the_next_step(tourney: Tourney, tmp_path: Path, command: str) -> None:
    said = tourney(command, tmp_path)
    assert said.code == 1 and "tourney plan" in said.text


def test_check_ends_with_what_is_still_to_come(tourney: Tourney, tmp_path: Path) -> None:
    day = Path(shutil.copytree(sample_events() / "small_hall", tmp_path / "day"))
    settings = day / "event.toml"
    text = settings.read_text(encoding="utf-8")
    assert "draw words yet" not in tourney("check", day).text
    settings.write_text(re.sub(r"draw_words = .*", "", text), encoding="utf-8")
    assert "There are no draw words yet." in tourney("check", day).text
    settings.write_text(re.sub(r"(?m)^date = .*", "date = 'soon'", text), encoding="utf-8")
    said = tourney("check", day)
    assert said.code == 1 and said.text.endswith("compared with the divisions once the settings are in order.")
    assert tourney("check", day, "--json").document["put_off"]


def test_new_refuses_a_folder_that_holds_something(tourney: Tourney, tmp_path: Path) -> None:
    (tmp_path / "letter.txt").write_text("keep me")
    said = tourney("new", tmp_path)
    assert said.code == 1 and "not empty" in said.text
    assert [path.name for path in tmp_path.iterdir()] == ["letter.txt"]


def test_a_rehearsal_that_stops_at_a_fault_can_be_begun_again(tourney: Tourney, tmp_path: Path) -> None:
    source, into = tmp_path / "source", tmp_path / "into"
    shutil.copytree(sample_events() / "small_hall", source)
    settings = (source / "event.toml").read_text(encoding="utf-8")
    (source / "event.toml").write_text(settings.replace("advance = 2", "advance = 20"), encoding="utf-8")
    for _ in range(2):
        said = tourney("rehearse", source, "--into", into)
        assert said.code == 1 and "advance" in said.out + said.err
        assert list(into.iterdir()) == []
    assert (source / "event.toml").exists() and (source / "entries").is_dir()


def test_rehearse_refuses_a_folder_in_use(tourney: Tourney, tmp_path: Path) -> None:
    (tmp_path / "letter.txt").write_text("keep me")
    said = tourney("rehearse", sample_events() / "small_hall", "--into", tmp_path)
    assert said.code == 1 and (tmp_path / "letter.txt").read_text() == "keep me"


def test_a_line_to_type_keeps_a_folder_with_spaces_in_one_piece(tourney: Tourney, tmp_path: Path) -> None:
    folder = tmp_path / "our day 2027"
    for said in (tourney("new", folder), tourney("next", folder)):
        lines = [line for line in said.out.replace("\n", " ").split("tourney ")[1:] if "our day" in line]
        assert said.code == 0 and lines and all(f'"{folder}"' in " ".join(line.split()) for line in lines), said.out


def test_a_file_open_elsewhere_is_a_friendly_sentence(
    tourney: Tourney, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def held(_self: Path, _target: Path) -> None:
        raise PermissionError(13, "held by another program")

    monkeypatch.setattr(Path, "replace", held)
    said = tourney("new", tmp_path / "day")
    assert said.code == 1 and "can't be written" in said.text and "close it there" in said.text
    assert not list(tmp_path.rglob("*.part"))


def test_a_mistake_of_ours_is_a_sentence_too(tourney: Tourney, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def broken(_path: Path) -> None:
        raise ZeroDivisionError("by design")

    monkeypatch.setattr("tourney.day.check.check", broken)
    said = tourney("check", tmp_path)
    assert said.code == 1 and "ZeroDivisionError: by design" in said.text and "report" in said.text


def piped(*words: object, **environment: str) -> subprocess.CompletedProcess[bytes]:
    command = [sys.executable, "-m", "tourney", *map(str, words)]
    return subprocess.run(command, capture_output=True, check=False, env=os.environ | environment)


def test_piped_output_has_no_colour_and_runs_as_a_module(tmp_path: Path) -> None:
    done = piped("new", tmp_path / "Übungstag 練習 a b")
    assert done.returncode == 0 and b"\x1b" not in done.stdout and "Übungstag 練習 a b" in done.stdout.decode()


def test_json_is_utf8_whatever_the_terminal(tmp_path: Path) -> None:
    done = piped("new", tmp_path / "Übungstag", "--json", PYTHONIOENCODING="ascii")
    assert json.loads(done.stdout.decode("utf-8"))["folder"].endswith("Übungstag")


def test_a_terminal_that_knows_no_umlauts_is_no_reason_to_stop(tmp_path: Path) -> None:
    done = piped("new", tmp_path / "Übungstag 練習", PYTHONIOENCODING="ascii", PYTHONUTF8="0")
    assert done.returncode == 0 and b"Traceback" not in done.stderr


def test_completion_is_the_one_of_the_command_library() -> None:
    done = piped(_TOURNEY_COMPLETE="bash_source")
    assert b"_TOURNEY_COMPLETE" in done.stdout


@pytest.mark.parametrize("heavy", ["rich", "openpyxl", "networkx", "ortools", "sqlalchemy", "pydantic", "numpy"])
def test_help_loads_no_heavy_library(heavy: str) -> None:
    code = f"import sys, tourney.cli.program; sys.exit({heavy!r} in sys.modules)"
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0
