"""Standings of a division in pools: ranked apart, and never falsely certain who goes on while sheets are missing."""

import random
from collections.abc import Callable
from dataclasses import replace
from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.scoring.conftest import Day, circle
from tourney.model.decisions import Decisions
from tourney.model.plan import Bye, Heat
from tourney.model.sheet import FilledSheet
from tourney.model.standing import DivisionResults, TeamStanding
from tourney.scoring.results import results_of

Fill = Callable[..., list[FilledSheet]]
MakeDay = Callable[..., Day]
BY_LOT = ("clean_calls", "head_to_head", "lot")


def parted(day: Day, sizes: tuple[int, ...]) -> Day:
    """The day with its teams in pools of these sizes, in the order of their ids, everyone meeting everyone in each."""
    plan, book, roster = day
    left, pools = list(plan.teams), []
    for name, size in zip("ABC", sizes, strict=False):
        pools.append([replace(team, pool=name) for team in left[:size]])
        left = left[size:]
    teams = tuple(team for pool in pools for team in pool)
    heats: list[Heat] = []
    byes: list[Bye] = []
    for number in range(1, plan.drawn_rounds["Junior"] + 1):
        for pool in pools:
            members = {team.id: team.members for team in pool}
            rounds = circle(list(members))
            for pair in rounds[(number - 1) % len(rounds)]:
                if "" in pair:
                    byes.append(Bye("Junior", number, next(filter(None, pair))))
                    continue
                place = sum(heat.round == number for heat in heats) + 1
                line = tuple(child for team in pair for child in members[team])
                like = next(heat for heat in plan.heats if heat.round == number)
                heats.append(replace(like, id=f"J-R{number}-{place}", teams=pair, line=line))
    event = plan.event.model_copy(
        update={"divisions": (plan.event.divisions[0].model_copy(update={"pools": len(sizes)}),)}
    )
    return (
        replace(plan, event=event, teams=teams, heats=tuple(heats), byes=tuple(byes)),
        book,
        replace(roster, teams=teams),
    )


def marks_of(day: Day, rng: random.Random, share: float) -> dict[tuple[str, int, int], str]:
    """(heat, line, call) -> letters, for about that share of all boxes."""
    return {
        (heat.id, line, call): rng.choice(["L", "W", "S"])
        for heat in day[0].heats
        for line in range(1, len(heat.line) + 1)
        for call in range(1, 4)
        if rng.random() < share
    }


def rows(found: DivisionResults) -> dict[str, TeamStanding]:
    return {row.team: row for row in found.teams}


RULES = [
    {"tie_breaks": BY_LOT},
    {"tie_breaks": BY_LOT, "rank_by": "heat_points"},
    {"tie_breaks": ("drill_off",)},
    {"tie_breaks": ("clean_calls", "drill_off"), "rank_by": "heat_points", "advance_per_club": 1},
    {"tie_breaks": BY_LOT, "advance_from": 0.8},
]


@pytest.mark.parametrize("rules", RULES)
@pytest.mark.parametrize("sizes", [(3, 3), (4, 3), (2, 3, 3)])
@settings(max_examples=12, deadline=None)
@given(seed=st.integers(0, 10**6))
def test_what_is_certain_stays_so(
    make_day: MakeDay, fill: Fill, sizes: tuple[int, ...], rules: dict[str, Any], seed: int
) -> None:
    rng = random.Random(seed)
    clubs = {f"T{n}": f"Club {n % 4}" for n in range(1, 10)}
    more = rng.randint(0, 2)
    day = parted(
        make_day(teams=sum(sizes), size=1, rounds=3, judges=1, calls=3, counting=1, clubs=clubs,
                 advance=len(sizes) + more, **rules), sizes,
    )  # fmt: skip
    known = marks_of(day, rng, 0.3)
    missing = rng.sample([heat.id for heat in day[0].heats], rng.randint(1, 4))
    before = rows(
        results_of(*day, fill(day, every_judge=known, missing=[(key, 1) for key in missing]), True).divisions[0]
    )
    for _ in range(4):
        again = {at: letters for at, letters in known.items() if at[0] not in missing}
        again |= {at: letters for at, letters in marks_of(day, rng, 0.4).items() if at[0] in missing}
        after = rows(results_of(*day, fill(day, every_judge=again), True).divisions[0])
        for team, row in before.items():
            assert row.range[0] <= after[team].place <= row.range[1]
            assert row.advances == "possible" or row.advances == after[team].advances


@pytest.mark.parametrize("rank_by", ["points", "heat_points"])
@settings(max_examples=25, deadline=None)
@given(seed=st.integers(0, 10**6))
def test_the_best_others_by_parts_of_what_they_could_have(
    make_day: MakeDay, fill: Fill, rank_by: str, seed: int
) -> None:
    rng = random.Random(seed)
    day = parted(make_day(teams=8, size=1, rounds=3, judges=1, calls=3, counting=1, tie_breaks=BY_LOT,
                          rank_by=rank_by, advance=4), (4, 4))  # fmt: skip
    (found,) = results_of(*day, fill(day, every_judge=marks_of(day, rng, 0.3)), True).divisions
    going = [row for row in found.teams if row.advances == "certain"]
    assert len(going) == 4 and not found.cut
    assert all(row.advances == "certain" for row in found.teams if row.place == 1)

    def worth(row: TeamStanding) -> Fraction:
        return Fraction(row.heat_points) if rank_by == "heat_points" else row.points / row.available

    others = [row for _, _, row in found.others]
    assert {row.team for row in others} == {row.team for row in found.teams if row.place > 1}
    assert [worth(row) for row in others] == sorted(map(worth, others), reverse=True)
    assert [row.advances for row in others] == ["certain"] * 2 + ["out"] * 4
    for pool in "AB":
        assert [row.place for row in others if row.pool == pool] == [2, 3, 4]


def test_a_team_that_left_makes_room_for_the_next_of_its_pool(make_day: MakeDay, fill: Fill) -> None:
    day = parted(
        make_day(teams=6, size=1, rounds=3, judges=1, calls=3, counting=1, tie_breaks=("lot",), advance=2), (3, 3)
    )
    late = {(heat.id, line, call): "L" for heat in day[0].heats for line, child in enumerate(heat.line, 1)
            for call in range(1, int(child[1]) // 2 + 1) if child[1] != "1"}  # fmt: skip
    sheets = fill(day, every_judge=late)
    (found,) = results_of(*day, sheets, True).divisions
    first = {row.pool: row.team for row in found.teams if row.place == 1}
    assert {row.team for row in found.teams if row.advances == "certain"} == set(first.values())
    gone = Decisions(withdrawn=frozenset({first["A"]}))
    (found,) = results_of(*day, sheets, True, decisions=gone).divisions
    second = next(row.team for row in found.teams if (row.pool, row.place) == ("A", 2))
    assert {row.team for row in found.teams if row.advances == "certain"} == {second, first["B"]}


def test_in_a_pool_own_meetings_count_and_between_pools_they_do_not(make_day: MakeDay, fill: Fill) -> None:
    day = parted(make_day(teams=6, size=1, rounds=3, judges=1, calls=3, counting=1, advance=3,
                          rank_by="heat_points", tie_breaks=("head_to_head", "drill_off")), (3, 3))  # fmt: skip
    won = ["T1 T2", "T1 T3", "T2 T3", "T4 T5", "T5 T6", "T6 T4"]
    beats = {frozenset(pair.split()): pair[:2] for pair in won}
    late = {}
    for heat in day[0].heats:
        loser = next(team for team in heat.teams if team != beats[frozenset(heat.teams)])
        line = next(at for at, child in enumerate(heat.line, 1) if child.startswith(loser))
        late[heat.id, line, 1] = "L"
    (found,) = results_of(*day, fill(day, every_judge=late), True).divisions
    places = {row.team: (row.place, row.shared) for row in found.teams}
    assert places == {
        "T1": (1, False),
        "T2": (2, False),
        "T3": (3, False),
        **dict.fromkeys(("T4", "T5", "T6"), (1, True)),
    }
    assert [(cut.about, cut.teams) for cut in found.cut] == [("POOL-B", ("T4", "T5", "T6"))]
