"""A small planned day and its sheets, for the journal and its fold."""

from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, date, datetime
from typing import Any

import pytest

from tourney.model.calls import Call, CallBook, CallSet
from tourney.model.event import Division, Event, Room
from tourney.model.people import Contestant, Roster, Team
from tourney.model.plan import DrawRecord, Heat, Plan, SealedSet, Wave
from tourney.model.sheet import FilledSheet
from tourney.model.sheet_layout import sheet_code

LINE = ("J01-1", "J01-2", "J02-1")


@pytest.fixture
def book() -> CallBook:
    call = Call(1, "book", "MIC", "minor_prophets", 2.9, "Micah", ("Jonah", "Micah", "Nahum"))
    return CallBook((CallSet("J-W01", "Junior", "rotation", 1, 1, 10, (call,)),))


@pytest.fixture
def roster() -> Roster:
    teams = (
        Team("J01", "Larks", "Sandpiper Lane", "Junior", LINE[:2]),
        Team("J02", "Wrens", "Mill Brook", "Junior", LINE[2:]),
    )
    return Roster(teams, tuple(Contestant(key, f"Child {key}") for key in LINE), ())


@pytest.fixture
def plan(roster: Roster, book: CallBook) -> Plan:
    event = Event(
        name="Lantern day",
        date=date(2027, 4, 17),
        rooms=(Room(name="Hall"),),
        divisions=(Division(name="Junior", ages=(8, 10), calls=4),),
    )
    heat = Heat("J-R1-1", "Junior", 1, "W01", "Hall", "J-W01", ("J01", "J02"), ("O01", "O02"), "O04", None, LINE)
    waves = (Wave("W01", datetime(2027, 4, 17, 9, tzinfo=UTC), 15),)
    sealed = tuple(SealedSet(found.id, "Junior", "rotation", found.fingerprint()) for found in book.sets)
    draw = DrawRecord("words", "", "sha256:00")
    return Plan(1, event, draw, roster.teams, {"Junior": 1}, (), waves, (heat,), (), sealed, ())


@pytest.fixture
def sheet() -> Callable[..., FilledSheet]:
    """Makes a sheet of the first judge, with all four calls judged and nothing marked unless told otherwise."""
    clean = FilledSheet(sheet_code("J-R1-1", 1), "J-R1-1", 1, 1, "AB", LINE, (), (1, 2, 3, 4))

    def make(**changes: Any) -> FilledSheet:
        return replace(clean, code=sheet_code("J-R1-1", changes.get("judge", 1)), **changes)

    return make
