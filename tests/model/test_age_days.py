from calendar import isleap
from datetime import date as Date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tourney.model.ages import age, age_day, asked, takes
from tourney.model.event import Division

JUNIOR = Division(name="Junior", ages=(8, 10))
DAYS = st.dates(Date(1990, 1, 1), Date(2100, 12, 31))


@pytest.mark.parametrize(
    ("event", "counts"),
    [
        (Date(2027, 4, 17), Date(2026, 9, 1)),
        (Date(2026, 8, 31), Date(2025, 9, 1)),
        (Date(2026, 9, 1), Date(2026, 9, 1)),
        (Date(2026, 12, 5), Date(2026, 9, 1)),
    ],
)
def test_age_counts_on_the_last_1_september(event: Date, counts: Date) -> None:
    assert age_day(JUNIOR, event) == counts


def test_a_division_may_have_its_own_day() -> None:
    assert age_day(Division(name="J", ages=(8, 10), age_on=Date(2027, 1, 1)), Date(2027, 4, 17)) == Date(2027, 1, 1)


@given(DAYS, DAYS)
def test_age_counts_the_birthdays_passed(birth: Date, day: Date) -> None:
    """An independent count: birthdays after the birth, each on its day or, lacking one, on 1 March."""

    def birthday(year: int) -> Date:
        moved = (birth.month, birth.day) == (2, 29) and not isleap(year)
        return Date(year, 3, 1) if moved else birth.replace(year=year)

    if day >= birth:
        assert age(birth, day) == sum(birthday(year) <= day for year in range(birth.year + 1, day.year + 1))


@given(DAYS, DAYS)
def test_the_leap_rule_matters_to_no_other_child(birth: Date, day: Date) -> None:
    if age(birth, day, "1 March") != age(birth, day, "28 February"):
        assert (birth.month, birth.day, day.month, day.day) == (2, 29, 2, 28)


@pytest.mark.parametrize(
    ("birth", "play_up", "fits"),
    [
        (Date(2018, 9, 1), False, True),
        (Date(2018, 9, 2), False, False),
        (Date(2018, 9, 2), True, True),
        (Date(2015, 9, 2), False, True),
        (Date(2015, 9, 1), True, False),
        (None, True, False),
    ],
)
def test_bounds_count_and_only_younger_children_play_up(birth: Date | None, play_up: bool, fits: bool) -> None:
    division = Division(name="Junior", ages=(8, 10), play_up=play_up)
    assert takes(division, Date(2027, 4, 17), birth, None) is fits


@pytest.mark.parametrize(("grade", "fits"), [(2, False), (3, True), (5, True), (6, False), (None, False)])
def test_grades_count_likewise(grade: int | None, fits: bool) -> None:
    assert takes(Division(name="Lower", grades=(3, 5)), Date(2027, 4, 17), None, grade) is fits


@pytest.mark.parametrize(
    ("birth", "grade", "fits"), [("2017-05-03", 4, True), ("2017-05-03", 6, False), ("2010-05-03", 4, False)]
)
def test_ages_and_grades_must_both_hold(birth: str, grade: int, fits: bool) -> None:
    division = Division(name="Lower", ages=(8, 10), grades=(3, 5))
    assert asked(division) == "ages 8 to 10 and grades 3 to 5"
    assert takes(division, Date(2027, 4, 17), Date.fromisoformat(birth), grade) is fits
