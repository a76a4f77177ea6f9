"""The counting leak, against a general reference and against all orders."""

from fractions import Fraction
from itertools import permutations, product
from math import comb, sqrt
from random import Random

import pytest
from scipy.stats import multivariate_hypergeom

from tourney.canon.counting import guessing_chances, simulated_chances


@pytest.mark.parametrize("counts", [(1,), (2, 1), (2, 2, 1), (3, 1, 1), (2, 2, 2)])
def test_all_orders(counts: tuple[int, ...]) -> None:
    """The contestant names the section with most calls still to come; counted over every order."""
    calls = [section for section, n in enumerate(counts) for _ in range(n)]
    orders = list(permutations(calls))
    for place, chance in enumerate(guessing_chances(counts)):
        left = [order[place:] for order in orders]
        assert chance == sum(Fraction(max(map(row.count, row)), len(row)) for row in left) / len(left)


def test_the_largest_section_left_follows_the_multivariate_hypergeometric_distribution() -> None:
    """scipy.stats.multivariate_hypergeom: sections of 3, 2, 2 and 1 calls, three calls left."""
    counts, left = (3, 2, 2, 1), 3
    parts = [row for row in product(*(range(n + 1) for n in counts)) if sum(row) == left]
    expected = sum(max(row) * multivariate_hypergeom.pmf(row, counts, left) for row in parts) / left
    assert float(guessing_chances(counts)[sum(counts) - left]) == pytest.approx(expected, rel=1e-9)


def test_three_of_each_of_eight_sections() -> None:
    """One in eight at first, certain at last; before the last but one the two calls left agree in 2 of 23 cases.

    The percentages at calls 12, 22 and 23 and their mean over the set were worked out apart from this program.
    """
    chances = guessing_chances((3,) * 8)
    assert (chances[0], chances[-1]) == (Fraction(1, 8), Fraction(1))
    assert chances[-2] == Fraction(1, 2) + Fraction(1, 2) * Fraction(8 * comb(3, 2), comb(24, 2))
    assert list(chances) == sorted(chances)
    percent = [100 * float(chance) for chance in chances]
    assert [round(percent[call - 1], 1) for call in (12, 22, 23)] == [21.6, 41.9, 54.3]
    assert round(sum(percent) / 24, 1) == 27.2


TRIALS = 4000


@pytest.mark.parametrize("counts", [(2, 2, 1), (3,) * 8, (5, 1, 1), (1, 2, 3, 4)])
def test_a_simulation_agrees_with_the_exact_chances(counts: tuple[int, ...]) -> None:
    """Within five standard errors at every call: one draw in some two million would fail, and this one is seeded."""
    simulated = simulated_chances(counts, Random(3), TRIALS)
    for found, exact in zip(simulated, map(float, guessing_chances(counts)), strict=True):
        assert abs(found - exact) <= 5 * sqrt(exact * (1 - exact) / TRIALS)


def test_knowing_that_no_section_comes_twice_running_helps() -> None:
    """At the second of 2 + 2 + 2 calls one of two sections is next, each as likely; blind, it is two of five."""
    simulated = simulated_chances((2, 2, 2), Random(3), TRIALS, twice_running=False)
    assert abs(simulated[1] - 1 / 2) <= 5 * sqrt(1 / 4 / TRIALS)
    assert guessing_chances((2, 2, 2))[1] == Fraction(2, 5)
    assert sum(simulated) > sum(guessing_chances((2, 2, 2)))


@pytest.mark.parametrize("counts", [(3, 2), (1, 1), (4,), (2, 4)])
def test_two_sections_in_turn_hide_little(counts: tuple[int, ...]) -> None:
    """3 + 2 must begin with the larger and alternate; 4 alone is certain; 2 + 4 can't alternate to its end."""
    simulated = simulated_chances(counts, Random(3), 50, twice_running=False)
    assert all(0 <= chance <= 1 for chance in simulated) and simulated[-1] == 1
    if counts in ((3, 2), (4,)):
        assert set(simulated) == {1}


def test_the_same_stream_gives_the_same_figures() -> None:
    assert simulated_chances((2,) * 8, Random(3), 100) == simulated_chances((2,) * 8, Random(3), 100)
