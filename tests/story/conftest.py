"""A small day that was played once, and copies of it to do things to."""

import shutil
from pathlib import Path

import pytest
from click.testing import CliRunner

from tests.story.finals_days import planned
from tourney.cli import main
from tourney.resources import sample_events


@pytest.fixture(scope="session")
def rehearsed(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The folder of a played small day without finals; nobody may change it."""
    source = tmp_path_factory.mktemp("days") / "source"
    shutil.copytree(sample_events() / "small_hall", source)
    settings = source / "event.toml"
    text = settings.read_text(encoding="utf-8").replace("advance = 2", 'finals = "none"')
    settings.write_text(text, encoding="utf-8")
    into = source.parent / "played"
    done = CliRunner().invoke(main, ["rehearse", str(source), "--into", str(into)])
    assert done.exit_code == 0, done.output
    return into


@pytest.fixture
def played(rehearsed: Path, tmp_path: Path) -> Path:
    """A copy of that folder."""
    return Path(shutil.copytree(rehearsed, tmp_path / "played"))


@pytest.fixture(scope="session")
def line_of_two(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Six teams, of whom two reach a line, before the first sheet is in."""
    return planned(tmp_path_factory.mktemp("line") / "day", "advance = 2\nadvance_per_club = 2")
