"""The fairness page says what is there, not what was meant."""

from dataclasses import replace
from datetime import UTC, datetime
from itertools import combinations, product
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tourney.model.plan import Bye, FairnessLine, Heat, Wave
from tourney.planning.fairness import Fairness, least_in_a_row
from tourney.verify.load import least_in_a_row as counted_anew


@pytest.fixture
def lines(make: Any) -> Any:
    """Four teams, two clubs, two rounds in two rooms; a heat may be changed before it is measured."""
    event = make.event([{"name": "Open", "judges": 1, "rounds": 2}], 2)
    roster = make.roster(event, {"Open": 4}, 3, clubs=2, tied=0)
    waves = [
        Wave("W01", datetime(2027, 4, 17, 9, tzinfo=UTC), 15),
        Wave("W02", datetime(2027, 4, 17, 9, 30, tzinfo=UTC), 15),
    ]
    one, two, three, four = (team.id for team in roster.teams)  # one and two are of the same club

    def heat(number: int, round_: int, room: str, teams: tuple[str, ...], judge: str) -> Heat:
        return Heat(
            f"O-R{round_}-{number}",
            "Open",
            round_,
            f"W0{round_}",
            room,
            f"O-W0{round_}",
            teams,
            (judge,),
            "O03",
            None,
            (),
        )

    heats = [
        heat(1, 1, "Room A", (one, three), "O01"),
        heat(2, 1, "Room B", (two, four), "O02"),
        heat(1, 2, "Room A", (four, one), "O01"),
        heat(2, 2, "Room B", (three, two), "O02"),
    ]

    def measured(byes: tuple[Bye, ...] = (), **changes: Any) -> dict[str, FairnessLine]:
        changed = [replace(found, **changes.get(found.id.replace("-", "_"), {})) for found in heats]
        page = Fairness(event, roster, waves, changed, byes, waves[1].end)
        return {line.property: line for line in page.lines()}

    return measured


def test_a_fair_day(lines: Any) -> None:
    page = lines()
    assert {name: line.measured for name, line in page.items()} == {
        "repeated_meetings": 0,
        "same_club_meetings": 0,
        "byes_most_less_fewest": 0,
        "fewest_rooms_of_a_team": 1,
        "most_visits_to_one_room": 2,
        "sides_of_the_line": 0,
        "late_less_early_heats": 0,
        "one_judge_meets_one_team": 2,
        "parts_of_the_team_judge_graph": 1,
        "least_minutes_waiting": 15,
        "most_minutes_waiting": 15,
        "least_minutes_of_rest": 15,
        "most_heats_of_an_official": 4,
        "fewest_heats_of_an_official": 2,
        "most_waves_in_a_row_of_an_official": 2,
        "finish": "09:45",
    }
    assert all(line.ok for line in page.values())


def test_repeats_and_clubs_that_meet_are_named(lines: Any) -> None:
    page = lines(O_R2_1={"teams": ("O02", "O01")}, O_R2_2={"teams": ("O04", "O03")}, O_R1_1={"teams": ("O01", "O02")})
    assert page["same_club_meetings"].measured == 3
    assert not page["same_club_meetings"].ok
    assert page["repeated_meetings"].measured == 1
    assert page["repeated_meetings"].worst == "O01-O02"


def test_repeats_above_their_bound_are_told_and_no_failure(lines: Any) -> None:
    repeated = lines(O_R2_1={"teams": ("O03", "O01")}, O_R2_2={"teams": ("O04", "O02")})["repeated_meetings"]
    assert (repeated.measured, repeated.limit, repeated.bound, repeated.ok) == (2, None, 0, True)


def test_judges_who_split_the_hall_are_pointed_out(lines: Any) -> None:
    page = lines(O_R2_1={"teams": ("O01", "O03")}, O_R2_2={"teams": ("O02", "O04")})
    assert page["parts_of_the_team_judge_graph"].measured == 2
    assert not page["parts_of_the_team_judge_graph"].ok
    assert "can't be told" in page["parts_of_the_team_judge_graph"].worst


def test_one_side_of_the_line_all_day(lines: Any) -> None:
    page = lines(O_R2_1={"teams": ("O01", "O04")})
    assert (page["sides_of_the_line"].measured, page["sides_of_the_line"].ok) == (2, False)


def test_byes_are_compared(lines: Any) -> None:
    page = lines(byes=(Bye("Open", 1, "O01"), Bye("Open", 2, "O01")))
    assert (page["byes_most_less_fewest"].measured, page["byes_most_less_fewest"].ok) == (2, False)
    assert page["byes_most_less_fewest"].worst == "O01"


@given(st.lists(st.integers(0, 3), min_size=1, max_size=4))
def test_no_roster_has_shorter_rows_of_waves_than_the_bound(seats: list[int]) -> None:
    """Three people, every way to fill so many seats a wave; the re-check counts the same."""
    ways = product(*(combinations(range(3), needed) for needed in seats))
    best = min(
        max((len(row) for one in range(3) for row in "".join(".x"[one in held] for held in way).split(".")), default=0)
        for way in ways
    )
    assert least_in_a_row(seats, 3) <= best
    assert counted_anew(seats, 3) == least_in_a_row(seats, 3)
    assert best - least_in_a_row(seats, 3) <= int(sum(seats) % 3 > 0)


def test_a_pause_ends_a_row_of_waves(make: Any) -> None:
    event = make.event([{"name": "Open", "judges": 1}], 1, day={"pauses": [{"after_wave": 2, "minutes": 30}]})
    roster = make.roster(event, {"Open": 2}, 2, tied=0)
    waves = [Wave(f"W0{n}", datetime(2027, 4, 17, 8 + n, tzinfo=UTC), 15) for n in (1, 2, 3)]
    teams = tuple(team.id for team in roster.teams)
    heats = [
        Heat(f"O-R{n}-1", "Open", n, f"W0{n}", "Room A", f"O-W0{n}", teams, ("O01",), "O02", None, ())
        for n in (1, 2, 3)
    ]
    lines = {line.property: line for line in Fairness(event, roster, waves, heats, (), waves[2].end).lines()}
    line = lines["most_waves_in_a_row_of_an_official"]
    assert (line.measured, line.bound) == (2, 2)
