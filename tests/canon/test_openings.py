"""Where to open: worked out from the lengths of the books."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tourney.canon.openings import by_text, openings
from tourney.canon.syllabus import Item, Syllabus, built_in


def test_the_quarter_points_fall_where_children_are_taught_to_open() -> None:
    """Middle: Psalms; three quarters: Matthew; a quarter: 1 Samuel. Common practice, no source."""
    lands = {found.place: found.lands for found in openings(built_in()).values()}
    assert lands == {0: "GEN", 1: "1SA", 2: "PSA", 3: "MAT", 4: "REV"}


@pytest.mark.parametrize(
    ("item", "lands", "steps"),
    [("GEN", "GEN", 0), ("EXO", "GEN", 1), ("RUT", "1SA", -1), ("PSA", "PSA", 0), ("ISA", "PSA", 4), ("MAL", "MAT", -1),
     ("MIC", "MAT", -7), ("ROM", "MAT", 5), ("NEH", "PSA", -3), ("3JN", "REV", -2), ("REV", "REV", 0)],
)  # fmt: skip
def test_books_counted_by_hand(item: str, lands: str, steps: int) -> None:
    found = openings(built_in())[item]
    assert (found.lands, found.steps) == (lands, steps)


def test_a_list_of_its_own_goes_by_position() -> None:
    items = tuple(Item(f"I{number}", f"Item {number}", "all", 1.0) for number in range(9))
    syllabus = Syllabus(items)
    assert not by_text(syllabus)
    assert [(found.place, found.steps) for found in openings(syllabus).values()] == [
        (0, 0), (1, -1), (1, 0), (2, -1), (2, 0), (2, 1), (3, 0), (3, 1), (4, 0),
    ]  # fmt: skip


@given(st.integers(1, 40))
def test_steps_lead_from_the_opening_to_the_item(size: int) -> None:
    syllabus = Syllabus(built_in().items[:size]) if size < 40 else built_in()
    for key, found in openings(syllabus).items():
        assert syllabus.items[syllabus.rank[found.lands] + found.steps].id == key


def test_another_order_of_the_books_is_not_measured_by_their_text() -> None:
    books = built_in()
    assert by_text(books) and not by_text(replace(books, items=books.items[::-1]))
