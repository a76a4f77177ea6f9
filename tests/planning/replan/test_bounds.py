"""The lower bounds against plain enumeration."""

from datetime import UTC, datetime, timedelta
from itertools import permutations, product
from typing import Any

from hypothesis import given
from hypothesis import strategies as st

from tourney.model.people import Official, Team
from tourney.model.plan import Wave
from tourney.planning.replan.bounds import (
    heats_without_time,
    seats_to_change,
    teams_to_another_heat,
    waves_to_shift,
)
from tourney.planning.seats import Bench

NINE = datetime(2027, 4, 17, 9, tzinfo=UTC)
SIZES = st.lists(st.integers(1, 6), max_size=4)


@given(SIZES, SIZES)
def test_as_many_lines_as_can_find_a_room(lines: list[int], limits: list[int]) -> None:
    places = [*limits, *[0] * len(lines)]  # a place of no width: without a room
    best = max(
        sum(line <= place for line, place in zip(lines, order, strict=True))
        for order in permutations(places, len(lines))
    )
    assert heats_without_time(lines, limits) == len(lines) - best


@given(st.lists(st.integers(0, 3), min_size=1, max_size=5))
def test_teams_that_must_change_their_heat(short: list[int]) -> None:
    """Moves one by one, each from a full heat into one that is two or more short, until none is left."""
    left, moves = list(short), 0
    while any(empty > 1 for empty in left) and 0 in left:
        left[left.index(0)] += 1
        left[next(n for n, empty in enumerate(left) if empty > 1)] -= 1
        moves += 1
    assert teams_to_another_heat(short) == moves


@given(st.lists(st.lists(st.booleans(), min_size=3, max_size=3), min_size=1, max_size=3), st.integers(0, 3))
def test_seats_filled_by_free_people_first(suits: list[list[bool]], free: int) -> None:
    """suits[seat][person]; the first `free` people have nothing to do. Fewest changes by trying all."""
    clubs = [f"club {seat}" for seat in range(len(suits))]
    people = [
        Official(
            f"O{n}", f"Helper {n}", clubs=tuple(club for club, row in zip(clubs, suits, strict=True) if not row[n])
        )
        for n in range(3)
    ]
    benches = [
        Bench(f"H{n}", "W01", "judge", 1, (Team(f"T{n}", "", club, "Junior", ()),), True, NINE, NINE)
        for n, club in enumerate(clubs)
    ]
    busy = {person.id for person in people[free:]}
    options = [[None, *(n for n in range(free) if row[n])] for row in suits]
    most = max(
        sum(one is not None for one in choice)
        for choice in product(*options)
        if len({one for one in choice if one is not None}) == sum(one is not None for one in choice)
    )
    assert seats_to_change(benches, people, busy) == 2 * len(suits) - most


@given(gaps=st.lists(st.integers(5, 40), min_size=1, max_size=6), delay=st.integers(0, 60), held=st.integers(0, 6))
def test_a_delay_reaches_as_far_as_the_time_to_spare_allows(gaps: list[int], delay: int, held: int, make: Any) -> None:
    event = make.event([{"name": "Junior"}], 1)
    waves = [Wave("W00", NINE, 15)]
    for number, gap in enumerate(gaps, 1):
        waves.append(Wave(f"W{number:02}", waves[-1].end + timedelta(minutes=gap), 15))
    begun = {wave.id for wave in waves[:held]}
    late, left = 0, delay
    for number, wave in enumerate(waves):
        if wave.id in begun:
            continue
        if number > len(begun):
            left -= gaps[number - 1] - 5  # the changeover stays
        late += left > 0
    assert waves_to_shift(waves, begun, delay, event) == late
