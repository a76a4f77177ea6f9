"""The whole pack on disk: every file, in its reader's folder, with nothing in it that is not that reader's."""

import zipfile
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from tourney.errors import FileTrouble
from tourney.papers.pack import write_papers
from tourney.papers.shelf import Written


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("dawn at the hall – 港")


@pytest.fixture(scope="module")
def written(folder: Path, day: Any) -> Written:
    return write_papers(folder, day.plan, day.book, day.roster, day.syllabus)


def content(path: Path) -> str:
    """All text of a page, or of every part of a workbook."""
    if path.suffix != ".xlsx":
        return path.read_text(encoding="utf-8")
    with zipfile.ZipFile(path) as parts:
        return "\n".join(parts.read(name).decode("utf-8", "replace") for name in parts.namelist())


def test_every_file_named_is_there_and_no_other(folder: Path, written: Written) -> None:
    there = {path.relative_to(folder).as_posix() for path in (folder / "papers").rglob("*") if path.is_file()}
    assert there == {*written.files, "papers/.tourney-papers.json"}
    readers = {file.split("/")[1] for file in written.files}
    assert readers == {"coordinator", "callers", "judges", "teams", "clubs", "officials", "steward", "public"}
    assert written.kept == written.left == ()


def test_no_file_leaks(folder: Path, written: Written, day: Any) -> None:
    sections = " ".join(map(day.syllabus.section_name, day.syllabus.sections))  # these may be shown
    called = {call.say for found in day.book.sets for call in found.calls}
    calls = {name for name in called if len(name) > 7 and name not in sections}
    assert len(calls) > 5
    for file in written.files:
        reader, text = file.split("/")[1], content(folder / file)
        assert ("reads large print only" in text) == (file == "papers/steward/access_list.html"), file
        assert reader == "steward" or "large print" not in text, file
        assert any(name in text for name in calls) == (reader == "callers"), file
        assert "Featherstonehaugh" not in text, file  # no need, and not to be shown in full
        assert day.plan.draw.words not in text, file


def test_the_next_revision_takes_the_place_of_the_first(folder: Path, written: Written, day: Any) -> None:
    notes = folder / "papers/clubs/Gull_Point.html"
    notes.write_text("notes of a coach", encoding="utf-8")
    fewer = replace(
        day.plan,
        revision=2,
        teams=tuple(team for team in day.plan.teams if team.club != "Fernbank"),
        heats=tuple(heat for heat in day.plan.heats if not {"J02", "S02"} & set(heat.teams)),
    )
    again = write_papers(folder, fewer, day.book, day.roster, day.syllabus)
    assert again.kept == ("papers/clubs/Gull_Point.html",)
    assert notes.read_text(encoding="utf-8") == "notes of a coach"
    assert "plan 2" in content(folder / "papers/clubs/Gull_Point (2).html")
    assert "papers/clubs/Fernbank.html" in written.files
    assert not (folder / "papers/clubs/Fernbank.html").exists()


def test_a_place_that_cannot_be_written_is_said(tmp_path: Path, day: Any) -> None:
    (tmp_path / "papers").write_text("a file where the folder should be")
    with pytest.raises(FileTrouble):
        write_papers(tmp_path, day.plan, day.book, day.roster, day.syllabus)
    assert (tmp_path / "papers").read_text() == "a file where the folder should be"
