"""Rooms against designs from the literature."""

from collections import Counter
from collections.abc import Sequence
from itertools import combinations, permutations, product
from random import Random

import pytest

from tourney.model.event import Room
from tourney.planning.clock import Meeting
from tourney.planning.rooms import choose_rooms
from tourney.planning.rotation.draw import draw_rotation
from tourney.planning.rotation.measure import measure

# A Room square of side 7; its rows from copies of Wikipedia's page. Where the empty cells (..) stand was lost in those
# copies and was worked out when the rows were read.
ROOM_SQUARE = (
    "07 .. .. 15 .. 46 23/34 17 .. .. 26 .. 05/16 45 27 .. .. 03 ../.. 02 56 37 .. .. 14/"
    "25 .. 13 06 47 .. ../.. 36 .. 24 01 57 ../.. .. 04 .. 35 12 67"
)


def visits(waves: Sequence[Sequence[Meeting]], rooms: int) -> Counter[tuple[str, int]]:
    chosen = choose_rooms(waves, [Room(name=f"Room {number}") for number in range(rooms)])
    return Counter(
        (team, room)
        for wave, row in zip(waves, chosen, strict=True)
        for meeting, room in zip(wave, row, strict=True)
        for team in meeting.teams
    )


def waves_of(rounds: Sequence[Sequence[Sequence[str]]]) -> list[list[Meeting]]:
    return [[Meeting("J", n, tuple(heat), 15, 8) for heat in heats] for n, heats in enumerate(rounds, 1)]


@pytest.mark.parametrize("half", [1, *range(3, 21)])
def test_a_balanced_tournament_design_for_every_size_but_two(half: int) -> None:
    """2n teams, n rooms, 2n-1 rounds, nobody more than twice in a room: one exists for every n but 2.

    Schellenberg, van Rees & Vanstone 1977, as cited by S. Bauman (thesis, University of Waterloo, 2001).
    """
    rotation = draw_rotation([(f"T{n:02}", f"C{n}") for n in range(2 * half)], "all", 2, Random(2))
    assert len(rotation.rounds) == 2 * half - 1
    assert max(visits(waves_of(rotation.rounds), half).values()) <= 2


def test_there_is_none_for_two() -> None:
    """All ways to put the three rounds of four teams into two rooms: somebody is three times in one of them."""
    rounds = [(("a", "b"), ("c", "d")), (("a", "c"), ("b", "d")), (("a", "d"), ("b", "c"))]
    for order in product(*(list(permutations(heats)) for heats in rounds)):
        times = Counter((team, room) for heats in order for room, heat in enumerate(heats) for team in heat)
        assert max(times.values()) == 3


def test_a_room_square_is_read_as_one() -> None:
    """Each number once in every row and column, each pair once; columns are rounds, rows are rooms."""
    square = [row.split() for row in ROOM_SQUARE.split("/")]
    clubs = {number: number for number in "01234567"}
    for turned in (square, list(zip(*square, strict=True))):
        rounds = [[tuple(cell) for cell in row if cell != ".."] for row in turned]
        found = measure(rounds, [()] * 7, clubs)
        assert (found.repeats, found.unmet, found.faults) == (0, 0, ())
    assert Counter(cell for row in square for cell in row if cell != "..") == Counter(
        "".join(pair) for pair in combinations("01234567", 2)
    )


def test_our_rooms_for_the_rounds_of_the_room_square_are_as_good() -> None:
    """Eight teams, seven rooms, seven rounds: the square shows that everybody can see every room once."""
    square = [row.split() for row in ROOM_SQUARE.split("/")]
    rounds = [[tuple(cell) for cell in column if cell != ".."] for column in zip(*square, strict=True)]
    assert set(visits(waves_of(rounds), 7).values()) == {1}
