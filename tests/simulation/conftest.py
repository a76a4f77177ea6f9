"""A made-up day to rehearse: teams of four in heats of two, call sets of eight calls."""

from collections.abc import Callable
from datetime import UTC, date, datetime

import pytest

from tourney.model.calls import Call, CallBook, CallSet, Speakers
from tourney.model.event import Division, Event, Room
from tourney.model.people import Contestant, Official, Roster, Team
from tourney.model.plan import DrawRecord, Heat, Plan, PublicOfficial, SealedSet, Wave

Day = tuple[Plan, CallBook, Roster]


def day_to_rehearse(teams: int = 8, rounds: int = 4, judges: int = 3, panel: str = "median") -> Day:
    """`teams` teams; in every round the first meets another one, the rest follow around a ring."""
    ids = [f"T{n:02}" for n in range(teams)]
    entered = tuple(
        Team(key, f"Team {key}", f"Club {key[-1]}", "Junior", tuple(f"{key}-{n}" for n in range(1, 5))) for key in ids
    )
    children = tuple(Contestant(member, f"Kid {member}") for team in entered for member in team.members)
    officials = tuple(Official(f"O{n}", f"Vera{n} Lund") for n in range(judges + 1))
    heats, sets = [], []
    for number in range(1, rounds + 1):
        ring = [ids[0], *ids[number:], *ids[1:number]]
        calls = tuple(Call(n, "book", f"B{n}", "law", 0.6 * n, f"Book {n}", ("a", "b", "c")) for n in range(1, 9))
        sets.append(CallSet(f"R{number}", "Junior", "rotation", number, number, 10, calls))
        for at in range(teams // 2):
            pair = (ring[at], ring[-1 - at])
            line = tuple(child for team in entered if team.id in pair for child in team.members)
            heats.append(
                Heat(
                    id=f"J-R{number}-{at + 1}",
                    division="Junior",
                    round=number,
                    wave=f"W{number}",
                    room=f"Room {at}",
                    call_set=f"R{number}",
                    teams=pair,
                    judges=tuple(f"O{n}" for n in range(judges)),
                    caller=f"O{judges}",
                    timekeeper=None,
                    line=line,
                )
            )
    division = Division.model_validate({"name": "Junior", "ages": (8, 10), "judges": judges, "panel": panel})
    plan = Plan(
        1,
        Event(name="A day", date=date(2027, 4, 17), rooms=(Room(name="Room 0"),), divisions=(division,)),
        DrawRecord("words", "sha256:0", "sha256:0"),
        entered,
        {"Junior": rounds},
        tuple(PublicOfficial.of(official) for official in officials),
        tuple(Wave(f"W{n}", datetime(2027, 4, 17, 8 + n, tzinfo=UTC), 15) for n in range(1, rounds + 1)),
        tuple(heats),
        (),
        tuple(SealedSet(one.id, one.division, one.use, one.fingerprint()) for one in sets),
        (),
    )
    speakers = tuple(Speakers(heat.id, tuple(range(1, 9))) for heat in heats)
    return plan, CallBook(tuple(sets), speakers), Roster(entered, children, officials)


@pytest.fixture
def make_day() -> Callable[..., Day]:
    """The function `day_to_rehearse`, for tests."""
    return day_to_rehearse
