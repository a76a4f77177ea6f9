"""Which sheets to fetch first: against counting the places that change when the heat's marks do."""

import random
from collections.abc import Callable

from tourney.model.calls import CallBook
from tourney.model.people import Roster
from tourney.model.plan import Plan
from tourney.model.sheet import FilledSheet
from tourney.model.sheet_layout import sheet_code
from tourney.scoring.results import results_of

Day = tuple[Plan, CallBook, Roster]
MakeDay = Callable[..., Day]
Fill = Callable[..., list[FilledSheet]]


def sign(value: int) -> int:
    return (value > 0) - (value < 0)


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
    assert f"Fetch first: {found.sheets[0]}, then {found.sheets[1]} (Hall). Without them " in found.what


def test_the_sheet_that_tells_most_is_the_first_to_fetch(make_day: MakeDay, fill: Fill) -> None:
    """Judge 1 watches lines 1 and 2, judge 2 the four others."""
    day = make_day(teams=4, rounds=3, judges=2, zones=((1, 2), (3, 6)))
    heat = day[0].heats[0].id
    found = results_of(*day, fill(day, missing=[(heat, 1), (heat, 2)]), True).fetch_first
    assert found is not None and found.sheets == (sheet_code(heat, 2), sheet_code(heat, 1))


def test_as_many_places_hang_on_it_as_marks_can_move(make_day: MakeDay, fill: Fill) -> None:
    """Teams far apart: whoever can change places with somebody, by any marks on the one missing sheet, is counted."""
    for seed in range(6):
        rng = random.Random(seed)
        day = make_day(teams=6, rounds=2, judges=1, size=1, calls=3, counting=1, minimum=1, tie_breaks=())
        plan, book, roster = day
        rate = {team.id: rng.random() for team in plan.teams}
        marks = {
            (heat.id, line, call): "L"
            for heat in plan.heats
            for line, child in enumerate(heat.line, 1)
            for call in (1, 2, 3)
            if rng.random() < rate[child.split("-")[0]]
        }
        gone = plan.heats[rng.randrange(len(plan.heats))]
        found = results_of(plan, book, roster, fill(day, every_judge=marks, missing=[(gone.id, 1)]), True).fetch_first
        others = {cell: letters for cell, letters in marks.items() if cell[0] != gone.id}
        relations: dict[str, set[tuple[int, ...]]] = {team.id: set() for team in plan.teams}
        for first in range(4):
            for second in range(4):
                now = others | {(gone.id, 1, call): "L" for call in range(1, first + 1)}
                now |= {(gone.id, 2, call): "L" for call in range(1, second + 1)}
                rows = results_of(plan, book, roster, fill(day, every_judge=now), True).divisions[0].teams
                place = {row.team: row.place for row in rows}
                for team in relations:
                    relations[team].add(tuple(sign(place[other] - place[team]) for other in sorted(place)))
        moved = sum(len(ways) > 1 for ways in relations.values())
        assert (found.places if found else 0) == moved
