"""Published tables as rotations: sound ones are told from a faulty one by counting alone."""

from datetime import date, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest

from tourney.draw import digest
from tourney.model.calls import Use
from tourney.model.event import Division, Event, Room
from tourney.model.people import Team
from tourney.model.plan import DrawRecord, Heat, Plan, SealedSet, Wave
from tourney.verify.figures import figure_lines
from tourney.verify.line import Line

# Kirkman's fifteen: seven days, five rows of three, every two walk together once. liquisearch.com, a copy of the
# encyclopaedia's article on Kirkman's schoolgirl problem.
KIRKMAN = """
1-6-11 2-7-12 3-8-13 4-9-14 5-10-15 | 1-2-5 3-4-7 8-9-12 10-11-14 13-15-6 | 2-3-6 4-5-8 9-10-13 11-12-15 14-1-7
| 5-6-9 7-8-11 12-13-1 14-15-3 2-4-10 | 3-5-11 4-6-12 7-9-15 8-10-1 13-14-2 | 5-7-13 6-8-14 9-11-2 10-12-3 15-1-4
| 11-13-4 12-14-5 15-2-8 1-3-9 6-7-10
"""
# A solution as it stands at everything2.com ("How Reverend Kirkman positioned the schoolgirls"): it has a slip.
FAULTY = """
a-b-c d-h-l e-j-n f-i-o g-k-m | a-d-e b-i-k c-m-o f-h-n g-j-l | a-f-g b-h-j c-l-n d-i-m e-k-o
| a-h-i b-e-g c-m-n d-j-o f-k-l | a-j-k c-d-f b-l-o e-h-m g-i-n | a-l-m b-e-f c-i-j d-k-n g-h-o
| a-n-o b-d-g c-h-k e-i-l f-j-m
"""
# AG(2,3), nine points in four parallel classes: galois 0.4.11, and for three classes the social golfer literature.
NINE = "1-2-3 4-5-6 7-8-9 | 1-4-7 2-5-8 3-6-9 | 1-5-9 2-6-7 3-4-8 | 1-6-8 2-4-9 3-5-7"


def rotation(table: str) -> Plan:
    """A plan with a heat for each group and a wave for each round; nothing of it but the meetings is meant."""
    rounds = [[group.split("-") for group in column.split()] for column in table.split("|")]
    keys = sorted({key for groups in rounds for group in groups for key in group})
    start = datetime(2027, 4, 17, 9, tzinfo=ZoneInfo("UTC"))
    rooms = [f"Room {place}" for place in range(len(rounds[0]))]
    use: Use = "rotation"
    return Plan(
        revision=1,
        event=Event(
            name="Fifteen in rows of three",
            date=date(2027, 4, 17),
            rooms=tuple(Room(name=room) for room in rooms),
            divisions=(Division(name="Open", ages=(8, 10), teams_per_heat=3, rounds=len(rounds)),),
        ),
        draw=DrawRecord("", digest(""), digest("")),
        teams=tuple(Team(key, f"Team {key}", f"Club {key}", "Open", (f"{key}-1",)) for key in keys),
        drawn_rounds={"Open": len(rounds)},
        officials=(),
        waves=tuple(Wave(f"W{n}", start + timedelta(minutes=20 * n), 15) for n in range(len(rounds))),
        heats=tuple(
            Heat(f"R{n}-{room}", "Open", n + 1, f"W{n}", room, f"S{n}", tuple(group), ("O1",), "O2", None, ())
            for n, groups in enumerate(rounds)
            for room, group in zip(rooms, groups, strict=True)
        ),
        byes=(),
        call_sets=tuple(SealedSet(f"S{n}", "Open", use, "") for n in range(len(rounds))),
        fairness=(),
    )


def figures(table: str) -> dict[str, Line]:
    return {line.name: line for line in figure_lines(rotation(table))}


@pytest.mark.parametrize(("table", "meetings"), [(KIRKMAN, 105), (NINE, 36)])
def test_sound_tables_have_no_repeat(table: str, meetings: int) -> None:
    """Every pair meets once, 105 pairs of fifteen and 36 of nine: nothing is repeated, and nothing could be better."""
    assert sum(len(heat.teams) * (len(heat.teams) - 1) // 2 for heat in rotation(table).heats) == meetings
    found = figures(table)
    for name, value in (("meetings_repeated", 0), ("meetings_of_one_pair", 1), ("meetings_within_a_club", 0)):
        assert (found[name].measured, found[name].bound, found[name].status) == (value, value, "kept")


def test_a_faulty_published_table_is_rejected() -> None:
    """It covers 101 of the 105 pairs: four meetings are repeats, and none had to be."""
    found = figures(FAULTY)
    line = found["meetings_repeated"]
    assert (line.measured, line.bound, line.status) == (4, 0, "noted")
    assert (found["meetings_of_one_pair"].measured, found["meetings_of_one_pair"].status) == (2, "noted")
