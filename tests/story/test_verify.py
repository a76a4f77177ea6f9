"""A planned day checked anew from its files, and what is found when someone changed them."""

import hashlib
import json
import shutil
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest

from tourney.day.plan import plan
from tourney.resources import sample_events

Tourney = Callable[..., Any]  # the fixture of tests/conftest.py


@pytest.fixture(scope="module")
def garden(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The garden day, planned once."""
    folder = tmp_path_factory.mktemp("planned") / "garden"
    shutil.copytree(sample_events() / "garden_catalogue", folder)
    plan(folder, datetime(2027, 5, 1, 12, tzinfo=UTC))
    return folder


@pytest.fixture
def planned(garden: Path, tmp_path: Path) -> Path:
    """A copy to change."""
    return Path(shutil.copytree(garden, tmp_path / "garden"))


def change(path: Path, spoil: Callable[[Any], None]) -> None:
    document = json.loads(path.read_text(encoding="utf-8"))
    spoil(document)
    path.write_text(json.dumps(document, ensure_ascii=False), encoding="utf-8")


def broken(said: Any) -> set[str]:
    return {line["name"] for line in said.document["lines"] if line["status"] == "broken"}


def test_a_day_as_it_was_planned_is_sound(tourney: Tourney, planned: Path) -> None:
    said = tourney("verify", planned)
    assert said.code == 0 and "0 broken" in said.text
    found = tourney("verify", planned, "--json")
    assert found.document["sound"] and broken(found) == set()
    assert {line["scope"] for line in found.document["lines"]} >= {"all", "Seedlings", "Growers", "record"}


def test_a_call_changed_after_the_draw_is_found(tourney: Tourney, planned: Path) -> None:
    def easier(calls: Any) -> None:
        calls["sets"][0]["calls"][0]["difficulty"] += 0.0001

    change(planned / "calls.json", easier)
    said = tourney("verify", planned)
    assert said.code == 1 and "S-W01 is not the set that was sealed" in said.text
    assert broken(tourney("verify", planned, "--json")) == {"fingerprints"}


def test_an_official_slipped_into_a_heat_is_found(tourney: Tourney, planned: Path) -> None:
    def slipped(plan: Any) -> None:
        heat, club = plan["heats"][0], plan["teams"][0]["club"]
        heat["teams"][0] = plan["teams"][0]["id"]
        heat["judges"][0] = next(o["id"] for o in plan["officials"] if club in o["clubs"])

    change(planned / "plan.json", slipped)
    said = tourney("verify", planned, "--json")
    assert said.code == 1 and "officials_without_tie" in broken(said)


def test_another_secret_is_found_and_a_missing_one_is_said(tourney: Tourney, planned: Path) -> None:
    secret = planned / "draw_secret.txt"
    secret.unlink()
    said = tourney("verify", planned)
    assert said.code == 0 and "not in this folder" in said.text
    assert not secret.exists()
    secret.write_text("a guess\n", encoding="utf-8")
    assert broken(tourney("verify", planned, "--json")) == {"secret"}


@pytest.fixture
def handed_out(planned: Path, tmp_path: Path) -> Path:
    """What a coach may have when the day is over: the plan, the calls, the secret, the list; no child, no record."""
    folder = tmp_path / "handed out"
    folder.mkdir()
    for name in ("plan.json", "calls.json", "draw_secret.txt", "syllabus.csv", "sound_alikes.csv"):
        shutil.copy(planned / name, folder / name)
    return folder


def test_anyone_can_draw_the_calls_again(tourney: Tourney, handed_out: Path) -> None:
    said = tourney("verify", handed_out, "--json")
    assert said.code == 0, said.out
    lines = {line["name"]: line for line in said.document["lines"]}
    assert lines["calls_follow_from_words_and_secret"]["status"] == "kept"
    assert lines["call_sets_drawn_on_the_day"]["measured"] == 0
    assert lines["record"]["measured"] == "not in this folder"
    assert not (handed_out / "record.sqlite").exists()


def test_difficulties_that_were_measured_are_checked_too(tourney: Tourney, garden: Path, tmp_path: Path) -> None:
    folder = tmp_path / "rated"
    shutil.copytree(garden, folder, ignore=shutil.ignore_patterns("plan.json", "calls.json", "record.sqlite"))
    (folder / "difficulty.csv").write_text("item,difficulty\nBP02,4.25\nRT01,0.5\n", encoding="utf-8")
    plan(folder, datetime(2027, 5, 1, 12, tzinfo=UTC))
    assert tourney("verify", folder).code == 0
    (folder / "difficulty.csv").unlink()
    assert "said_and_rated_as_listed" in broken(tourney("verify", folder, "--json"))


def sealed_anew(folder: Path, spoil: Callable[[Any], None]) -> None:
    """Change the calls, and the plan so that their fingerprints fit."""
    change(folder / "calls.json", spoil)
    book = json.loads((folder / "calls.json").read_text(encoding="utf-8"))
    found = {one["id"]: one for one in book["sets"]}

    def sealed(plan: Any) -> None:
        for row in plan["call_sets"]:
            text = json.dumps(found[row["id"]], sort_keys=True, separators=(",", ":"), ensure_ascii=False)
            row["fingerprint"] = "sha256:" + hashlib.sha256(text.encode()).hexdigest()

    change(folder / "plan.json", sealed)


def exchanged(calls: Any) -> None:
    """Two calls of one section change places, so that every property stays as it was."""
    rows = calls["sets"][0]["calls"]
    one, other = next((a, b) for a in rows for b in rows if a["no"] < b["no"] and a["section"] == b["section"])
    at, there = one["no"] - 1, other["no"] - 1
    rows[at], rows[there] = other | {"no": one["no"]}, one | {"no": other["no"]}


def test_calls_that_someone_chose_are_found_though_they_keep_every_rule(tourney: Tourney, handed_out: Path) -> None:
    sealed_anew(handed_out, exchanged)
    said = tourney("verify", handed_out)
    assert said.code == 1 and "S-W01 comes out otherwise" in said.text
    assert "calls_follow_from_words_and_secret" in broken(tourney("verify", handed_out, "--json"))


def test_calls_of_another_version_are_compared_but_break_nothing(tourney: Tourney, handed_out: Path) -> None:
    def older(plan: Any) -> None:
        plan["draw"]["calls_by"] = "way 0, ortools 1.0"

    change(handed_out / "plan.json", older)
    assert tourney("verify", handed_out).code == 0
    sealed_anew(handed_out, exchanged)
    said = tourney("verify", handed_out)
    assert said.code == 0 and "drawn by way 0, ortools 1.0, this is way" in said.text
    lines = {line["name"]: line for line in tourney("verify", handed_out, "--json").document["lines"]}
    assert lines["calls_follow_from_words_and_secret"]["status"] == "noted"
    assert lines["calls_follow_from_words_and_secret"]["measured"] == 1


def test_a_speaker_that_someone_chose_is_found(tourney: Tourney, handed_out: Path) -> None:
    def turned(calls: Any) -> None:
        lines = calls["speakers"][0]["lines"]
        later = next(at for at, line in enumerate(lines) if line != lines[0])
        lines[0], lines[later] = lines[later], lines[0]

    change(handed_out / "calls.json", turned)
    assert broken(tourney("verify", handed_out, "--json")) == {"speakers_follow_from_words_and_secret"}


def test_the_record_knows_which_calls_were_drawn(tourney: Tourney, planned: Path) -> None:
    sealed_anew(planned, exchanged)
    assert broken(tourney("verify", planned, "--json")) >= {"plan.json as it was recorded last"}


def test_other_words_or_another_secret_give_other_calls(tourney: Tourney, handed_out: Path) -> None:
    def other_words(plan: Any) -> None:
        plan["draw"]["words"] = plan["event"]["draw_words"] = "chosen afterwards"

    change(handed_out / "plan.json", other_words)
    assert broken(tourney("verify", handed_out, "--json")) == {
        "calls_follow_from_words_and_secret",
        "speakers_follow_from_words_and_secret",
    }
    (handed_out / "draw_secret.txt").write_text("a guess\n", encoding="utf-8")
    lines = {line["name"]: line for line in tourney("verify", handed_out, "--json").document["lines"]}
    assert lines["secret"]["status"] == "broken"
    assert lines["calls_follow_from_words_and_secret"]["measured"] == "not tried"


def test_a_list_changed_after_the_draw_is_found(tourney: Tourney, planned: Path) -> None:
    listed = planned / "syllabus.csv"
    rows = listed.read_text(encoding="utf-8")
    listed.write_text(rows.replace("Brindle Bean", "Bramble Bean"), encoding="utf-8")
    assert broken(tourney("verify", planned, "--json")) == {
        "answers_true",
        "said_and_rated_as_listed",
        "calls_follow_from_words_and_secret",
    }
    listed.write_text(rows.replace("Brindle Bean", ""), encoding="utf-8")
    said = tourney("verify", planned)
    assert said.code == 1 and "name is empty." in said.text


@pytest.mark.parametrize("file", ["plan.json", "calls.json"])
def test_a_file_that_is_gone_or_damaged_is_a_sentence(tourney: Tourney, planned: Path, file: str) -> None:
    (planned / file).write_text("{", encoding="utf-8")
    said = tourney("verify", planned)
    assert said.code == 1 and f"{file} is damaged" in said.text
    (planned / file).unlink()
    assert tourney("verify", planned, "--json").document["format"] == "tourney-stopped/1"
