"""Days of a division in pools, through the command line: drawn, ranked apart, and who goes on from all of them."""

import shutil
from collections import Counter
from datetime import timedelta
from fractions import Fraction
from pathlib import Path

import pytest
from openpyxl import load_workbook

from tests.story.finals_days import Hands, Tourney, collected, drilled, fill_so, finals_heats, made, planned, read
from tourney.day.state import read_day
from tourney.papers.table_sheet import FIRST_ROW, HEADINGS_ROW

POOLS = 'teams_per_heat = 3\npools = 2\nadvance = 3\nadvance_per_club = 3\nfinals = "knockout"'


@pytest.fixture(scope="module")
def source(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Six teams in two pools, each in one line every round: the first of each and the best other reach the finals."""
    return planned(tmp_path_factory.mktemp("pools") / "day", POOLS, line_limit=12)


@pytest.fixture
def day(source: Path, tmp_path: Path) -> Path:
    return Path(shutil.copytree(source, tmp_path / "day"))


@pytest.fixture
def hands(day: Path, monkeypatch: pytest.MonkeyPatch) -> Hands:
    return Hands(day, monkeypatch)


@pytest.fixture
def pools(day: Path) -> dict[str, list[str]]:
    """Pool -> its three teams."""
    found: dict[str, list[str]] = {}
    for team in read_day(day).plan.teams:
        found.setdefault(team.pool, []).append(team.id)
    return found


def test_pools_are_drawn_round_by_round_each_by_its_standing(tourney: Tourney, tmp_path: Path) -> None:
    """While a round is still to be drawn nobody goes on for certain, and nobody is out."""
    asked = f'{POOLS.replace("= 3", "= 2", 1)}\ndraw = "by_standing"'
    source = planned(tmp_path / "source", asked, line_limit=12)
    said = tourney("rehearse", source, "--into", tmp_path / "played")
    assert said.code == 0, said.out
    plan = read_day(tmp_path / "played").plan
    assert plan.drawn_rounds == {"Open": 3} and {bye.round for bye in plan.byes} == {1, 2, 3}
    assert all(len({plan.team[team].pool for team in heat.teams}) == 1 for heat in plan.rotation)
    said = tourney("verify", tmp_path / "played", "--json")
    assert said.document["sound"], said.out
    fill_so(source, lambda team: int(team[1:]))
    assert tourney("collect", source).code == 0
    assert set(going(source, tourney).values()) == {"possible"}
    assert tourney("plan", source).code == 0
    assert read_day(source).plan.drawn_rounds == {"Open": 2}


def going(day: Path, tourney: Tourney) -> dict[str, str]:
    rows = tourney("results", day, "--json").document["divisions"][0]["teams"]
    return {row["team"]: row["advances"] for row in rows}


def test_teams_meet_those_of_their_pool_alone(day: Path, pools: dict[str, list[str]], tourney: Tourney) -> None:
    plan = read_day(day).plan
    assert sorted(map(len, pools.values())) == [3, 3]
    for heat in plan.heats:
        assert len({plan.team[team].pool for team in heat.teams}) == 1
    clubs = Counter((team.club, team.pool) for team in plan.teams)
    for club in {team.club for team in plan.teams}:
        assert abs(clubs[club, "A"] - clubs[club, "B"]) <= 1
    said = tourney("verify", day)
    assert said.code == 0 and "heats_within_pools" in said.text, said.out


def test_who_is_ahead_of_everybody_reaches_the_finals_without_a_drill_off(
    tourney: Tourney, day: Path, hands: Hands, pools: dict[str, list[str]]
) -> None:
    (a1, a2, a3), (b1, b2, b3) = pools["A"], pools["B"]
    collected(tourney, hands, {a1: 1, a2: 2, a3: 3, b1: 4, b2: 5, b3: 6})
    found = tourney("results", day, "--json").document["divisions"][0]
    assert [(row["team"], row["pool"], row["place"], row["advances"]) for row in found["teams"]] == [
        (a1, "A", 1, "certain"), (a2, "A", 2, "certain"), (a3, "A", 3, "out"),
        (b1, "B", 1, "certain"), (b2, "B", 2, "out"), (b3, "B", 3, "out"),
    ]  # fmt: skip
    assert [row["across"] for row in found["teams"]] == [1, 3, 4, 2, 5, 6]
    best = found["teams"][1]["across_reason"]
    assert best.startswith("1st not 2nd: ") and found["teams"][0]["across_reason"] == ""
    said = tourney("finals", day)
    assert said.code == 0 and finals_heats(day) == {"O-F1-1"}, said.out
    assert read_day(day).plan.finals[0].seeds == (a1, b1, a2)
    assert tourney("verify", day).code == 0


def test_level_within_a_pool_then_level_between_pools(
    tourney: Tourney, day: Path, hands: Hands, pools: dict[str, list[str]]
) -> None:
    (a1, a2, a3), (b1, b2, b3) = pools["A"], pools["B"]
    collected(tourney, hands, {a1: 16, a2: 16, a3: 30, b1: 0, b2: 16, b3: 31})
    assert going(day, tourney) == {
        a1: "possible", a2: "possible", a3: "out", b1: "certain", b2: "possible", b3: "out",
    }  # fmt: skip
    assert "level at the last place of the finals from pool A" in tourney("next", day).text
    said = tourney("finals", day)
    assert said.code == 0 and "Set 1 is heat O-POOL-A-D1" in said.text, said.out
    assert set(read_day(day).plan.heat["O-POOL-A-D1"].teams) == {a1, a2}
    assert not finals_heats(day)

    drilled(tourney, hands, "O-POOL-A-D1", {a2: 1})
    assert going(day, tourney)[a1] == "certain"
    said = tourney("finals", day)
    assert said.code == 0 and "Set 1 is heat O-D1" in said.text, said.out
    plan = read_day(day).plan
    assert set(plan.heat["O-D1"].teams) == {a2, b2}
    assert plan.heat["O-D1"].call_set != plan.heat["O-POOL-A-D1"].call_set  # a2 has heard that one

    drilled(tourney, hands, "O-D1", {a2: 1})
    said = tourney("finals", day)
    assert said.code == 0 and finals_heats(day), said.out
    assert read_day(day).plan.finals[0].seeds == (b1, a1, b2)
    found = tourney("results", day, "--json").document["divisions"][0]["teams"]
    assert "in the drill-off" in next(row for row in found if row["team"] == b2)["across_reason"]
    assert tourney("verify", day).code == 0


def test_a_tie_within_a_pool_that_matters_to_nobody_is_not_drilled(
    tourney: Tourney, day: Path, hands: Hands, pools: dict[str, list[str]]
) -> None:
    (a1, a2, a3), (b1, b2, b3) = pools["A"], pools["B"]
    collected(tourney, hands, {a1: 16, a2: 16, a3: 30, b1: 0, b2: 20, b3: 31})
    # Whoever is second goes on as the best other: that they are level matters to nobody.
    assert going(day, tourney) == {
        a1: "certain", a2: "certain", a3: "out", b1: "certain", b2: "out", b3: "out",
    }  # fmt: skip
    said = tourney("finals", day)
    assert said.code == 0 and finals_heats(day), said.out
    assert "level across the pools" in "".join(read(day / "results" / "finals.json")["divisions"][0]["footnotes"])


def test_typed_points_go_to_the_pool_they_are_about(
    tourney: Tourney, day: Path, hands: Hands, pools: dict[str, list[str]]
) -> None:
    (a1, a2, a3), (b1, b2, b3) = pools["A"], pools["B"]
    collected(tourney, hands, {a1: 16, a2: 16, a3: 16, b1: 0, b2: 1, b3: 31})
    assert set(going(day, tourney).values()) == {"possible", "certain", "out"}
    said = tourney("finals", day, "--heat", "POOL-B", *made({a1: 30, a2: 20, a3: 10}))
    assert said.code == 1
    said = tourney("finals", day, "--heat", "POOL-A", *made({a1: 30, a2: 20, b1: 10}))
    assert said.code == 1 and "not all of one pool" in said.text
    said = tourney("finals", day, "--heat", "POOL-A", *made({a1: 30, a2: 20, a3: 10}))
    assert said.code == 0 and finals_heats(day), said.out
    assert read_day(day).plan.finals[0].seeds == (b1, a1, b2)


def test_a_late_team_joins_a_pool_and_drills_with_it(
    tourney: Tourney, day: Path, hands: Hands, pools: dict[str, list[str]], tmp_path: Path
) -> None:
    late = tmp_path / "late.csv"
    rows = ["club,team,division,name,birth_date"]
    rows += [f"Quillmere,Quillmere Finches,Open,{name} Farrow,2015-02-03" for name in ("Mo", "Ned", "Oda")]
    late.write_text("\n".join(rows) + "\n", "utf-8")
    hands.now -= timedelta(minutes=30)
    said = tourney("replan", day, "--late-team", late, "--at", "12:30", "--confirm")
    assert said.code == 0, said.out
    plan = read_day(day).plan
    (came,) = (team for team in plan.teams if team.name == "Quillmere Finches")
    assert came.pool in pools
    for heat in plan.heats:
        assert len({plan.team[team].pool for team in heat.teams}) == 1
    assert sum(came.id in heat.teams for heat in plan.heats) == plan.drawn_rounds["Open"]
    said = tourney("verify", day)
    assert said.code == 0, said.out


def test_pools_stand_apart_on_every_paper(
    tourney: Tourney, day: Path, hands: Hands, pools: dict[str, list[str]]
) -> None:
    collected(tourney, hands, {team: at for at, team in enumerate([*pools["A"], *pools["B"]])})
    said = tourney("results", day)
    assert "Open, pool A" in said.text and "Open, pool B" in said.text and "Open, the others" in said.text
    wall = (day / "results" / "wall.html").read_text(encoding="utf-8")
    assert all(f">Pool {name}</th>" in wall for name in pools) and "The others" in wall
    board = (day / "papers" / "public" / "standings_board.html").read_text(encoding="utf-8")
    strip = next((day / "papers" / "teams").glob(f"{pools['B'][0]}*.html")).read_text(encoding="utf-8")
    assert board.count("pool A</span>") == board.count("pool B</span>") == 3 and "pool B</span>" in strip
    table = load_workbook(day / "results" / "results.xlsx", data_only=True)["Open"]
    head = {cell.value: at for at, cell in enumerate(table[HEADINGS_ROW])}
    shown = {row[1].value: row[head["Pool"]].value for row in table.iter_rows(min_row=FIRST_ROW) if row[1].value}
    assert shown == {team.name: team.pool for team in read_day(day).plan.teams}
    total = {row[1].value: row[head["Total"]].value for row in table.iter_rows(min_row=FIRST_ROW) if row[1].value}
    found = tourney("results", day, "--json").document["divisions"][0]["teams"]
    names = {team.id: team.name for team in read_day(day).plan.teams}
    assert total == {names[row["team"]]: float(Fraction(row["points"])) for row in found}


def test_a_team_that_comes_when_its_pool_has_begun_every_round_is_too_late(
    tourney: Tourney, day: Path, pools: dict[str, list[str]], tmp_path: Path
) -> None:
    plan = read_day(day).plan
    smallest = next(pool for pool in sorted(pools))  # pools are equally large
    last = max(plan.wave[heat.wave].start for heat in plan.heats if heat.teams[0] in pools[smallest])
    late = tmp_path / "late.csv"
    late.write_text(
        "club,team,division,name,birth_date\nQuillmere,Finches,Open,Mo Farrow,2015-02-03\n"
        "Quillmere,Finches,Open,Ned Farrow,2015-02-04\n",
        "utf-8",
    )
    said = tourney("replan", day, "--late-team", late, "--at", f"{last:%H:%M}")
    assert said.code == 1 and f"every round of pool {smallest} of Open has begun" in said.text, said.out
