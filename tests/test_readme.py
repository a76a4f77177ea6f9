"""The README's walk-through is played as it is printed, and names every command."""

import re
import shlex
import shutil
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from tourney.cli.program import COMMANDS

Tourney = Callable[..., Any]  # the fixture of tests/conftest.py

ROOT = Path(__file__).parents[1]
README = (ROOT / "README.md").read_text(encoding="utf-8")
SHOWN = re.findall(r"^\$ (.+)$", "\n".join(re.findall(r"```console\n(.*?)```", README, re.DOTALL)), re.MULTILINE)


@pytest.fixture
def beside_the_readme(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder like the one that holds the README, to work in."""
    shutil.copytree(ROOT / "sample_events", tmp_path / "sample_events")
    monkeypatch.chdir(tmp_path)
    return tmp_path


def test_the_walk_through_runs(tourney: Tourney, beside_the_readme: Path) -> None:
    for line in SHOWN:
        program, *words = shlex.split(line)
        if program == "cp":
            shutil.copytree(words[-2], words[-1])
            continue
        assert program == "tourney"
        said = tourney(*words)
        assert said.code == 0, f"{line}\n{said.out}"
    assert (beside_the_readme / "spring_rehearsal" / "results" / "results.xlsx").stat().st_size > 0
    assert (beside_the_readme / "spring_day" / "results" / "results.json").stat().st_size > 0


def test_every_command_is_in_the_readme() -> None:
    assert all(f"`tourney {name} " in README for name in COMMANDS)
    assert {line.split()[1] for line in SHOWN if line.startswith("tourney")} == set(COMMANDS)


def test_every_file_that_the_readme_shows_is_there() -> None:
    shown = re.findall(r"\]\(([^)#:]+)\)", README)
    assert shown and [name for name in shown if not (ROOT / name).exists()] == []
