"""A day whose rounds are drawn one after the other, by the standings, through the command line and real files."""

import json
import shutil
from collections import Counter
from collections.abc import Callable
from itertools import combinations
from pathlib import Path
from typing import Any

import pytest

from tourney.day.state import read_day
from tourney.draw import Draw
from tourney.papers.fill import fill_workbook
from tourney.resources import sample_events
from tourney.simulation.rehearsal import simulate

Tourney = Callable[..., Any]  # the fixture of tests/conftest.py


def read(path: Path) -> Any:
    return json.loads(path.read_text(encoding="utf-8"))


@pytest.fixture
def day(tourney: Tourney, tmp_path: Path) -> Path:
    """The small sample with its three rounds drawn by standing, planned and printed."""
    folder = tmp_path / "by standing"
    shutil.copytree(sample_events() / "small_hall", folder)
    settings = folder / "event.toml"
    settings.write_text(
        settings.read_text(encoding="utf-8").replace("rounds = 3", 'rounds = 3\ndraw = "by_standing"'), encoding="utf-8"
    )
    (folder / "draw_secret.txt").write_text("a secret of this test\n", encoding="utf-8")
    assert tourney("plan", folder).code == 0
    assert tourney("papers", folder).code == 0
    return folder


def play(folder: Path, round_: int, but: int = 0) -> None:
    """Judges fill the sheets of one round, all but the last `but`, and drop them into returned/."""
    known = read_day(folder)
    played = simulate(known.plan, known.book, known.roster, Draw("a test"))
    entries = {sheet.code: sheet for sheet in (*played.entries, *played.corrections)}
    wanted = sorted(code for code in entries if f"-R{round_}-" in code)
    (workbook,) = (folder / "papers" / "judges").glob("*.xlsx")
    target = folder / "returned" / f"round {round_} but {but}.xlsx"
    fill_workbook(workbook, target, {code: entries[code] for code in wanted[: len(wanted) - but]})


def test_each_round_is_drawn_when_the_one_before_is_in(tourney: Tourney, day: Path) -> None:
    first, calls = read(day / "plan.json"), read(day / "calls.json")
    assert first["drawn_rounds"] == {"Open": 1}
    assert {heat["round"] for heat in first["heats"]} == {1}
    assert Counter(heat["round"] for heat in first["reserved"]) == {2: 3, 3: 3}
    assert len(first["waves"]) == 9
    assert sum(found["use"] == "rotation" for found in first["call_sets"]) == 9

    before = first
    for number in (2, 3):
        play(day, number - 1)
        assert tourney("collect", day).code == 0
        matters = tourney("results", day, "--json").document["open_matters"]
        assert "round_not_drawn" in {matter["kind"] for matter in matters}
        said = tourney("plan", day)
        assert said.code == 0 and f"Round {number} of Open is drawn" in said.text
        assert tourney("papers", day).code == 0
        plan = read(day / "plan.json")
        assert plan["revision"] == number
        assert plan["drawn_rounds"] == {"Open": number}
        assert plan["waves"] == before["waves"] and plan["call_sets"] == before["call_sets"]
        assert [heat for heat in plan["heats"] if heat["round"] < number] == before["heats"]
        kept = [
            (slot["wave"], slot["room"], slot["call_set"]) for slot in before["reserved"] if slot["round"] == number
        ]
        fresh = [heat for heat in plan["heats"] if heat["round"] == number]
        assert [(heat["wave"], heat["room"], heat["call_set"]) for heat in fresh] == kept
        before = plan

    assert before["reserved"] == []
    met = Counter(frozenset(pair) for heat in before["heats"] for pair in combinations(heat["teams"], 2))
    assert set(met.values()) == {1}
    after = read(day / "calls.json")
    assert after["sets"] == calls["sets"]
    assert after["speakers"][:3] == calls["speakers"] and len(after["speakers"]) == 9

    play(day, 3)
    said = tourney("collect", day, "--json").document
    assert (said["refused"], said["missing"]) == (0, [])
    matters = tourney("results", day, "--json").document["open_matters"]
    assert {matter["kind"] for matter in matters} <= {"tie_at_the_cut"}
    said = tourney("plan", day)
    assert said.code == 1 and "the plan stands" in said.text


def test_teams_level_in_the_standings_meet(tourney: Tourney, day: Path) -> None:
    play(day, 1)
    assert tourney("collect", day).code == 0
    standing = tourney("results", day, "--json").document["divisions"][0]["teams"]
    assert tourney("plan", day).code == 0
    place = {row["team"]: row["place"] for row in standing}
    plan = read(day / "plan.json")
    club = {team["id"]: team["club"] for team in plan["teams"]}
    met = {frozenset(heat["teams"]) for heat in plan["heats"] if heat["round"] == 1}

    def price(pairs: list[frozenset[str]]) -> tuple[int, int, int]:
        places = [sorted(place[team] for team in pair) for pair in pairs]
        return (
            sum(len({club[team] for team in pair}) == 1 for pair in pairs),
            sum(pair in met for pair in pairs),
            sum((high - low) ** 2 for low, high in places),
        )

    def all_draws(teams: list[str]) -> list[list[frozenset[str]]]:
        if not teams:
            return [[]]
        one, *others = teams
        return [
            [frozenset((one, other)), *rest]
            for other in others
            for rest in all_draws([t for t in others if t != other])
        ]

    drawn = [frozenset(heat["teams"]) for heat in plan["heats"] if heat["round"] == 2]
    best = min(price(pairs) for pairs in all_draws(sorted(place)))
    assert price(drawn)[:2] == best[:2]
    assert price(drawn)[2] <= best[2] + len(drawn)  # the sides of the line may cost a place in each heat


def test_a_round_that_is_not_all_in_is_waited_for(tourney: Tourney, day: Path) -> None:
    play(day, 1, but=1)
    assert tourney("collect", day).code == 0
    before = (day / "plan.json").read_bytes()
    said = tourney("plan", day)
    assert said.code == 1 and "round 2 of Open are not all in yet" in said.text and "has not come in" in said.text
    assert (day / "plan.json").read_bytes() == before
    play(day, 1)
    assert tourney("collect", day).code == 0
    assert tourney("plan", day).code == 0


def test_the_same_day_is_drawn_alike_by_everyone(tourney: Tourney, day: Path, tmp_path: Path) -> None:
    play(day, 1)
    assert tourney("collect", day).code == 0
    other = Path(shutil.copytree(day, tmp_path / "other"))
    for folder in (day, other):
        assert tourney("plan", folder).code == 0
    for file in ("plan.json", "calls.json"):
        assert (day / file).read_bytes() == (other / file).read_bytes()


def test_a_run_that_broke_off_is_made_good(tourney: Tourney, day: Path) -> None:
    """The record has the round, the files do not yet."""
    play(day, 1)
    assert tourney("collect", day).code == 0
    old = {file: (day / file).read_bytes() for file in ("plan.json", "calls.json")}
    assert tourney("plan", day).code == 0
    new = {file: (day / file).read_bytes() for file in old}
    for file, content in old.items():
        (day / file).write_bytes(content)
    assert tourney("results", day).code == 1
    assert tourney("plan", day).code == 0
    assert {file: (day / file).read_bytes() for file in old} == new


def test_a_rehearsal_draws_and_plays_every_round(tourney: Tourney, tmp_path: Path) -> None:
    source = Path(shutil.copytree(sample_events() / "small_hall", tmp_path / "source"))
    settings = source / "event.toml"
    by_standing = settings.read_text(encoding="utf-8").replace("rounds = 3", 'rounds = 3\ndraw = "by_standing"')
    settings.write_text(by_standing, encoding="utf-8")
    assert tourney("rehearse", source, "--into", tmp_path / "played").code == 0
    plan, results = (read(tmp_path / "played" / file) for file in ("plan.json", "results/results.json"))
    assert (plan["drawn_rounds"], plan["reserved"], plan["revision"]) == ({"Open": 3}, [], 3)
    assert results["state"] == "final"


def test_papers_say_what_is_still_to_be_drawn(day: Path) -> None:
    papers = day / "papers"
    for file in ("public/schedule.html", "public/doors.html"):
        assert "round 2: drawn later" in (papers / file).read_text(encoding="utf-8")
    strip = next(path for path in sorted((papers / "teams").glob("*.html")))
    assert "Round 3: drawn when round 2 is in" in strip.read_text(encoding="utf-8")
