"""Invented days of any size: teams in fours over eight rounds, four waves a round, as many rooms as that needs."""

from datetime import date

from tourney.model.event import Event
from tourney.model.people import Contestant, EnteredOfficial, EnteredTeam, Official, Roster
from tourney.planning.roster import enrol

PER_HEAT, ROUNDS, WAVES, CLUB = 4, 8, 4, 4
SEATS = 5  # three judges, a caller, a timekeeper
SPARE = 1.1  # officials for each seat of a wave


def large_day(teams: int) -> tuple[Event, Roster]:
    """The event and its people, all names numbers. Clubs enter four teams; every other official has a tie to one."""
    rooms = -(-teams // (PER_HEAT * WAVES))
    event = Event(
        name=f"A day of {teams} teams",
        date=date(2027, 4, 17),
        timezone="UTC",
        start="07:00",
        draw_words="a benchmark",
        rooms=[{"name": f"Room {n}", "line_limit": 16} for n in range(rooms)],
        divisions=[{"name": "Open", "ages": (8, 10), "rounds": ROUNDS, "teams_per_heat": PER_HEAT}],
    )
    entered = [
        EnteredTeam(
            f"Team {n}",
            f"Club {n // CLUB}",
            "Open",
            tuple(Contestant("", f"Child {n} {seat}") for seat in range(4)),
        )
        for n in range(teams)
    ]
    clubs = -(-teams // CLUB)
    helpers = [
        EnteredOfficial(Official("", f"Helper {n}", clubs=(f"Club {n % clubs}",) if n % 2 else ()))
        for n in range(round(rooms * SEATS * SPARE) + 2)
    ]
    return event, enrol(entered, helpers, event, None)
