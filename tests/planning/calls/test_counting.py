"""The counting leak, against a general reference and against all orders."""

from fractions import Fraction
from itertools import permutations, product
from math import comb

import pytest
from scipy.stats import multivariate_hypergeom

from tourney.planning.calls.counting import guessing_chances


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
    """One in eight at first, certain at last; before the last but one the two calls left agree in 2 of 23 cases."""
    chances = guessing_chances((3,) * 8)
    assert (chances[0], chances[-1]) == (Fraction(1, 8), Fraction(1))
    assert chances[-2] == Fraction(1, 2) + Fraction(1, 2) * Fraction(8 * comb(3, 2), comb(24, 2))
    assert list(chances) == sorted(chances)
