"""Which cell of event.xlsx is what: shared by the writer of the starter and by the reader.

One sheet a table of the settings, in three shapes. Titles and remarks may stand above a header row; the reader looks
for the header in the first HEADER_WITHIN rows. An empty cell means the default.

- "pairs": header `key | value | meaning`, one key a row.
- "rows": the header names the keys, one row a thing (a room, a pause, a band, an answer).
- "columns": header `key | meaning`, one key a row; each further column with anything in it is one division, whatever
  its header says.
"""

from dataclasses import dataclass
from datetime import date as Date
from types import UnionType
from typing import Any, Literal, Union, get_args, get_origin

from pydantic.fields import FieldInfo

from tourney.model.event import HEAD_KEYS, Answer, Band, Day, Division, Event, Pause, Room, Table

KEY, VALUE, MEANING = "key", "value", "meaning"
YES, NO = "yes", "no"
HEADER_WITHIN = 10  # rows from the top
OFFICIALS_SHEET = "officials"  # optional in event.xlsx; columns as in officials.csv
BAND_DIVISION = "division"  # column of the sheet `bands`; empty: the band is every division's

CellValue = str | int | float | Date


@dataclass(frozen=True, slots=True)
class Key:
    """One key of the settings. name: dotted for a table in a table, `points.late`. default: as a cell shows it.

    words: the words it may hold; closed: it holds one of them and nothing else. needed: it has no default.
    """

    name: str
    meaning: str
    default: CellValue = ""
    needed: bool = False
    words: tuple[str, ...] = ()
    closed: bool = False


@dataclass(frozen=True, slots=True)
class SettingsSheet:
    """One sheet of event.xlsx."""

    name: str
    shape: Literal["pairs", "rows", "columns"]
    keys: tuple[Key, ...]
    meaning: str


def keys_of(table: type[Table]) -> tuple[Key, ...]:
    """The keys of a table in their order, tables inside it flattened; lists of tables have sheets of their own."""
    return tuple(key for name, info in table.model_fields.items() for key in _keys(info.alias or name, info))


def cell_value(value: object) -> CellValue:
    """A setting as a cell shows it: lists with commas, zones as `1-6, 7-12`, weights as `law=2, paul=1`, yes or no.

    Nothing is an empty cell.
    """
    if value is None:
        return ""
    if isinstance(value, bool):
        return YES if value else NO
    if isinstance(value, dict):
        return ", ".join(f"{key}={weight}" for key, weight in value.items())
    if isinstance(value, tuple):
        return ", ".join("-".join(map(str, part)) if isinstance(part, tuple) else str(part) for part in value)
    return value if isinstance(value, int | float | Date) else str(value)


def _keys(name: str, info: FieldInfo) -> tuple[Key, ...]:
    kind = info.annotation
    if isinstance(kind, type) and issubclass(kind, Table):
        return tuple(
            Key(f"{name}.{key.name}", key.meaning, key.default, key.needed, key.words, key.closed)
            for key in keys_of(kind)
        )
    if get_origin(kind) is tuple and isinstance(get_args(kind)[0], type) and issubclass(get_args(kind)[0], Table):
        return ()
    needed = info.is_required()
    words = _words(kind)
    closed = kind is bool or get_origin(kind) is Literal
    return (Key(name, info.description or "", "" if needed else cell_value(info.default), needed, words, closed),)


def _words(kind: Any) -> tuple[str, ...]:
    if kind is bool:
        return (YES, NO)
    if get_origin(kind) is Literal:
        return tuple(str(word) for word in get_args(kind))
    if get_origin(kind) in (Union, UnionType, tuple):
        return tuple(word for part in get_args(kind) for word in _words(part))
    return ()


SHEETS = (
    SettingsSheet(
        "event",
        "pairs",
        tuple(key for key in keys_of(Event) if key.name in HEAD_KEYS),
        "what the day is called and when",
    ),
    SettingsSheet("day", "pairs", keys_of(Day), "the hall's day"),
    SettingsSheet("pauses", "rows", keys_of(Pause), "breaks of the whole hall, one a row"),
    SettingsSheet("rooms", "rows", keys_of(Room), "rooms, one a row"),
    SettingsSheet("divisions", "columns", keys_of(Division), "divisions, one a column"),
    SettingsSheet(
        "bands",
        "rows",
        (Key(BAND_DIVISION, "the division it is for; empty for all"), *keys_of(Band)),
        "awards by part of the points or by place, one a row; without this sheet the defaults hold",
    ),
    SettingsSheet("answers", "rows", keys_of(Answer), "answers to the questions of check, one a row"),
)
SHEET = {sheet.name: sheet for sheet in SHEETS}
