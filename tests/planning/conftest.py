"""Invented events of any size."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date
from random import Random
from typing import Any

import pytest

from tourney.model.event import Event
from tourney.model.people import Contestant, EnteredOfficial, EnteredTeam, Official, Roster
from tourney.planning.roster import enrol

CLUBS = (
    "Amberfield", "Birchmoor", "Coldspring", "Dunwick", "Elderhythe", "Fernholt", "Gorsedale",
    "Hazelmere", "Ivybridge", "Juniper", "Kestrelby", "Larkhill", "Mosswater", "Nettlecombe",
)  # fmt: skip


def make_event(divisions: Sequence[dict[str, Any]], rooms: int = 6, **more: Any) -> Event:
    """An event of so many rooms; each division needs its name, all other keys have defaults."""
    return Event(
        name="Bramble Day",
        rooms=[{"name": f"Room {chr(65 + number)}"} for number in range(rooms)],
        divisions=[{"ages": (8, 10), **division} for division in divisions],
        **{"date": date(2027, 4, 17), "timezone": "America/Halifax", "draw_words": "an owl and two lanterns", **more},
    )


def make_roster(event: Event, teams: dict[str, int], officials: int, clubs: int = 14, tied: float = 0.7) -> Roster:
    """Teams of three and four children, clubs in turn, and officials of whom that share is tied to a club."""
    random = Random(7)
    entered, number = [], 0
    for division, count in teams.items():
        for _ in range(count):
            club = CLUBS[number % clubs]
            members = tuple(Contestant("", f"Child {number} {seat}") for seat in range(3 + number % 2))
            entered.append(EnteredTeam(f"{club} {number}", club, division, members))
            number += 1
    helpers = [
        EnteredOfficial(
            Official("", f"Helper {n}", clubs=(CLUBS[random.randrange(clubs)],) if random.random() < tied else ())
        )
        for n in range(officials)
    ]
    return enrol(entered, helpers, event, None)


@dataclass(frozen=True)
class Makers:
    """What tests make their events with."""

    event: Callable[..., Event]
    roster: Callable[..., Roster]


@pytest.fixture(scope="session")
def make() -> Makers:
    return Makers(make_event, make_roster)
