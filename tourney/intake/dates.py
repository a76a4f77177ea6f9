"""The days that a typed date can mean."""

import re
from datetime import date as Date

MONTHS = (
    "january", "february", "march", "april", "may", "june",
    "july", "august", "september", "october", "november", "december",
)  # fmt: skip

_ISO = re.compile(r"(\d{4})-(\d{1,2})-(\d{1,2})(?:[t ]00:00(?::00(?:\.0+)?)?)?")
_NUMBERS = re.compile(r"(\d{1,2})([./\- ]) ?(\d{1,2})\2 ?(\d{4})")
_DAY_FIRST = re.compile(r"(\d{1,2})(?:st|nd|rd|th)?[ .\-/]*(?:of )?([a-z]+)[ .,\-/]*(\d{4})")
_MONTH_FIRST = re.compile(r"([a-z]+)[ .\-/]*(\d{1,2})(?:st|nd|rd|th)?[ .,\-/]+(\d{4})")


def readings(value: object) -> tuple[Date, ...]:
    """Every day that a cell can mean: none when it is no date, two for 03/05/2016, day first before month first.

    Years have four digits; a number that is not formatted as a date is none.
    """
    if isinstance(value, Date):
        return (value,)
    text = " ".join(str(value).casefold().split())
    if match := _ISO.fullmatch(text):
        return _days((int(match[1]), int(match[2]), int(match[3])))
    if match := _NUMBERS.fullmatch(text):
        first, second, year = int(match[1]), int(match[3]), int(match[4])
        return _days((year, second, first), (year, first, second))
    if match := _DAY_FIRST.fullmatch(text):
        return _days((int(match[3]), _month(match[2]), int(match[1])))
    if match := _MONTH_FIRST.fullmatch(text):
        return _days((int(match[3]), _month(match[1]), int(match[2])))
    return ()


def long_date(day: Date) -> str:
    """3 May 2016."""
    return f"{day.day} {MONTHS[day.month - 1].title()} {day.year}"


def _month(word: str) -> int:
    """1 to 12 for a name or its first three letters or more, 0 for another word."""
    alike = [number for number, name in enumerate(MONTHS, 1) if len(word) >= 3 and name.startswith(word)]
    return 9 if word == "sept" else alike[0] if alike else 0


def _days(*parts: tuple[int, int, int]) -> tuple[Date, ...]:
    found = []
    for year, month, day in parts:
        try:
            found.append(Date(year, month, day))
        except ValueError:
            continue
    return tuple(dict.fromkeys(found))
