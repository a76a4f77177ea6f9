from datetime import date as Date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tourney.intake.dates import MONTHS, long_date, readings

MAY_3, MARCH_5 = Date(2016, 5, 3), Date(2016, 3, 5)


@pytest.mark.parametrize(
    "typed",
    [
        MAY_3,
        "2016-05-03",
        "2016-5-3",
        "2016-05-03 00:00:00",
        "2016-05-03T00:00:00",
        "3 May 2016",
        "3. May 2016",
        "3rd May, 2016",
        "3-May-2016",
        "03 MAY 2016",
        "May 3, 2016",
        "may 3rd 2016",
        " 3   May  2016 ",
    ],
)
def test_one_reading(typed: object) -> None:
    assert readings(typed) == (MAY_3,)


@pytest.mark.parametrize("typed", ["03/05/2016", "3/5/2016", "03.05.2016", "3. 5. 2016", "03-05-2016", "3 5 2016"])
def test_two_readings_day_first_before_month_first(typed: str) -> None:
    assert readings(typed) == (MAY_3, MARCH_5)


@pytest.mark.parametrize(
    ("typed", "day"),
    [("25/12/2016", Date(2016, 12, 25)), ("12/25/2016", Date(2016, 12, 25)), ("4/4/2016", Date(2016, 4, 4))],
)
def test_numbers_that_can_be_read_one_way(typed: str, day: Date) -> None:
    assert readings(typed) == (day,)


@pytest.mark.parametrize(
    "typed",
    ["", "soon", "3/5/16", "16-05-03", "2016", 42493, 42493.5, "42493", "31/02/2016", "30 February 2016", "2016-13-01",
     "3 Ma 2016", "3 Mayhem 2016", "2016-05-03 14:00:00", "00/00/0000", True, "03/05-2016"],
)  # fmt: skip
def test_no_reading(typed: object) -> None:
    assert readings(typed) == ()


@given(st.dates(Date(1000, 1, 1), Date(9999, 12, 31)))
def test_what_is_written_out_is_read_back(day: Date) -> None:
    assert readings(day.isoformat()) == readings(long_date(day)) == (day,)
    assert day in readings(f"{day.day}/{day.month}/{day.year}")
    assert readings(f"{MONTHS[day.month - 1][:3]} {day.day} {day.year}") == (day,)


@given(st.text(max_size=30))
def test_no_text_breaks_it(text: str) -> None:
    assert len(readings(text)) <= 2
