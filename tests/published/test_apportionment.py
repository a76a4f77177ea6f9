"""Quotas against published apportionments and the bound on proportional sequences."""

from collections.abc import Sequence
from fractions import Fraction
from math import ceil
from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tourney.canon.syllabus import Item, Syllabus
from tourney.model.event import Division
from tourney.planning.calls.pool import Pool, pool_of
from tourney.planning.calls.quotas import Demand, Quotas, draw_quotas

# Largest remainders. Whole numbers that sum to the house and stand nearest to the exact quotas in the worst case are
# those of Hamilton's method (Birkhoff, PNAS 73 (1976) 684-686, from memory), unless several stand equally near.
HAMILTON = [
    # staatsrecht.honikel.de: quotas 5.08, 4.17, 0.75
    ((6100, 5000, 900), 10, (5, 4, 1)),
    # electoralreform.wikia.com: quotas 3.91, 2.97, 1.88, 1.25
    ((25000, 19000, 12000, 8000), 10, (4, 3, 2, 1)),
    # archipel-des-libertes.fr: quota 232.5 votes a seat
    ((500, 300, 110, 20), 4, (2, 1, 1, 0)),
    # infinitelexicon.com for the first two quotas, 3.5 and 2.1; the rest worked out
    ((50, 30, 20), 7, (4, 2, 1)),
    # the Alabama paradox in small, from memory: the third party loses a seat when the house grows
    ((6, 6, 2), 10, (4, 4, 2)),
    ((6, 6, 2), 11, (5, 5, 1)),
    # an encyclopaedia's examples, from memory; the seats worked out
    ((53000, 24000, 23000), 7, (4, 2, 1)),
    ((47000, 16000, 15800, 12000, 6100, 3100), 10, (5, 2, 1, 1, 1, 0)),
]


def pool(sizes: Sequence[int]) -> Pool:
    items = (Item(f"{s}-{n}", f"{s}-{n}", f"s{s}", 1.0) for s, size in enumerate(sizes) for n in range(size))
    return pool_of(Syllabus(tuple(items)), Division(name="Junior", ages=(8, 10)))


def sequence(weights: tuple[int, ...], calls: int, rounds: int) -> Quotas:
    shares = tuple(Fraction(weight, sum(weights)) for weight in weights)
    quotas = draw_quotas(
        Demand(shares, calls, tuple(range(rounds))), pool([1 + ceil(calls * share) for share in shares]), Random(0)
    )
    assert quotas is not None
    return quotas


@pytest.mark.parametrize(("votes", "seats", "expected"), HAMILTON)
def test_one_set_is_apportioned_by_largest_remainders(
    votes: tuple[int, ...], seats: int, expected: tuple[int, ...]
) -> None:
    assert sequence(votes, seats, 1).rounds == (expected,)


@settings(max_examples=20)
@given(st.lists(st.integers(1, 9), min_size=2, max_size=5))
def test_tijdemans_bound(weights: list[int]) -> None:
    """One call a round: no prefix is further from its share than 1 - 1/(2n - 2).

    Tijdeman, The chairman assignment problem, Discrete Mathematics 32 (1980) 323-330; the formula from memory.
    """
    worst = sequence(tuple(weights), 1, min(20, sum(weights))).deviation
    assert worst <= 1 - Fraction(1, 2 * len(weights) - 2)


def test_two_sections_five_to_twelve() -> None:
    """Over 17 calls the least worst deviation is 8/17 (worked out exactly in rationals)."""
    assert sequence((5, 12), 1, 17).deviation == Fraction(8, 17)


def test_three_sections_three_two_one() -> None:
    """Over 6 calls the least worst deviation is 1/2, as in the order 1 2 1 3 2 1."""
    quotas = sequence((3, 2, 1), 1, 6)
    assert quotas.deviation == Fraction(1, 2)
    assert [sum(column) for column in zip(*quotas.rounds, strict=True)] == [3, 2, 1]
