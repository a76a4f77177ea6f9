"""What single cells say: texts cleaned, lists split, yes and no, numbers, times."""

import re
import unicodedata
from datetime import date as Date
from datetime import time

from tourney.intake.nearest import key
from tourney.model.table_columns import LIST_SEPARATOR

Value = str | int | float | bool | Date | time

# Marks that turn the direction of everything behind them, and blanks of no width: never part of a name.
_UNSEEN = dict.fromkeys((0x200B, 0x200E, 0x200F, 0xFEFF, *range(0x202A, 0x202F), *range(0x2066, 0x206A)))
_TIME = re.compile(r"([01]?\d|2[0-3])[:.]([0-5]\d)(?::00)?")
_YES, _NO = ("yes", "y", "true", "1"), ("no", "n", "false", "0")


def clean(text: str) -> str:
    """A text without control characters and with single blanks; NFC, so that equal letters are equal."""
    shown = "".join(" " if unicodedata.category(letter) == "Cc" else letter for letter in text.translate(_UNSEEN))
    return unicodedata.normalize("NFC", " ".join(shown.split()))


def as_text(value: Value) -> str:
    """A cell as somebody reads it."""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, time):
        return value.strftime("%H:%M")
    return value.isoformat() if isinstance(value, Date) else str(value)


def as_list(value: Value, separator: str = LIST_SEPARATOR) -> tuple[str, ...]:
    """The parts of a list, empty ones left out, each once."""
    return tuple(dict.fromkeys(part.strip() for part in as_text(value).split(separator) if part.strip()))


def as_yes_no(value: Value) -> bool | None:
    """True, False, or None for another word."""
    word = key(as_text(value))
    return True if word in _YES else False if word in _NO else None


def as_whole(value: Value) -> int | None:
    """A whole number, or None."""
    if isinstance(value, int) and not isinstance(value, bool):
        return value
    text = as_text(value)
    return int(text) if re.fullmatch(r"-?\d{1,6}", text) else None


def as_clock(value: Value) -> str | None:
    """A time of the 24-hour clock as "HH:MM", or None when it is none."""
    match = _TIME.fullmatch(as_text(value))
    return f"{int(match[1]):02}:{match[2]}" if match else None
