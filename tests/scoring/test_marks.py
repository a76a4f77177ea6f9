"""Marks to points; the values are the contract's own defaults (common practice, no source)."""

import pytest

from tourney.model.event import Points
from tourney.model.sheet import FilledSheet, Letter, Marked
from tourney.scoring.marks import points_of, reading_of


@pytest.mark.parametrize(
    ("letters", "points"),
    [((), 10), (("L",), 0), (("W",), 0), (("S",), 5), (("H",), 8), (("S", "H"), 3), (("L", "S"), 0), (("N",), 0)],
)
def test_letters_add_up_and_stop_at_nothing(letters: tuple[Letter, ...], points: int) -> None:
    assert points_of(letters, Points()) == points


def test_absent_scores_nothing_even_where_faults_cost_nothing() -> None:
    free = Points(call=10, late=0, wrong_place=0, spoken=0, handling=0)
    assert points_of(("L", "S"), free) == 10
    assert points_of(("N",), free) == 0


def test_three_states() -> None:
    sheet = FilledSheet(
        "c", "h", 1, 1, "AB", ("a", "b"), (Marked(1, 1, ("S",)), Marked(2, 3, ("L",))), (1, 2), ((2, 2),)
    )
    at = reading_of(sheet, {})
    assert at(1, 1) == ("S",)
    assert at(2, 1) == ()
    assert at(1, 2) == ()
    assert at(2, 2) is None, "could not be read"
    assert at(1, 3) is None, "no tick: blank is not clean"
    assert at(2, 3) == ("L",), "a letter was written by somebody who judged"


def test_a_missing_sheet_says_nothing() -> None:
    assert reading_of(None, {})(1, 1) is None
