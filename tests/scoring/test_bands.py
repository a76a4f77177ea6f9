"""Awards: compared exactly, and a part that rounds to what an award asks is told why it is below it."""

import re
import unicodedata
from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pydantic import ValidationError

from tourney.model.event import Band, Division
from tourney.scoring.bands import band_of, next_band


def bands(*rows: tuple[str, str, float]) -> tuple[Band, ...]:
    made: Any = [{"label": label, kind: limit} for label, kind, limit in rows]
    return Division(name="Junior", ages=(8, 10), bands=made).bands_upwards


def value_of(text: str) -> Fraction:
    """A number as people write it: ½ is made of 1, a stroke and 2, as Unicode says."""
    plain = re.sub("[½⅓⅔¼¾]", lambda sign: f" {unicodedata.normalize('NFKC', sign[0])}", text).replace("\u2044", "/")
    return sum(map(Fraction, plain.split()), Fraction())


PARTS = bands(("A", "from", 0.9), ("B", "from", 0.75))
MIXED = bands(("A", "from", 0.9), ("Gold", "place", 1), ("Silver", "place", 3), ("B", "from", 0.75))


@pytest.mark.parametrize(
    ("points", "band", "why"),
    [
        (960, "A", ""),
        (864, "A", ""),
        (863, "B", "A from 864, 9/10 of 960: 1 short"),
        (Fraction(2591, 3), "B", "A from 864, 9/10 of 960: ⅓ short"),
        (720, "B", "A from 864, 9/10 of 960: 144 short"),
        (719, None, "B from 720, 3/4 of 960: 1 short"),
        (0, None, "B from 720, 3/4 of 960: 720 short"),
    ],
)
def test_863_of_960_is_not_nine_tenths_and_it_is_said_why(points: Fraction, band: str | None, why: str) -> None:
    assert band_of(7, Fraction(points), Fraction(960), PARTS) == band
    assert next_band(7, Fraction(points), Fraction(960), PARTS) == why


def test_a_limit_that_is_no_whole_number_of_points() -> None:
    assert band_of(1, Fraction(427), Fraction(475), PARTS) == "B"
    assert next_band(1, Fraction(427), Fraction(475), PARTS) == "A from 427½, 9/10 of 475: ½ short"


@pytest.mark.parametrize(
    ("place", "points", "band", "why"),
    [
        (1, 700, "Gold", ""),
        (2, 959, "Silver", "Gold down to place 1"),
        (3, 100, "Silver", "Gold down to place 1"),
        (4, 900, "A", "Silver down to place 3"),
        (4, 800, "B", "A from 864, 9/10 of 960: 64 short"),
    ],
)
def test_awards_by_place_stand_above_those_by_points(place: int, points: int, band: str, why: str) -> None:
    assert [one.label for one in MIXED] == ["B", "A", "Silver", "Gold"]
    assert band_of(place, Fraction(points), Fraction(960), MIXED) == band
    assert next_band(place, Fraction(points), Fraction(960), MIXED) == why


def test_nobody_reaches_a_part_of_nothing() -> None:
    assert band_of(1, Fraction(0), Fraction(0), PARTS) is None
    assert next_band(1, Fraction(0), Fraction(0), PARTS) == ""


@pytest.mark.parametrize("limits", [{}, {"from": 0.9, "place": 3}])
def test_an_award_has_one_limit(limits: dict[str, float]) -> None:
    with pytest.raises(ValidationError, match="either from, a part of the points, or place"):
        Band.model_validate({"label": "A", **limits})


@given(points=st.fractions(0, 960, max_denominator=6), more=st.fractions(0, 100, max_denominator=6))
def test_what_is_short_is_just_enough_and_more_points_never_lower_an_award(points: Fraction, more: Fraction) -> None:
    order = [None, "B", "A"]
    own = order.index(band_of(1, points, Fraction(960), PARTS))
    assert order.index(band_of(1, min(points + more, Fraction(960)), Fraction(960), PARTS)) >= own
    if why := next_band(1, points, Fraction(960), PARTS):
        short = value_of(why.removesuffix(" short").split(": ")[1])
        assert order.index(band_of(1, points + short, Fraction(960), PARTS)) == own + 1
        assert order.index(band_of(1, points + short - Fraction(1, 10**6), Fraction(960), PARTS)) == own
