"""The place rule 1, 2, 2, 4 against scipy.stats.rankdata, method "min"."""

from fractions import Fraction

from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import rankdata

from tourney.scoring.places import places_of


def places(scores: list[int]) -> list[int]:
    return list(places_of({str(at): Fraction(score) for at, score in enumerate(scores)}).values())


def test_the_example_of_the_documentation() -> None:
    """scipy's own example ranks [0, 2, 3, 2] upwards: 1, 2, 4, 2. Ours puts the most first."""
    assert places([0, -2, -3, -2]) == [1, 2, 4, 2]
    assert places([5, 5, 5, 1, 9, 9]) == [3, 3, 3, 6, 1, 1]


@given(st.lists(st.integers(-20, 20), max_size=30))
def test_same_places_as_rankdata(scores: list[int]) -> None:
    assert places(scores) == [int(rank) for rank in rankdata([-score for score in scores], method="min")]
