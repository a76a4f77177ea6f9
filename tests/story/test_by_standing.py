"""A day whose rounds are drawn one after the other, by the standings, through the command line and real files."""

import json
import shutil
from collections import Counter
from collections.abc import Callable
from datetime import UTC, datetime
from itertools import combinations
from pathlib import Path
from typing import Any

import pytest

from tourney.day.collect import collect
from tourney.day.papers import papers
from tourney.day.plan import plan
from tourney.day.state import read_day
from tourney.draw import Draw
from tourney.papers.fill import fill_workbook
from tourney.resources import sample_events
from tourney.simulation.rehearsal import simulate

Tourney = Callable[..., Any]  # the fixture of tests/conftest.py
NOON = datetime(2027, 3, 6, 12, tzinfo=UTC)


def read(path: Path) -> Any:
    return json.loads(path.read_text(encoding="utf-8"))


@pytest.fixture(scope="module")
def source(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The small sample with its three rounds drawn by standing."""
    folder = tmp_path_factory.mktemp("by standing") / "source"
    shutil.copytree(sample_events() / "small_hall", folder)
    settings = folder / "event.toml"
    by_standing = settings.read_text(encoding="utf-8").replace("rounds = 3", 'rounds = 3\ndraw = "by_standing"')
    settings.write_text(by_standing, encoding="utf-8")
    (folder / "draw_secret.txt").write_text("a secret of this test\n", encoding="utf-8")
    return folder


@pytest.fixture(scope="module")
def printed(source: Path) -> Path:
    """Planned and printed."""
    folder = Path(shutil.copytree(source, source.parent / "printed"))
    plan(folder, NOON)
    papers(folder)
    return folder


@pytest.fixture(scope="module")
def first_round_in(printed: Path) -> Path:
    """Round 1 played and collected."""
    folder = Path(shutil.copytree(printed, printed.parent / "first round in"))
    play(folder, 1)
    collect(folder, (), NOON)
    return folder


@pytest.fixture
def day(printed: Path, tmp_path: Path) -> Path:
    return Path(shutil.copytree(printed, tmp_path / "day"))


@pytest.fixture
def later(first_round_in: Path, tmp_path: Path) -> Path:
    return Path(shutil.copytree(first_round_in, tmp_path / "day"))


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
        step = tourney("next", day, "--json").document
        assert (step["state"], step["what"]) == ("next_round", "A round is in. Draw the next one.")
        assert step["line"] == f"tourney plan {day}"
        said = tourney("plan", day)
        assert said.code == 0 and f"Round {number} of Open is drawn" in said.text
        assert tourney("papers", day).code == 0
        now = read(day / "plan.json")
        assert now["revision"] == number
        assert now["drawn_rounds"] == {"Open": number}
        assert now["waves"] == before["waves"] and now["call_sets"] == before["call_sets"]
        assert [heat for heat in now["heats"] if heat["round"] < number] == before["heats"]
        kept = [
            (slot["wave"], slot["room"], slot["call_set"]) for slot in before["reserved"] if slot["round"] == number
        ]
        fresh = [heat for heat in now["heats"] if heat["round"] == number]
        assert [(heat["wave"], heat["room"], heat["call_set"]) for heat in fresh] == kept
        before = now

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


def test_teams_level_in_the_standings_meet(tourney: Tourney, later: Path) -> None:
    standing = tourney("results", later, "--json").document["divisions"][0]["teams"]
    assert tourney("plan", later).code == 0
    place = {row["team"]: row["place"] for row in standing}
    drawn = read(later / "plan.json")
    club = {team["id"]: team["club"] for team in drawn["teams"]}
    met = {frozenset(heat["teams"]) for heat in drawn["heats"] if heat["round"] == 1}

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

    second = [frozenset(heat["teams"]) for heat in drawn["heats"] if heat["round"] == 2]
    best = min(price(pairs) for pairs in all_draws(sorted(place)))
    assert price(second)[:2] == best[:2]
    assert price(second)[2] <= best[2] + len(second)  # the sides of the line may cost a place in each heat


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


def test_the_same_day_is_drawn_alike_by_everyone(tourney: Tourney, later: Path, tmp_path: Path) -> None:
    other = Path(shutil.copytree(later, tmp_path / "other"))
    for folder in (later, other):
        assert tourney("plan", folder).code == 0
    for file in ("plan.json", "calls.json"):
        assert (later / file).read_bytes() == (other / file).read_bytes()


def test_a_run_that_broke_off_is_made_good(tourney: Tourney, later: Path) -> None:
    """The record has the round, the files do not yet."""
    old = {file: (later / file).read_bytes() for file in ("plan.json", "calls.json")}
    assert tourney("plan", later).code == 0
    new = {file: (later / file).read_bytes() for file in old}
    for file, content in old.items():
        (later / file).write_bytes(content)
    assert tourney("results", later).code == 1
    assert tourney("plan", later).code == 0
    assert {file: (later / file).read_bytes() for file in old} == new


def test_the_next_round_does_not_wait_for_faulty_entries(tourney: Tourney, later: Path) -> None:
    """The recorded plan counts: a file that came in late and can't be read holds nobody up."""
    (later / "entries" / "late.csv").write_text("club,team\n?,?\n", encoding="utf-8")
    assert tourney("check", later).code == 1
    assert tourney("plan", later).code == 0


def test_a_rehearsal_draws_and_plays_every_round_and_the_finals(tourney: Tourney, source: Path, tmp_path: Path) -> None:
    assert tourney("rehearse", source, "--into", tmp_path / "played").code == 0
    drawn, results = (read(tmp_path / "played" / file) for file in ("plan.json", "results/results.json"))
    assert (drawn["drawn_rounds"], drawn["reserved"], drawn["revision"]) == ({"Open": 3}, [], 4)
    assert results["state"] == "final"


def test_papers_say_what_is_still_to_be_drawn(printed: Path) -> None:
    folder = printed / "papers"
    for file in ("public/schedule.html", "public/doors.html"):
        assert "round 2: drawn later" in (folder / file).read_text(encoding="utf-8")
    strip = next(path for path in sorted((folder / "teams").glob("*.html")))
    assert "Round 3: drawn when round 2 is in" in strip.read_text(encoding="utf-8")


def test_a_team_that_comes_late_is_in_the_rounds_still_to_be_drawn(
    tourney: Tourney, later: Path, tmp_path: Path
) -> None:
    late = tmp_path / "late.csv"
    rows = ("Fenmoor,Late Larks,Open,Ivo Marrack,2015-05-01", "Fenmoor,Late Larks,Open,Una Pell,2015-06-01")
    late.write_text("\n".join(("club,team,division,name,birth_date", *rows)), encoding="utf-8")
    at = read(later / "plan.json")["waves"][3]["start"][11:16]
    said = tourney("replan", later, "--late-team", late, "--at", at, "--confirm")
    assert said.code == 0 and "misses round 1" in said.text
    assert "Late Larks will be in round 2 and round 3, still to be drawn by standing" in said.text
    assert "0 rounds" not in said.text and "0 heats" not in said.text
    assert tourney("verify", later).code == 0
    assert tourney("plan", later).code == 0
    drawn = read(later / "plan.json")
    new = drawn["teams"][-1]["id"]
    assert [heat["round"] for heat in drawn["heats"] if new in heat["teams"]] + [
        bye["round"] for bye in drawn["byes"] if bye["team"] == new
    ] == [2]
    assert tourney("verify", later).code == 0
