"""Ages on a day against a general-purpose library's table and against published rules."""

from datetime import date as Date

import pytest

from tourney.model.ages import age, takes
from tourney.model.event import Division

EVENT = Date(2026, 12, 31)


# dateutil.relativedelta, run in versions 2.9.0.post0 and 4.0.0 (years alone), and the common comparison of month and
# day, which differs only for a birth on 29 February seen on the last day of a common February.
@pytest.mark.parametrize(
    ("born", "on", "by_28_february", "by_1_march"),
    [
        ("2004-02-29", "2005-02-28", 1, 0),
        ("2004-02-29", "2005-03-01", 1, 1),
        ("2004-02-29", "2024-02-28", 19, 19),
        ("2004-02-29", "2024-02-29", 20, 20),
        ("2012-02-29", "2023-02-28", 11, 10),
        ("2012-02-29", "2023-03-01", 11, 11),
        ("2012-09-01", "2024-09-01", 12, 12),
        ("2012-09-02", "2024-09-01", 11, 11),
        ("2012-12-31", "2025-12-31", 13, 13),
        ("2013-01-01", "2025-12-31", 12, 12),
    ],
)
def test_table_of_ages(born: str, on: str, by_28_february: int, by_1_march: int) -> None:
    birth, day = Date.fromisoformat(born), Date.fromisoformat(on)
    assert age(birth, day, "28 February") == by_28_february
    assert age(birth, day, "1 March") == by_1_march


# Reported law, two readings of a birth on 29 February 1996: 18 on 1 March 2014 (England and Wales, Hong Kong), or on
# 28 February 2014 (Taiwan, New Zealand). A secondary source, today.nukz.net, 2012-02; others contradict it for England.
@pytest.mark.parametrize(("rule", "last_day_at_17"), [("1 March", "2014-02-28"), ("28 February", "2014-02-27")])
def test_coming_of_age_after_a_leap_day(rule: str, last_day_at_17: str) -> None:
    before = Date.fromisoformat(last_day_at_17)
    assert age(Date(1996, 2, 29), before, rule) == 17
    assert age(Date(1996, 2, 29), Date.fromordinal(before.toordinal() + 1), rule) == 18


# World Athletics age groups: age on 31 December of the year of competition (rule 3.1, in the text of the Russian
# federation, consultant.ru LAW_445220). U18 in 2026 is then who was born in 2009 or 2010 (worked out here).
@pytest.mark.parametrize(
    ("group", "first_born", "last_born"),
    [
        ((10, 11), 2015, 2016),
        ((12, 13), 2013, 2014),
        ((14, 15), 2011, 2012),
        ((16, 17), 2009, 2010),
        ((18, 19), 2007, 2008),
    ],
)
def test_age_groups_by_the_last_day_of_the_year(group: tuple[int, int], first_born: int, last_born: int) -> None:
    division = Division(name="Group", ages=group, age_on=Date(2026, 12, 31))
    assert [
        takes(division, EVENT, Date(first_born, 1, 1), None),
        takes(division, EVENT, Date(last_born, 12, 31), None),
    ] == [
        True,
        True,
    ]
    assert not takes(division, EVENT, Date(first_born - 1, 12, 31), None)
    assert not takes(division, EVENT, Date(last_born + 1, 1, 1), None)


# School entry, Education Commission of the States, report 32: Alabama, 5 on or before 1 September (AL ST 16-28-4);
# Alaska, 5 before 15 August (AK ST 14.03.080), which is 5 on 14 August. Days of 2026 worked out here.
@pytest.mark.parametrize(
    ("age_on", "last_born"), [(Date(2026, 9, 1), Date(2021, 9, 1)), (Date(2026, 8, 14), Date(2021, 8, 14))]
)
def test_school_entry_on_or_before_and_before(age_on: Date, last_born: Date) -> None:
    division = Division(name="First year", ages=(5, 6), age_on=age_on)
    assert takes(division, EVENT, last_born, None)
    assert not takes(division, EVENT, Date.fromordinal(last_born.toordinal() + 1), None)
