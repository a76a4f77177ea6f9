"""Pools: dealt evenly with clubs spread, drilled among themselves, and measured on the fairness page."""

from collections import Counter
from dataclasses import replace
from itertools import combinations
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tourney.draw import Draw
from tourney.errors import Refusal
from tourney.model.people import Roster, Team
from tourney.planning.fairness import Fairness
from tourney.planning.pools import in_pools, pool_for_one_more
from tourney.planning.rotation.measure import measure
from tourney.planning.schedule import Schedule, draw_schedule


def spread(counts: Counter[str], names: tuple[str, ...]) -> int:
    return max(counts[name] for name in names) - min(counts[name] for name in names)


@given(st.lists(st.integers(1, 7), min_size=1, max_size=9), st.integers(2, 6))
def test_sizes_and_clubs_differ_by_one_at_most(make: Any, clubs: list[int], pools: int) -> None:
    event = make.event([{"name": "Open", "pools": pools, "advance": pools}])
    teams = tuple(
        Team(f"O{club}-{number}", f"Team {club} {number}", f"Club {club}", "Open", ())
        for club, count in enumerate(clubs)
        for number in range(count)
    )
    roster = Roster(teams, (), ())
    if len(teams) < 2 * pools:
        with pytest.raises(Refusal) as refused:
            in_pools(roster, event)
        (short,) = refused.value.shortages
        assert (short.have, short.need) == (len(teams), 2 * pools)
        return
    names = event.divisions[0].pool_names
    drawn = in_pools(roster, event).teams
    assert [replace(team, pool="") for team in drawn] == list(teams)
    assert {team.pool for team in drawn} == set(names)
    assert spread(Counter(team.pool for team in drawn), names) <= 1
    for club in {team.club for team in teams}:
        assert spread(Counter(team.pool for team in drawn if team.club == club), names) <= 1
    assert in_pools(Roster(tuple(reversed(teams)), (), ()), event).teams == tuple(reversed(drawn))
    late = Team("late", "Late", "Club 0", "Open", ())
    joined = [*drawn, replace(late, pool=pool_for_one_more(late, drawn, event))]
    assert spread(Counter(team.pool for team in joined), names) <= 1


def test_other_words_deal_other_pools(make: Any) -> None:
    def dealt(words: str) -> list[str]:
        event = make.event([{"name": "Open", "pools": 3}], draw_words=words)
        return [team.pool for team in in_pools(make.roster(event, {"Open": 12}, 3), event).teams]

    assert dealt("an owl") == dealt("an owl") != dealt("two lanterns")


def test_the_refusal_names_the_cure(make: Any) -> None:
    event = make.event([{"name": "Open", "pools": 4, "advance": 4}])
    with pytest.raises(Refusal) as refused:
        in_pools(make.roster(event, {"Open": 7}, 3), event)
    assert refused.value.cures == ("Set pools = 3 for Open (now 4).", "Or enter 1 more.")
    smaller = make.event([{"name": "Open", "pools": 3}])
    assert in_pools(make.roster(smaller, {"Open": 7}, 3), smaller)
    with pytest.raises(Refusal) as refused:
        in_pools(make.roster(event, {"Open": 3}, 3), event)
    assert refused.value.cures == ("Leave pools out.", "Or enter 5 more.")


def drawn(make: Any, teams: int, **settings: Any) -> tuple[Any, Roster, Schedule]:
    event = make.event([{"name": "Open", "judges": 1, **settings}])
    roster = in_pools(make.roster(event, {"Open": teams}, 9, tied=0), event)
    return event, roster, draw_schedule(event, roster, Draw(event.draw_words), 1)


@pytest.mark.parametrize(
    ("teams", "pools", "rounds", "size"), [(12, 3, 3, 2), (13, 3, 4, 2), (15, 3, 2, 3), (9, 2, "all", 2)]
)
def test_nobody_meets_a_team_of_another_pool(make: Any, teams: int, pools: int, rounds: Any, size: int) -> None:
    _, roster, schedule = drawn(make, teams, pools=pools, rounds=rounds, teams_per_heat=size)
    pool = {team.id: team.pool for team in roster.teams}
    assert all(len({pool[team] for team in heat.teams}) == 1 for heat in schedule.heats)
    held = Counter((heat.round, team) for heat in schedule.heats for team in heat.teams)
    held.update((bye.round, bye.team) for bye in schedule.byes)
    assert held == Counter((number, team) for number in range(1, schedule.rounds["Open"] + 1) for team in pool)
    if rounds == "all":
        met = {frozenset(pair) for heat in schedule.heats for pair in combinations(heat.teams, 2)}
        assert met == {frozenset(pair) for pair in combinations(pool, 2) if pool[pair[0]] == pool[pair[1]]}


def test_the_fairness_page_measures_each_pool(make: Any) -> None:
    event, roster, schedule = drawn(make, 14, pools=4, rounds=4, teams_per_heat=2, advance=4)
    page = Fairness(event, roster, schedule.waves, schedule.heats, schedule.byes, schedule.waves[-1].end)
    lines = {line.property: line for line in page.lines() if line.scope == "Open"}
    repeats = bound = 0
    for name in event.divisions[0].pool_names:
        clubs = {team.id: team.club for team in roster.teams if team.pool == name}
        rounds = [
            [heat.teams for heat in schedule.heats if heat.round == number and heat.teams[0] in clubs]
            for number in range(1, 5)
        ]
        byes = [[bye.team for bye in schedule.byes if bye.round == n and bye.team in clubs] for n in range(1, 5)]
        found = measure(rounds, byes, clubs)
        assert not found.faults
        repeats, bound = repeats + found.repeats, bound + found.repeats_bound
    assert bound > 0  # of three or four teams somebody meets again in four rounds
    line = lines["repeated_meetings"]
    assert (line.measured, line.bound) == (repeats, bound)
    assert lines["byes_most_less_fewest"].measured == lines["byes_most_less_fewest"].bound == 2
    clubs_line = lines["club_teams_in_one_pool_most_less_fewest"]
    assert clubs_line.ok and clubs_line.measured == 1

    teams = tuple(replace(team, club="Hilltop") if team.pool == "A" else team for team in roster.teams)
    uneven = Fairness(
        event, replace(roster, teams=teams), schedule.waves, schedule.heats, schedule.byes, schedule.waves[-1].end
    )
    line = next(line for line in uneven.lines() if line.property == "club_teams_in_one_pool_most_less_fewest")
    assert (line.measured, line.ok, line.worst) == (sum(team.pool == "A" for team in teams), False, "Hilltop")
