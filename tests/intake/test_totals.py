"""Tables of totals: every line is taken as it stands, or refused with what would be right."""

from collections.abc import Iterable
from datetime import UTC, date, datetime
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tourney.intake.returned import Returned, open_returned, read_returned
from tourney.model.event import Division, Event, Room
from tourney.model.people import Team
from tourney.model.plan import DrawRecord, Heat, Plan, Wave
from tourney.model.totals import HeatTotal, in_full

TEAMS = tuple(
    Team(f"J0{n}", name, "Mill Brook", "Junior", (f"J0{n}-1",)) for n, name in enumerate(("Larks", "Wrens", "Rooks"), 1)
)


def heat(name: str, *teams: str) -> Heat:
    line = tuple(f"{team}-1" for team in teams)
    return Heat(name, "Junior", 1, "W01", "Hall", "J-W01", teams, ("O01",), "O04", None, line)


EVENT = Event(
    name="Lantern day",
    date=date(2027, 4, 17),
    rooms=(Room(name="Hall"),),
    divisions=(Division(name="Junior", ages=(8, 10), calls=4, squad=4, counting=3),),
)
PLAN = Plan(
    1,
    EVENT,
    DrawRecord("words", "", "sha256:00"),
    TEAMS,
    {},
    (),
    (Wave("W01", datetime(2027, 4, 17, 9, tzinfo=UTC), 15),),
    (heat("J-R1-1", "J01", "J02"), heat("J-R1-2", "J03")),
    (),
    (),
    (),
)  # 3 counting, 4 calls of 10 points: 120 at most


def read(text: str, code: str = "utf-8") -> Returned:
    return read_returned("returned/totals.csv", open_returned(text.encode(code)), PLAN, {})


def refused(found: Returned) -> list[tuple[str, str]]:
    assert all((one.file, one.state) == ("returned/totals.csv", "refused") for one in found.readings)
    return [(note.where, note.message) for one in found.readings for note in one.notes]


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ("heat,team,points\nJ-R1-1,J01,64\nJ-R1-1,J02,62.5\n", "utf-8"),
        ("Heat;Team;Points;kept by\r\nj-r1-1; larks ;64;AB\r\n\r\nJ-R1-1;J02;62,5;AB\r\n", "utf-8-sig"),
        ("our room\n\npoints\tteam\theat\n64\tJ01\tJ-R1-1\n62.500\twrens\tJ-R1-1", "utf-16"),
    ],
)
def test_totals_as_programs_write_them(text: str, code: str) -> None:
    found = read(text, code)
    assert refused(found) == []
    assert found.totals == (HeatTotal("J-R1-1", "J01", Fraction(64)), HeatTotal("J-R1-1", "J02", Fraction(125, 2)))


@pytest.mark.parametrize(
    ("line", "says"),
    [
        ("J-R9-1,J01,10", 'The plan has no heat "J-R9-1". The nearest is "J-R1-1".'),
        ("J-R1-1,J03,10", 'No team "J03" stands in heat J-R1-1: write J01 or J02.'),
        ("J-R1-1,J01,121", "121 is more than the 120 points that a team can make in heat J-R1-1."),
        ("J-R1-1,J01,-4", '"-4" is no number of points. Write one such as 128 or 62.5.'),
        ("J-R1-1,J01,6O", '"6O" is no number of points. Write one such as 128 or 62.5.'),
        ("J-R1-1,J01,", "Points is empty. Fill in all three."),
        ("J-R1-1", "Team and points are empty. Fill in all three."),
    ],
)
def test_a_wrong_line_is_named_and_the_others_are_taken(line: str, says: str) -> None:
    found = read(f"heat,team,points\nJ-R1-2,J03,80\n{line}\n")
    assert refused(found) == [("line 3", says)]
    assert found.totals == (HeatTotal("J-R1-2", "J03", Fraction(80)),)


def test_two_totals_of_one_team_in_one_heat_are_both_refused() -> None:
    found = read("heat,team,points\nJ-R1-1,J01,80\nJ-R1-1,J02,70\nJ-R1-1,Larks,90\nJ-R1-1,J02,70.0\n")
    assert found.totals == (HeatTotal("J-R1-1", "J02", Fraction(70)),)
    assert [where for where, _ in refused(found)] == ["line 2", "line 4"]


def test_another_table_is_no_table_of_totals() -> None:
    assert "There is no score sheet in this file" in refused(read("heat,team\nJ-R1-1,J01\n"))[0][1]


@given(st.text(max_size=60), st.sampled_from(["", "heat,team,points\n", "heat;team;points\n"]))
def test_no_text_breaks_it(text: str, header: str) -> None:
    found = read(header + text, "utf-8" if text.isascii() else "utf-16")
    assert all(total.heat in PLAN.heat and 0 <= total.points <= 120 for total in found.totals)


@pytest.mark.parametrize(("kept", "full"), [((), []), (("J01",), []), (("J01", "J02"), ["J-R1-1"])])
def test_a_heat_counts_once_all_its_teams_have_a_total(kept: Iterable[str], full: list[str]) -> None:
    assert list(in_full(PLAN, [HeatTotal("J-R1-1", team, Fraction(1)) for team in kept])) == full
