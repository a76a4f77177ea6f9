"""How old a child is on a division's day, and whether the division takes it."""

from calendar import isleap
from datetime import date as Date

from dateutil.relativedelta import relativedelta

from tourney.model.event import Division

CUT_OFF = (9, 1)  # 1 September before the event: common practice, no source


def age_day(division: Division, event_date: Date) -> Date:
    """The day on which age counts in a division: its own, or the last 1 September up to the event."""
    if division.age_on is not None:
        return division.age_on
    this_year = Date(event_date.year, *CUT_OFF)
    return this_year if event_date >= this_year else Date(event_date.year - 1, *CUT_OFF)


def age(birth: Date, day: Date, leap_birthday: str = "1 March") -> int:
    """Whole years on a day; the birthday itself counts. leap_birthday: "1 March" or "28 February".

    dateutil lets a child born on 29 February come of age on 28 February in common years.
    """
    years = int(relativedelta(day, birth).years)
    leap_child = (birth.month, birth.day) == (2, 29)
    day_before = (day.month, day.day) == (2, 28) and not isleap(day.year)
    return years - 1 if leap_child and day_before and leap_birthday == "1 March" else years


def takes(division: Division, event_date: Date, birth: Date | None, grade: int | None) -> bool:
    """Whether a division takes a child; with ages and grades both must hold. What it asks for must be given."""
    years = None if birth is None else age(birth, age_day(division, event_date), division.leap_birthday)
    return _within(years, division.ages, division.play_up) and _within(grade, division.grades, division.play_up)


def asked(division: Division) -> str:
    """What a division asks for: "ages 8 to 10", "grades 3 to 5", or both."""
    spans = (("ages", division.ages), ("grades", division.grades))
    return " and ".join(f"{what} {span[0]} to {span[1]}" for what, span in spans if span)


def _within(value: int | None, span: tuple[int, int] | None, play_up: bool) -> bool:
    if span is None:
        return True
    return value is not None and value <= span[1] and (value >= span[0] or play_up)
