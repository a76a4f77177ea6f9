"""The record of a played day: listed, copied, checked anew, and purged, through the command line."""

import json
import shutil
import sqlite3
import zipfile
from collections.abc import Callable, Iterator
from contextlib import closing
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any

import pytest

from tourney import clock
from tourney.record.journal import Journal
from tourney.record.state import fold

Tourney = Callable[..., Any]  # the fixture of tests/conftest.py
WHO = ("--by", "Ada Wren", "--why", "{name} was late")


def read(path: Path) -> Any:
    return json.loads(path.read_text(encoding="utf-8"))


def children_of(folder: Path) -> Any:
    with Journal.open(folder / "record.sqlite") as journal:
        roster = fold(journal.rows()).roster
    assert roster is not None
    return roster.contestants


def test_the_record_in_plain_words(tourney: Tourney, played: Path) -> None:
    assert tourney("rule", played, "started", "--wave", "W01", "--at", "9:04", *WHO).code == 0
    said = tourney("record", played)
    assert said.code == 0
    for words in ("Plan 1: 6 teams", "came in, from returned/", "Wave W01 started at 09:04.", "Ada Wren"):
        assert words in said.text
    document = tourney("record", played, "--json").document
    assert [row["row"] for row in document["rows"]] == list(range(1, len(document["rows"]) + 1))
    assert document["chain"][:12] in said.text and document["copied"] is None
    assert document["chain"][:12] in tourney("results", played).text


def test_a_copy_is_a_record_of_its_own(tourney: Tourney, played: Path, tmp_path: Path) -> None:
    copy = tmp_path / "on a stick" / "record copy.sqlite"
    said = tourney("record", played, "--backup", copy, "--json")
    assert said.code == 0 and said.document["copied"] == len(said.document["rows"])
    again = tourney("record", played, "--backup", copy)
    assert again.code == 1 and "is there already" in again.text
    shutil.copyfile(copy, played / "record.sqlite")
    assert tourney("results", played, "--json").document["state"]
    assert tourney("verify", played, "--head", said.document["chain"]).code == 0


def test_verify_finds_what_was_done_to_the_record(tourney: Tourney, played: Path) -> None:
    head = tourney("record", played, "--json").document["chain"][:12]
    sound = tourney("verify", played, "--head", head)
    assert sound.code == 0 and "0 broken" in sound.text and head in sound.text
    with closing(sqlite3.connect(played / "record.sqlite")) as raw, raw:
        raw.execute("DELETE FROM journal WHERE seq = (SELECT max(seq) FROM journal)")
    assert tourney("verify", played).code == 0, "a cut tail leaves a sound chain"
    cut = tourney("verify", played, "--head", head)
    assert cut.code == 1 and "cut or rewritten" in cut.text
    with closing(sqlite3.connect(played / "record.sqlite")) as raw, raw:
        raw.execute("UPDATE journal SET by = 'somebody else' WHERE seq = 3")
    altered = tourney("verify", played, "--json")
    assert altered.code == 1 and altered.document["sound"] is False
    assert any("row 3 was altered" in line["worst"] for line in altered.document["lines"])


def words_in(folder: Path) -> Iterator[tuple[str, str]]:
    """Every file's text, workbooks unpacked."""
    for path in sorted(folder.rglob("*")):
        if zipfile.is_zipfile(path):
            with zipfile.ZipFile(path) as packed:
                for name in packed.namelist():
                    yield f"{path.name}/{name}", packed.read(name).decode("utf-8", "replace")
        elif path.is_file():
            yield path.name, path.read_bytes().decode("utf-8", "replace")


def test_a_purge_says_first_what_it_would_remove(
    tourney: Tourney, played: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    before = {path: path.read_bytes() for path in played.rglob("*") if path.is_file()}
    said = tourney("purge", played)
    assert said.code == 1 and "would remove for good" in said.text and "--yes" in said.text
    assert "entries/ (" in said.text and "Nothing was written" in said.text
    early = tourney("purge", played, "--yes")
    assert early.code == 1 and "until" in early.text and "--override" in early.text
    assert {path: path.read_bytes() for path in played.rglob("*") if path.is_file()} == before
    end = datetime.fromisoformat(read(played / "plan.json")["waves"][-1]["start"])
    monkeypatch.setattr(clock, "now", lambda: end + timedelta(days=8))
    assert tourney("purge", played, "--yes").code == 0


def test_after_a_purge_no_child_is_named_anywhere(tourney: Tourney, played: Path) -> None:
    children = children_of(played)
    by, name, why, reason = WHO
    ruled = tourney("rule", played, "started", "--wave", "W01", "--at", "9:04", by, name, why,
                    reason.format(name=children[0].name))  # fmt: skip
    assert ruled.code == 0
    (played / "my notes.txt").write_text("order sandwiches")
    before = read(played / "results" / "results.json")
    head = tourney("record", played, "--json").document["chain"]
    named = {word for word in (child.name for child in children) if any(word in text for _, text in words_in(played))}
    assert named == {child.name for child in children}, "the search finds what is there"

    said = tourney("purge", played, "--yes", "--override", "--json")
    assert said.code == 0, said.out
    assert said.document["children"] == len(children) and said.document["keys"] > len(children)
    assert said.document["left"] == ["my notes.txt"]
    assert not [name for name in ("entries", "papers", "returned", "officials.xlsx") if (played / name).exists()]
    wanted = {child.name for child in children} | {child.preferred_name for child in children if child.preferred_name}
    found = {(word, file) for file, text in words_in(played) for word in wanted if word in text}
    assert found == set()

    after = read(played / "results" / "results.json")
    for division, was in zip(after["divisions"], before["divisions"], strict=True):
        assert [(row["team"], row["points"], row["place"]) for row in division["teams"]] == [
            (row["team"], row["points"], row["place"]) for row in was["teams"]
        ]
        assert all(row["shown_as"] == row["contestant"] for row in division["contestants"])
    assert tourney("verify", played, "--head", head).code == 0, "the chain still holds"
    assert "Children's details were removed" in tourney("record", played).text
    assert "were removed on" in (played / "purge_receipt.txt").read_text(encoding="utf-8")
    again = tourney("purge", played, "--yes", "--override", "--json")
    assert again.code == 0 and again.document["keys"] == 0
    closed = tourney("rule", played, "started", "--wave", "W02", "--at", "9:30", "--by", "Ada", "--why", "late")
    assert closed.code == 1 and "the record is closed" in closed.text


def test_a_file_that_is_open_elsewhere_is_named_and_the_next_run_finishes(
    tourney: Tourney, played: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def held(_path: Path) -> None:
        raise PermissionError(13, "held by another program")

    with monkeypatch.context() as patched:
        patched.setattr(shutil, "rmtree", held)
        said = tourney("purge", played, "--yes", "--override")
    assert said.code == 1 and "could not be removed" in said.text and "it finishes" in said.text
    assert tourney("purge", played, "--yes", "--override").code == 0
    assert not (played / "entries").exists()
