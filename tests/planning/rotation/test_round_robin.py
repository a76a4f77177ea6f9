"""Everyone meets everyone, and where: no team more than twice in one room."""

from collections import Counter
from itertools import combinations

import pytest

from tourney.planning.rotation.round_robin import ROOMS, round_robin


@pytest.mark.parametrize("seats", [*range(2, 41), 43, 46])
def test_all_pairs_meet_once_and_nobody_is_in_two_heats_of_a_round(seats: int) -> None:
    rounds = round_robin(seats)
    assert len(rounds) == seats - 1 + seats % 2
    for heats in rounds:
        assert sorted(seat for heat in heats for seat in heat) == list(range(seats))
    met = [tuple(sorted(heat)) for heats in rounds for heat in heats if len(heat) == 2]
    assert sorted(met) == list(combinations(range(seats), 2))


@pytest.mark.parametrize("seats", [seats for seats in range(2, 41) if seats != 4])
def test_visits_to_rooms_are_as_even_as_can_be(seats: int) -> None:
    """2n seats: n-1 rooms twice and one once. An odd number: all rooms but that of the byes exactly twice."""
    visits: dict[int, Counter[int]] = {seat: Counter() for seat in range(seats)}
    for heats in round_robin(seats):
        for room, heat in enumerate(heats):
            for seat in heat if len(heat) == 2 else ():
                visits[seat][room] += 1
    even = [2] * (seats // 2) if seats % 2 else [1, *[2] * (seats // 2 - 1)]
    assert all(sorted(seen.values()) == even for seen in visits.values())


@pytest.mark.parametrize("rooms", sorted(ROOMS))
def test_stored_rooms_are_permutations(rooms: int) -> None:
    words = ROOMS[rooms].split()
    assert len(words) == rooms - 1
    assert all("".join(sorted(word)) == "abcdefghijklmnopqrst"[:rooms] for word in words)


def test_rooms_are_stored_where_three_divides_the_number_of_rounds() -> None:
    assert sorted(ROOMS) == [half for half in range(3, 21) if (2 * half - 1) % 3 == 0]
