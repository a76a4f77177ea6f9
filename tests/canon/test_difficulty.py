"""The search index: Fitts' index of difficulty in Shannon's form."""

from math import isclose

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tourney.canon.books import BOOKS
from tourney.canon.difficulty import search_index, search_indexes

PUBLISHED = [(0, 0), (1, 1), (3, 2), (7, 3), (8, 3.1699), (15, 4), (16, 4.0875), (31, 5)]


@pytest.mark.parametrize(("ratio", "bits"), PUBLISHED)
def test_values_of_the_shannon_form(ratio: int, bits: float) -> None:
    """ID = log2(D/W + 1): MacKenzie, Journal of Motor Behavior 21 (1989) 323-330; values worked out from the formula.

    The original form, log2(2D/W), would give 4 bits at 8 and 5 at 16, and nothing finite at 0.
    """
    assert isclose(search_index(ratio, 1), bits, abs_tol=5e-5)


@given(st.floats(0, 1e6), st.floats(1e-3, 1e6), st.floats(1e-3, 1e3))
def test_the_unit_does_not_matter(distance: float, width: float, unit: float) -> None:
    assert isclose(search_index(distance * unit, width * unit), search_index(distance, width), abs_tol=1e-9)


def test_four_equal_parts() -> None:
    """Each centre lies half a part from the nearest opening: log2(1.5) bits."""
    assert all(isclose(bits, 0.584962500721156) for bits in search_indexes([7, 7, 7, 7]))


def test_a_part_that_holds_an_opening_at_its_centre_is_free() -> None:
    assert search_indexes([3, 2, 3])[1] == 0


@given(st.lists(st.integers(1, 500), min_size=1, max_size=80))
def test_indexes_mirror_and_stay_in_range(sizes: list[int]) -> None:
    """Turning the text round turns the indexes round. No centre lies farther than an eighth from an opening."""
    found = search_indexes(sizes)
    turned = search_indexes(sizes[::-1])[::-1]
    assert all(isclose(one, other, abs_tol=1e-9) for one, other in zip(found, turned, strict=True))
    most = [search_index(1 / 8, size / sum(sizes)) for size in sizes]
    assert all(0 <= bits <= limit + 1e-12 for bits, limit in zip(found, most, strict=True))


def test_the_66_books() -> None:
    """From 0.21 bits (Psalms, across the middle) to 5.56 (Philemon, 25 verses far from an opening)."""
    bits = dict(zip((book.id for book in BOOKS), search_indexes([book.verses for book in BOOKS]), strict=True))
    least, most = min(bits, key=bits.__getitem__), max(bits, key=bits.__getitem__)
    assert (least, round(bits[least], 2), most, round(bits[most], 2)) == ("PSA", 0.21, "PHM", 5.56)
