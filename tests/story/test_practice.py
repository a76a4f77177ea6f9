"""Practice before, during and after a day, through the command line and real files."""

import json
import re
import shutil
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest

from tourney.canon.syllabus import built_in
from tourney.day.collect import collect
from tourney.day.papers import papers
from tourney.day.plan import plan
from tourney.day.practice import Wish, practice
from tourney.day.results import standings
from tourney.day.state import read_day
from tourney.draw import Draw
from tourney.model.plan import Plan
from tourney.papers.fill import fill_workbook
from tourney.resources import sample_events
from tourney.simulation.rehearsal import simulate

Tourney = Callable[..., Any]  # the fixture of tests/conftest.py
LATER = datetime(2040, 1, 1, tzinfo=UTC)  # when the time for protests is over


def sets_of(page: Path) -> dict[str, list[str]]:
    """Title -> items of every set of a caller's page."""
    (text,) = re.findall(r'id="data">(.*?)</script>', page.read_text(encoding="utf-8"), re.DOTALL)
    found = json.loads(text)["sets"]
    return {one["title"]: [call if isinstance(call, str) else call["item"] for call in one["calls"]] for one in found}


def titles(sets: dict[str, list[str]]) -> list[str]:
    return [title for title in sets if not title.startswith("Day ")]


def test_before_a_plan_practice_is_for_divisions(tourney: Tourney, played: Path) -> None:
    for name in ("plan.json", "calls.json"):
        (played / name).unlink()
    said = tourney("practice", played, "--json", "--calls", 8, "--seconds", 14, "--weeks", 1)
    assert said.code == 0 and said.document["state"] == "unplanned" and said.document["spent"] == []
    (group,) = said.document["groups"]
    assert group["division"] == "Open" and all((played / file).stat().st_size > 0 for file in group["files"])
    sets = sets_of(played / group["files"][0])
    assert titles(sets) == ["Mixed 1", "Mixed 2", "Easier", "Harder"] and len(sets["Mixed 1"]) == 8
    refused = tourney("practice", played, "--team", "O01")
    assert refused.code == 1 and "once the day is planned" in refused.text


def test_until_results_are_final_nothing_of_the_day_is_told(tourney: Tourney, played: Path) -> None:
    said = tourney("practice", played, "--json", "--team", "spoons")
    assert said.code == 0 and said.document["state"] == "sealed"
    (group,) = said.document["groups"]
    assert group["calls"] == 0 and group["members"][0] == "O01-1" and said.document["spent"] == []
    drawn = sets_of(played / group["files"][0])
    sealed = {frozenset(call.item for call in one.calls) for one in read_day(played).book.sets}
    assert titles(drawn) == ["Mixed 1", "Mixed 2", "Easier", "Harder"]
    assert not {frozenset(items) for items in drawn.values()} & sealed
    pages = " ".join((played / file).read_text(encoding="utf-8") for file in group["files"] if file.endswith("html"))
    assert "O-W0" not in pages and "day is not over" in pages
    told = tourney("practice", played, "--team", "O01")
    assert told.code == 0 and "not over" in told.text and "safeguarding" in told.text


def test_the_secret_has_no_part_in_practice(tourney: Tourney, played: Path) -> None:
    one = sets_of(played / tourney("practice", played, "--json").document["groups"][0]["files"][0])
    (played / "draw_secret.txt").write_text("another secret\n")
    again = sets_of(played / tourney("practice", played, "--json").document["groups"][0]["files"][0])
    assert one == again
    other = sets_of(played / tourney("practice", played, "--json", "--number", 2).document["groups"][0]["files"][0])
    assert all(one[title] != other[title] for title in titles(one))


def test_after_the_day_what_was_missed_weighs_and_the_days_sets_are_open(played: Path) -> None:
    made = practice(played, Wish(team="O01"), LATER)
    day = read_day(played)
    assert made.state == "over" and made.made[0].needs.calls > 100
    sets = sets_of(played / made.made[0].files[0])
    assert titles(sets)[0] == "What needs it most" and "The day, round 1, O-W01" in sets
    for one in day.called.sets:
        for title, items in sets.items():
            if title.endswith(one.id):
                assert items == [call.item for call in one.calls]
    assert {line.contestant for line in made.spent} <= {child for team in day.plan.teams for child in team.members}
    line = next(line for line in made.spent if line.contestant == "O01-1")
    assert set(line.sets) == {heat.call_set for heat in day.plan.heats if "O01-1" in heat.line}
    clean_by_construction(day.plan, made.unheard)


def test_a_rehearsal_with_finals_is_over_and_they_weigh_in(tourney: Tourney, tmp_path: Path) -> None:
    into = tmp_path / "rehearsed"
    assert tourney("rehearse", sample_events() / "small_hall", "--into", into).code == 0
    day = read_day(into)
    team = day.plan.heat["O-F1-1"].teams[0]
    named = re.findall(r"(?:in:|,) ([A-Z][A-Za-z ]+) \d+ of \d+", tourney("practice", into, "--team", team).text)
    assert len(named) == 3 and set(named) <= set(dict(built_in().section_names).values())
    said = tourney("practice", into, "--team", team, "--json").document
    lines = {heat.id: len(set(heat.line) & set(day.plan.team[team].members)) for heat in day.plan.heats}
    everything = sum(lines[heat.id] * len(day.called.set[heat.call_set].calls) for heat in day.plan.heats)
    rounds = sum(lines[heat.id] * len(day.called.set[heat.call_set].calls) for heat in day.plan.rotation)
    assert said["state"] == "over"
    assert rounds < said["groups"][0]["calls"] <= everything  # who was absent heard nothing
    sets = sets_of(into / said["groups"][0]["files"][0])
    assert "The day, finals, O-FINAL-1" in sets
    assert tourney("review", into, "--json").document["calls_named"]


def test_sets_for_finals_stay_sealed_until_finals_are_decided(tmp_path: Path) -> None:
    folder = Path(shutil.copytree(sample_events() / "small_hall", tmp_path / "day"))
    plan(folder, LATER)
    papers(folder)
    day = read_day(folder)
    filled = simulate(day.plan, day.called, day.roster, Draw("a test"))
    sheets = {sheet.code: sheet for sheet in (*filled.entries, *filled.corrections)}
    for workbook in sorted((folder / "papers" / "judges").glob("*.xlsx")):
        fill_workbook(workbook, folder / "returned" / workbook.name, sheets)
    end = day.plan.waves[-1].end
    collect(folder, (), end)
    closed = end + timedelta(minutes=day.plan.event.day.protest_minutes)
    assert standings(read_day(folder), closed).state == "final"
    before = practice(folder, Wish(team="O01"), closed)
    assert before.state == "sealed" and before.made[0].needs.calls == 0 and before.spent == ()
    assert practice(folder, Wish(team="O01"), closed + timedelta(days=1)).state == "over"


def clean_by_construction(drawn: Plan, unheard: tuple[str, ...]) -> None:
    """Nobody has heard a set for finals, a drill-off, or in reserve, before it is called."""
    called = {heat.call_set for heat in drawn.heats}
    spare = {one.id for one in drawn.call_sets if one.use in ("final", "drill_off", "reserve")}
    assert spare - called and set(unheard) == {one.id for one in drawn.call_sets if one.use != "practice"} - called


def test_a_childs_practice_shows_no_other_child(played: Path) -> None:
    day = read_day(played)
    made = practice(played, Wish(child="O01-1"), LATER)
    pages = [(played / file).read_text(encoding="utf-8") for file in made.made[0].files if file.endswith("html")]
    for child in day.roster.contestants:
        surname = child.name.split()[-1]
        if child.id != "O01-1":
            assert not [1 for page in pages if f"{child.id}<" in page or f'"{child.id}"' in page]
        assert len(surname) < 4 or not [1 for page in pages if surname in page], surname


def tally(*marks: str) -> dict[str, Any]:
    rows = [
        {"set": "Mixed 1", "call": no, "item": "NAM", "seconds": 10, "line": 1, "mark": mark}
        for no, mark in enumerate(marks, 1)
    ]
    lines = [{"line": 1, "who": "O01-1"}]
    return {"format": "tourney-tally/1", "session": "2026-11-25T10:00", "lines": lines, "rows": rows}


def test_a_tally_weighs_in_for_its_child_and_counts_once(tourney: Tourney, played: Path, tmp_path: Path) -> None:
    record = (played / "record.sqlite").read_bytes()
    for name in ("one.json", "two.json"):
        (tmp_path / name).write_text(json.dumps(tally("W", "L", "found")))
    asked = ["practice", played, "--tally", tmp_path / "one.json", "--tally", tmp_path / "two.json", "--json"]
    found = tourney(*asked, "--child", "O01-1").document
    assert found["tally"] == {"noted": 3, "of_these": 3} and found["groups"][0]["calls"] == 3
    assert found["groups"][0]["sections"][0] == {"section": "minor_prophets", "missed": 2, "calls": 3}
    assert tourney(*asked, "--child", "O01-2").document["tally"] == {"noted": 3, "of_these": 0}
    assert (played / "record.sqlite").read_bytes() == record


def test_a_damaged_tally_is_named_with_its_place(tourney: Tourney, played: Path, tmp_path: Path) -> None:
    broken = tally("W")
    broken["rows"][0]["item"] = "MIK"
    (tmp_path / "mine.json").write_text(json.dumps(broken))
    said = tourney("practice", played, "--tally", tmp_path / "mine.json", "--json")
    assert said.code == 1
    (fault,) = said.document["faults"]
    assert (fault["file"], fault["where"]) == ("mine.json", "rows[1].item") and "nearest" in fault["hint"]


@pytest.mark.parametrize(
    ("words", "sentence"),
    [
        (["--team", "O99"], 'There is no team "O99".'),
        (["--club", "Nobody"], 'There is no club "Nobody".'),
        (["--child", "X"], 'There is no child "X".'),
        (["--team", "O01", "--child", "O01-1"], "name one of them"),
    ],
)
def test_an_unknown_group_is_said_with_those_that_are_known(
    tourney: Tourney, played: Path, words: list[str], sentence: str
) -> None:
    said = tourney("practice", played, *words)
    assert said.code == 1 and sentence in said.text and not (played / "results" / "practice").exists()


def test_more_calls_than_a_balanced_set_can_have_are_refused_without_a_change_of_settings(
    tourney: Tourney, played: Path
) -> None:
    said = tourney("practice", played, "--calls", 60)
    assert said.code == 1 and "5 there, 7 needed" in said.text and "without it a set has 16 calls" in said.text
    assert "by_size" not in said.text and not (played / "results" / "practice").exists()


def test_a_quiz_that_was_filled_in_stays(tourney: Tourney, played: Path) -> None:
    quiz = played / "results" / "practice" / "Spoons_O01" / "neighbours.xlsx"
    tourney("practice", played, "--team", "O01")
    quiz.write_bytes(b"filled in")
    said = tourney("practice", played, "--team", "O01", "--number", 2)
    assert said.code == 0 and quiz.read_bytes() == b"filled in" and "was changed by someone" in said.text
    assert quiz.with_name("neighbours (2).xlsx").exists()


def test_a_list_of_its_own_is_practised_like_the_books(tourney: Tourney, tmp_path: Path) -> None:
    folder = Path(shutil.copytree(sample_events() / "garden_catalogue", tmp_path / "garden"))
    said = tourney("practice", folder, "--json", "--weeks", 1)
    assert said.code == 0, said.out
    for group in said.document["groups"]:
        sets = sets_of(folder / group["files"][0])
        assert len(sets) == 4 + 7 and all(sets.values())
