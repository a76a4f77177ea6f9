"""The best members of each round against the best of the whole day; places still possible, by trying every ending."""

import random
from collections import Counter
from collections.abc import Callable
from dataclasses import replace
from fractions import Fraction
from itertools import product
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pydantic import ValidationError

from tourney.model.calls import CallBook
from tourney.model.people import Roster
from tourney.model.plan import Plan
from tourney.model.sheet import FilledSheet
from tourney.model.standing import TeamStanding
from tourney.model.totals import HeatTotal
from tourney.scoring.results import results_of

Day = tuple[Plan, CallBook, Roster]
MakeDay = Callable[..., Day]
Fill = Callable[..., list[FilledSheet]]
Marks = dict[tuple[str, int, int], str]
RULES: dict[str, Any] = {"teams": 3, "size": 2, "rounds": 3, "counting": 1, "judges": 1, "tie_breaks": ()}


def teams(day: Day, sheets: list[FilledSheet], totals: tuple[HeatTotal, ...] = ()) -> dict[str, TeamStanding]:
    return {row.team: row for row in results_of(*day, sheets, True, totals=totals).divisions[0].teams}


def late(day: Day, calls: dict[tuple[str, int], int]) -> Marks:
    """Marks with so many late calls of a child in its first, second ... heat. calls: (child, number of the heat)."""
    stood, marks = Counter[str](), Marks()
    for heat in day[0].heats:
        for line, child in enumerate(heat.line, 1):
            stood[child] += 1
            marks |= {(heat.id, line, call): "L" for call in range(1, calls.get((child, stood[child]), 0) + 1)}
    return marks


@pytest.mark.parametrize(
    ("over", "points", "rounds"), [("round", (80, 60, 0), (40, 40)), ("day", (40, 60, 0), (0, 40))]
)
def test_the_two_ways_can_give_different_winners(
    make_day: MakeDay, fill: Fill, over: str, points: tuple[int, ...], rounds: tuple[int, ...]
) -> None:
    """One child of T1 shines once and the other once; those of T2 are always good; those of T3 always late."""
    day = make_day(**RULES, calls=4, counting_over=over)
    calls = {("T1-1", 1): 4, ("T1-2", 2): 4}
    calls |= {(f"T2-{child}", heat): 1 for child in (1, 2) for heat in (1, 2)}
    calls |= {(f"T3-{child}", heat): 4 for child in (1, 2) for heat in (1, 2)}
    found = teams(day, fill(day, every_judge=late(day, calls)))
    assert tuple(found[team].points for team in ("T1", "T2", "T3")) == points
    assert {row.available for row in found.values()} == {80}
    assert found["T1" if over == "round" else "T2"].place == 1
    # Level over the day, T1-1 counts by its id: in both heats, or in each heat whoever was better.
    drilled = [
        made for made, heat in zip(found["T1"].round_points, range(1, 4), strict=True) if heat in heats_of(day, "T1")
    ]
    assert tuple(drilled) == rounds


def heats_of(day: Day, team: str) -> list[int]:
    return [heat.round for heat in day[0].heats if team in heat.teams]


def random_marks(day: Day, rng: random.Random) -> Marks:
    plan, book, _ = day
    return {
        (heat.id, line, call.no): "L"
        for heat in plan.heats
        for line in range(1, len(heat.line) + 1)
        for call in book.set[heat.call_set].calls
        if rng.random() < 0.5
    }


@settings(max_examples=30)
@given(seed=st.integers(0, 10**6), counting=st.integers(1, 3))
def test_the_same_children_count_all_day_and_their_rounds_add_up(
    make_day: MakeDay, fill: Fill, seed: int, counting: int
) -> None:
    rules = {**RULES, "size": 3, "counting": counting}
    day = make_day(**rules, calls=4, counting_over="day")
    found = results_of(*day, fill(day, every_judge=random_marks(day, random.Random(seed))), True).divisions[0]
    for row in found.teams:
        own = sorted((child.points for child in found.contestants if child.team == row.team), reverse=True)
        assert row.points == sum(own[:counting]) == sum(row.round_points)


@pytest.mark.parametrize("over", ["round", "day"])
@settings(max_examples=15)
@given(seed=st.integers(0, 10**6))
def test_ranges_by_points_are_what_every_ending_gives(make_day: MakeDay, fill: Fill, over: str, seed: int) -> None:
    rng = random.Random(seed)
    day = make_day(**RULES, calls=2, counting_over=over)
    marks, open_ = random_marks(day, rng), rng.choice(day[0].heats)
    cells = [(open_.id, line, call) for line in range(1, 5) for call in (1, 2)]
    best, worst = dict.fromkeys(("T1", "T2", "T3"), 9), dict.fromkeys(("T1", "T2", "T3"), 0)
    settled = {at: letters for at, letters in marks.items() if at not in cells}
    for ending in product((False, True), repeat=len(cells)):
        whole = settled | {cell: "L" for cell, is_late in zip(cells, ending, strict=True) if is_late}
        points = {team: row.points for team, row in teams(day, fill(day, every_judge=whole)).items()}
        for team, own in points.items():
            best[team] = min(best[team], 1 + sum(other > own for other in points.values()))
            worst[team] = max(worst[team], sum(other >= own for other in points.values()))
    part = teams(day, fill(day, every_judge=settled, missing=[(open_.id, 1)]))
    assert {team: row.range for team, row in part.items()} == {team: (best[team], worst[team]) for team in best}


@settings(max_examples=30)
@given(seed=st.integers(0, 10**6), gone=st.integers(0, 3))
def test_no_range_leaves_out_what_comes_about(make_day: MakeDay, fill: Fill, seed: int, gone: int) -> None:
    rng = random.Random(seed)
    rules = {**RULES, "teams": 4, "tie_breaks": ("head_to_head", "margin", "heat_wins", "lot"), "advance": 2}
    day = make_day(**rules, calls=3, counting_over="day")
    sheets = fill(day, every_judge=random_marks(day, rng))
    whole, part = teams(day, sheets), teams(day, rng.sample(sheets, len(sheets) - gone))
    for team, row in part.items():
        assert row.range[0] <= whole[team].place <= row.range[1]
        assert row.advances in ("possible", whole[team].advances)


def test_a_heat_known_by_totals_counts_as_the_room_added_it_up(make_day: MakeDay, fill: Fill) -> None:
    day = make_day(**RULES, calls=4, counting_over="day")
    first = day[0].heats[0]
    sheets = [sheet for sheet in fill(day) if sheet.heat != first.id]
    found = teams(day, sheets, tuple(HeatTotal(first.id, team, Fraction(7)) for team in first.teams))
    assert {found[team].points for team in first.teams} == {47}


def test_a_child_that_came_in_later_counts_for_what_it_made(make_day: MakeDay, fill: Fill) -> None:
    """T1-2 stands in one of T1's two heats alone; it made 40 there and T1-1 20 in all, so it counts all day."""
    plan, book, roster = make_day(**RULES, calls=4, counting_over="day")
    last = [heat for heat in plan.heats if "T1" in heat.teams][-1]
    alone = replace(last, line=tuple(child for child in last.line if child != "T1-2"))
    day = (replace(plan, heats=tuple(alone if heat is last else heat for heat in plan.heats)), book, roster)
    found = teams(day, fill(day, every_judge=late(day, {("T1-1", 1): 3, ("T1-1", 2): 3})))
    assert found["T1"].points == 40
    assert sorted(found["T1"].round_points) == [0, 0, 40]


def test_heats_are_not_won_by_members_who_are_known_only_at_the_end(make_day: MakeDay) -> None:
    with pytest.raises(ValidationError, match='write counting_over = "round", or rank_by = "points"'):
        make_day(**RULES, counting_over="day", rank_by="heat_points")
