"""Short sets: items chosen so that halves and thirds can be equally hard, and the best of all orders."""

from itertools import pairwise, permutations
from random import Random
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tourney.canon.syllabus import built_in
from tourney.planning.calls.assembly import assemble, equalise
from tourney.planning.calls.board import Board
from tourney.planning.calls.ordering import order_calls
from tourney.planning.calls.parting import part
from tourney.planning.calls.parts import HALVES, THIRDS, orders, partings
from tourney.planning.calls.pool import UNIT, pool_of
from tourney.planning.calls.section_order import Known
from tourney.planning.calls.sequence import edges, halves, thirds
from tourney.planning.calls.terms import settle

BOOKS = built_in()


def board_of(ruled: Any, calls: int, sets: int, seed: int) -> Board:
    division = ruled(calls=calls, sections="by_size")
    pool = pool_of(BOOKS, division)
    terms = settle(division, pool, BOOKS, [0, 0, 1, 1, 2, 2, 3, 3][:sets], Random(seed))
    counts = [terms.quotas.rounds[number] for number in terms.demand.rounds]
    return equalise(assemble(pool, counts, terms.demand.gap, Random(seed)), Random(seed))


@pytest.mark.parametrize(("calls", "ways"), [(6, 180), (7, 630), (8, 1120)])
def test_ways_to_part_a_set(calls: int, ways: int) -> None:
    """Counted by hand: 6!/2!1!1!2!, 7!/2!1!2!2! and 8!/3!1!1!3! ways to fill the stretches between the edges."""
    assert len(partings(calls).place) == ways
    assert len({tuple(row) for row in orders(calls).place.tolist()}) == len(list(permutations(range(calls))))


@given(st.lists(st.integers(0, 6 * UNIT), min_size=6, max_size=7), st.integers(0, 2**20))
def test_unevenness_of_an_order(parts: list[int], at: int) -> None:
    """Beside the means of halves and thirds as they are measured."""
    ways, wanted = orders(len(parts)), [round(np.mean(parts))] * 3
    way = at % len(ways.place)
    row = [parts[list(ways.place[way]).index(place)] / UNIT for place in range(len(parts))]
    beyond = 2 * max(0, abs(halves(row)) - HALVES)
    beyond += sum(max(0, abs(bits - mean / UNIT) - THIRDS) for bits, mean in zip(thirds(row), wanted, strict=True))
    assert ways.unevenness(np.array([parts]), wanted)[0, way] / UNIT == pytest.approx(beyond, abs=1e-5)


def test_edges_of_thirds() -> None:
    assert [edges(calls) for calls in (6, 7, 8)] == [(0, 2, 4, 6), (0, 2, 5, 7), (0, 3, 5, 8)]


@pytest.mark.parametrize("calls", [6, 7, 8])
def test_parts_of_chosen_sets_can_be_equally_hard(ruled: Any, calls: int) -> None:
    """Exchanges keep every rule; afterwards each set has an order with parts within their limits."""
    board = board_of(ruled, calls, 8 if calls > 6 else 4, 3)
    pool, before = board.pool, [board.pool.counts(held) for held in board.sets]
    neighbours = board.neighbours()
    wanted = part(board, Random(1))
    assert wanted is not None
    assert [pool.counts(held) for held in board.sets] == before
    assert board.repeats() == 0 and board.neighbours() == neighbours
    assert all(board.use_spread(section) <= 1 for section in range(len(pool.sections)))
    sums = [pool.total(held) for held in board.sets]
    assert (max(sums) - min(sums)) * len(sums) <= 0.01 * sum(sums)
    rows = np.array([[pool.parts[item] for item in sorted(held)] for held in board.sets])
    assert not orders(calls).unevenness(rows, wanted).min(1).any()


def test_the_same_seed_gives_the_same_short_sets(ruled: Any) -> None:
    boards = [board_of(ruled, 7, 6, 5) for _ in range(2)]
    assert part(boards[0], Random(2)) == part(boards[1], Random(2))
    assert boards[0].sets == boards[1].sets


def test_longer_and_very_short_sets_are_left_alone(ruled: Any) -> None:
    for calls in (5, 9):
        board = board_of(ruled, calls, 4, 1)
        before = [set(held) for held in board.sets]
        assert part(board, Random(1)) is None
        assert board.sets == before


@settings(max_examples=30)
@given(st.integers(1, 6), st.integers(0, 10**6))
def test_no_order_of_a_short_set_has_fewer_clues(listed: Any, ruled: Any, calls: int, seed: int) -> None:
    """Every order counted, one by one: neighbours within three calls first, then sections twice running."""
    random = Random(seed)
    pool = pool_of(listed([4, 4, 4]), ruled())
    chosen = random.sample(range(12), calls)

    def clues(row: tuple[int, ...]) -> tuple[int, int]:
        close = sum(two in pool.near[one] for at, one in enumerate(row) for two in row[at + 1 : at + 4])
        return close, sum(pool.section[one] == pool.section[two] for one, two in pairwise(row))

    assert clues(order_calls(pool, chosen, Known(), random)) == min(map(clues, permutations(chosen)))


@pytest.mark.parametrize("rules", [{"calls": 7, "sections": "by_size"}, {"calls": 8}])
def test_a_day_of_short_sets(measured: Any, rules: dict[str, Any]) -> None:
    day = measured(BOOKS, (1, 1, 2, 2, 3, 3, 4, 4), **rules)
    assert all(line.ok for line in day.fairness.values()), [line for line in day.fairness.values() if not line.ok]
