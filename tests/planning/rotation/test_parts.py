"""Fields, starters, measures and the search, each by itself."""

from itertools import combinations, product
from random import Random

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tourney.planning.rotation.fields import MODULI, is_field_order, multiply, subtract
from tourney.planning.rotation.measure import measure, own_club_bound
from tourney.planning.rotation.patterns import developed, known_patterns
from tourney.planning.rotation.search import Wishes, cost, improve
from tourney.planning.rotation.starters import STARTERS


@pytest.mark.parametrize("order", [2, 5, 7, *sorted(MODULI)])
def test_a_field_has_no_zero_divisors_and_distributes(order: int) -> None:
    elements = range(order)
    for one in elements[1:]:
        assert sorted(multiply(one, other, order) for other in elements) == list(elements)
    for one, other, third in product(elements[:5], repeat=3):
        left = multiply(third, subtract(one, other, order), order)
        assert left == subtract(multiply(third, one, order), multiply(third, other, order), order)


def test_orders_without_a_field() -> None:
    assert [order for order in range(1, 13) if not is_field_order(order)] == [1, 6, 10, 12]


@pytest.mark.parametrize("key", sorted(STARTERS))
def test_starters_repeat_no_meeting(key: tuple[int, int]) -> None:
    seats, size = key
    pattern = developed(STARTERS[key], 0)
    assert pattern is not None
    for heats in pattern:
        assert sorted(seat for heat in heats for seat in heat) == list(range(seats))
        assert {len(heat) for heat in heats} == {size}
    met = [frozenset(pair) for heats in pattern for heat in heats for pair in combinations(heat, 2)]
    assert len(set(met)) == len(met)


@given(st.integers(3, 40), st.integers(2, 6), st.integers(1, 8))
def test_patterns_repeat_no_meeting(seats: int, most: int, rounds: int) -> None:
    size = -(-seats // -(-seats // most))
    for pattern in known_patterns(seats, size, rounds, Random(1)):
        met = [frozenset(pair) for heats in pattern for heat in heats for pair in combinations(heat, 2)]
        assert len(set(met)) == len(met)
        for heats in pattern:
            assert sorted(seat for heat in heats for seat in heat) == list(range(seats))


def test_a_measure_names_who_drills_twice_or_not_at_all() -> None:
    found = measure([[("a", "b"), ("b", "c")]], [()], {"a": "x", "b": "x", "c": "y", "d": "y"})
    assert found.faults == ("round 1: b x2", "round 1: d x0")
    assert (found.own_club, found.unmet) == (1, 4)


@pytest.mark.parametrize(
    ("club", "sizes", "bound"),
    [((3, 1), [[2, 2]], 1), ((2, 2), [[2, 2]], 0), ((4, 4), [[4, 4]], 4), ((3, 1), [[2]], 0), ((5, 1), [[3, 3]], 4)],
)
def test_least_meetings_within_clubs(club: tuple[int, ...], sizes: list[list[int]], bound: int) -> None:
    clubs = {f"{name}{n}": str(name) for name, teams in enumerate(club) for n in range(teams)}
    assert own_club_bound(sizes, clubs) == bound


@given(st.integers(0, 50))
def test_the_search_never_makes_it_worse_and_keeps_sizes(seed: int) -> None:
    random = Random(seed)
    deals = np.array([random.sample([0, 0, 1, 1, 1, 2, 2, 2], 8) for _ in range(4)])
    wishes = Wishes(np.zeros((8, 8), dtype=np.int64), small=1, weight=10)
    better = improve(deals, 3, wishes, 0, 50, random)
    assert cost(better, wishes) <= cost(deals, wishes)
    assert all(sorted(row) == [0, 0, 1, 1, 1, 2, 2, 2] for row in better.tolist())


@given(st.integers(0, 200))
def test_the_search_reaches_the_best_of_all_deals_of_one_round(seed: int) -> None:
    random = Random(seed)
    before = np.zeros((6, 6), dtype=np.int64)
    for one, other in combinations(range(6), 2):
        before[one, other] = before[other, one] = random.randrange(4)
    deals = np.array([[0, 0, 0, 1, 1, 1]])
    rows = ({0, *pair} for pair in combinations(range(1, 6), 2))
    all_deals = (np.array([[0 if n in row else 1 for n in range(6)]]) for row in rows)
    best = min(cost(deal, Wishes(before)) for deal in all_deals)
    assert cost(improve(deals, 2, Wishes(before), best, 200, random), Wishes(before)) == best
