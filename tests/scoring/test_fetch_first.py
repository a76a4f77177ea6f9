"""Which sheets to fetch first: against counting, over all ways in which heats can end, whose places that changes."""

import random
from collections.abc import Callable
from fractions import Fraction
from itertools import product

import pytest

from tourney.model.calls import CallBook
from tourney.model.people import Roster
from tourney.model.plan import Plan
from tourney.model.sheet import FilledSheet
from tourney.model.sheet_layout import sheet_code
from tourney.scoring.results import results_of

Day = tuple[Plan, CallBook, Roster]
MakeDay = Callable[..., Day]
Fill = Callable[..., list[FilledSheet]]


def test_nothing_to_fetch_when_all_is_in_or_nothing_hangs_on_it(make_day: MakeDay, fill: Fill) -> None:
    day = make_day(advance=4)
    assert results_of(*day, fill(day), True).fetch_first is None
    assert results_of(*day, fill(day, missing=[("J-R1-1", 2)]), True).fetch_first is None, "the other judges settle it"


def test_the_heat_on_which_most_places_hang(make_day: MakeDay, fill: Fill) -> None:
    """Eight teams, one judge. T1 and T8 meet in the first heat; whoever misses it can still end anywhere."""
    day = make_day(teams=8, rounds=3, judges=1, size=2, counting=1)
    plan = day[0]
    found = results_of(*day, fill(day, missing=[(plan.heats[0].id, 1)]), True).fetch_first
    assert found is not None
    assert (found.heat, found.sheets) == (plan.heats[0].id, (sheet_code(plan.heats[0].id, 1),))
    assert found.places == 8, "all are level, so each place depends on it"
    assert found.what.startswith(f"Fetch first: {found.sheets[0]} (")


def test_every_missing_sheet_of_that_heat_is_named_but_no_lost_one(make_day: MakeDay, fill: Fill) -> None:
    day = make_day(teams=4, rounds=3)
    heat = day[0].heats[2].id
    missing = [(heat, 1), (heat, 3)]
    found = results_of(*day, fill(day, {(heat, 2, 1, 1): "L"}, missing=missing), True).fetch_first
    assert found is not None and found.sheets == (sheet_code(heat, 1), sheet_code(heat, 3))
    assert f"Fetch first: {found.sheets[0]}, then {found.sheets[1]} (Hall). By points, up to " in found.what


def test_the_sheet_that_tells_most_is_the_first_to_fetch(make_day: MakeDay, fill: Fill) -> None:
    """Judge 1 watches lines 1 and 2, judge 2 the four others."""
    day = make_day(teams=4, rounds=3, judges=2, zones=((1, 2), (3, 6)))
    heat = day[0].heats[0].id
    found = results_of(*day, fill(day, missing=[(heat, 1), (heat, 2)]), True).fetch_first
    assert found is not None and found.sheets == (sheet_code(heat, 2), sheet_code(heat, 1))


def late_calls(plan: Plan, late: dict[tuple[str, str], int]) -> dict[tuple[str, int, int], str]:
    """(heat, line, call) -> L, for the first so many calls of each team of one child."""
    return {
        (heat.id, line, call): "L"
        for heat in plan.heats
        for line, child in enumerate(heat.line, 1)
        for call in range(1, late.get((heat.id, child.split("-")[0]), 0) + 1)
    }


def depending(day: Day, late: dict[tuple[str, str], int], gone: list[str]) -> dict[str, set[str]]:
    """Heat -> teams to which it gives another place, with all else alike, in some way that the heats can end.

    late: of each team in each heat that is in. One child a team, three calls, nothing but late calls: by hand, from
    all numbers of late calls in the heats that are gone. A place is how many are above, and how many are level.
    """
    plan = day[0]
    by_points = plan.event.divisions[0].rank_by == "points"
    open_ = [(heat.id, team) for heat in plan.heats if heat.id in gone for team in heat.teams]
    places: dict[tuple[int, ...], dict[str, tuple[int, int]]] = {}
    for ways in product(range(4), repeat=len(open_)):
        known = late | dict(zip(open_, ways, strict=True))
        worth: dict[str, Fraction] = {}
        for team in (one.id for one in plan.teams):
            met = [heat for heat in plan.heats if team in heat.teams]
            if by_points:
                made = sum(30 - 10 * known[heat.id, team] for heat in met)
                worth[team] = Fraction(made, 30 * len(met) or 1)
            else:
                pairs = [(known[heat.id, team], known[heat.id, other]) for heat in met for other in heat.teams]
                worth[team] = Fraction(sum(3 * (own < other) + (own == other) for own, other in pairs) - len(met))
        values = list(worth.values())
        places[ways] = {
            team: (sum(value > mine for value in values), values.count(mine)) for team, mine in worth.items()
        }
    found: dict[str, set[str]] = {}
    for heat in gone:
        alike: dict[tuple[int, ...], dict[str, set[tuple[int, int]]]] = {}
        for ways, told in places.items():
            rest = tuple(way for way, (where, _) in zip(ways, open_, strict=True) if where != heat)
            for team, place in told.items():
                alike.setdefault(rest, {}).setdefault(team, set()).add(place)
        found[heat] = {team for told in alike.values() for team, seen in told.items() if len(seen) > 1}
    return found


@pytest.mark.parametrize("rank_by", ["points", "heat_points"])
@pytest.mark.parametrize("seed", range(12))
def test_as_many_places_as_said_depend_on_it_and_on_no_other_heat_more(
    make_day: MakeDay, fill: Fill, seed: int, rank_by: str
) -> None:
    """Every way in which one to three missing heats can end, counted by hand."""
    rng = random.Random(f"{seed} {rank_by}")
    teams = rng.choice([4, 6, 8, 5])
    day = make_day(
        teams, 1, rng.choice([1, 2, 3]), judges=1, calls=3, counting=1, minimum=1, rank_by=rank_by, tie_breaks=()
    )
    plan = day[0]
    skill = {team.id: rng.choice([0, 0, 1, 2, 3, 3]) for team in plan.teams}
    late = {
        (heat.id, team): min(3, max(0, skill[team] + rng.choice([-1, 0, 0, 1])))
        for heat in plan.heats
        for team in heat.teams
    }
    gone = rng.sample([heat.id for heat in plan.heats], min(len(plan.heats), rng.choice([1, 2, 2, 3])))
    sheets = fill(day, every_judge=late_calls(plan, late), missing=[(heat, 1) for heat in gone])
    found = results_of(*day, sheets, True).fetch_first
    most = max(len(who) for who in depending(day, late, gone).values())
    said = found.places if found else 0
    if rank_by == "points" and teams != 5:
        assert said == most and (found is None or len(depending(day, late, gone)[found.heat]) == most)
    else:
        assert said >= most, "one too many may be counted, never one too few"
    assert found is None or f"up to {said} place" in found.what


def test_of_heats_with_as_many_places_the_one_that_leaves_more_pairs_open(make_day: MakeDay, fill: Fill) -> None:
    """All eight places depend on either heat: one is between two of the last, the other one between unlike teams."""
    day = make_day(8, 1, 2, judges=1, calls=4, counting=1, minimum=1, tie_breaks=())
    plan = day[0]
    first, *_, last = [heat for heat in plan.heats if heat.round == 2]
    late = {(heat.id, team): 4 for heat in plan.heats for team in (*first.teams, last.teams[1]) if team in heat.teams}
    sheets = fill(day, every_judge=late_calls(plan, late), missing=[(first.id, 1), (last.id, 1)])
    found = results_of(*day, sheets, True).fetch_first
    assert found is not None and found.places == 8
    assert found.heat == last.id
