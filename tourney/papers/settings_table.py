"""The rules by which a day was run, as rows of a table."""

from collections.abc import Iterator
from dataclasses import replace

from tourney.model.event import Band, Division, Event, Pause, Room, Table
from tourney.model.settings_layout import Key, cell_value, keys_of
from tourney.papers.cells import Content
from tourney.papers.table_sheet import BODY, Field

SETTINGS_FIELDS = (
    Field("Of", 40, replace(BODY, bold=True)),
    Field("Key", 42),
    Field("Value", 75),
    Field("Meaning", 95, replace(BODY, ink="595959")),
)
_HEAD = "the day"


def settings_rows(event: Event) -> Iterator[tuple[Content, ...]]:
    """Every key with its value and its meaning, for the day, each pause, room, division and band."""
    yield from _rows(_HEAD, event, tuple(key for key in keys_of(Event) if key.name != "answers"))
    for pause in event.day.pauses:
        yield from _rows(f"pause {pause.label}", pause, keys_of(Pause))
    for room in event.rooms:
        yield from _rows(f"room {room.name}", room, keys_of(Room))
    for division in event.divisions:
        yield from _rows(division.name, division, keys_of(Division))
        for band in division.bands:
            yield from _rows(f"{division.name}, band {band.label}", band, keys_of(Band))


def _rows(of: str, table: Table, keys: tuple[Key, ...]) -> Iterator[tuple[Content, ...]]:
    values = table.model_dump(by_alias=True)
    for key in keys:
        value = values
        for part in key.name.split("."):
            value = value[part]
        yield of, key.name, str(cell_value(value)), key.meaning
