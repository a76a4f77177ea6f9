"""Which set level teams hear next, and whether it is drawn."""

from datetime import date
from fractions import Fraction

import pytest

from tourney.finals.drill_offs import Tied, drawn_for, needless_drill_offs, next_reading, to_draw
from tourney.model.decisions import Decisions
from tourney.model.event import Division, Event, Room
from tourney.model.people import Team
from tourney.model.plan import DrawRecord, DrillOffHeat, Heat, Plan, SealedSet

EVENT = Event(
    name="A day",
    date=date(2027, 4, 17),
    rooms=(Room(name="Loft"),),
    divisions=(Division(name="Junior", ages=(8, 10)),),
)
TEAMS = tuple(Team(key, key, "A club", "Junior", ()) for key in ("J01", "J02", "J03"))
SETS = (SealedSet("J-DRILLOFF-1", "Junior", "drill_off", "sha256:0"),)
PLAN = Plan(1, EVENT, DrawRecord("", "", ""), TEAMS, {}, (), (), (), (), SETS, ())


def with_drill_offs(*held: tuple[DrillOffHeat, tuple[str, ...]]) -> Plan:
    heats = tuple(
        Heat(one.heat, "Junior", 0, "W01", "Loft", "J-DRILLOFF-1", teams, (), "", None, ()) for one, teams in held
    )
    return Plan(
        1, EVENT, DrawRecord("", "", ""), TEAMS, {}, (), (), heats, (), SETS, (),
        drill_offs=tuple(one for one, _ in held),
    )  # fmt: skip


def in_one_line(tie: Tied) -> tuple[tuple[str, ...], ...]:
    return (tie.teams,)


FIRST = (DrillOffHeat("J-D1", "", 1), ("J01", "J02"))


def test_ids_follow_what_left_teams_level() -> None:
    ties = [Tied("", ("J01", "J02")), Tied("J-F1-1", ("J01", "J02"), 1), Tied("J-F1-1", ("J02", "J03"))]
    found = to_draw(PLAN, ties, in_one_line)
    assert [one for _, _, one in found] == [
        DrillOffHeat("J-D1", "", 1),
        DrillOffHeat("J-F1-1-D1", "J-F1-1", 2),
        DrillOffHeat("J-F1-1-D2", "J-F1-1", 1),
    ]
    assert [(tie, teams) for tie, teams, _ in found] == [(tie, tie.teams) for tie in ties]


def test_a_set_is_drawn_once_and_for_those_who_are_level() -> None:
    plan = with_drill_offs(FIRST)
    assert drawn_for(plan, Tied("", ("J02", "J01"))) == ("J-D1",)
    assert drawn_for(plan, Tied("", ("J01", "J02", "J03"))) == drawn_for(plan, Tied("", ("J01",))) == ()
    assert not to_draw(plan, [Tied("", ("J01", "J02"))], in_one_line)
    assert [one.heat for *_, one in to_draw(plan, [Tied("", ("J01", "J02"), 1)], in_one_line)] == ["J-D2"]
    assert [one.heat for *_, one in to_draw(plan, [Tied("", ("J01", "J02", "J03"))], in_one_line)] == ["J-D2"]
    assert not to_draw(plan, [Tied("", ("J01", "J02"), 3)], in_one_line)  # all sets are read


def test_parts_that_stand_apart_are_drawn_together() -> None:
    """The newest heats that make up all of them count; where no line takes them nothing is drawn."""
    everyone = Tied("", ("J01", "J02", "J03"))
    found = to_draw(PLAN, [everyone], lambda _tie: (("J01", "J03"), ("J02",)))
    assert [(teams, one.heat) for _, teams, one in found] == [(("J01", "J03"), "J-D1"), (("J02",), "J-D2")]
    assert not to_draw(PLAN, [everyone], lambda _tie: ())
    parts = with_drill_offs(*((one, teams) for _, teams, one in found))
    assert drawn_for(parts, everyone) == ("J-D1", "J-D2")
    assert drawn_for(parts, Tied("", ("J01", "J02"))) == ()
    again = with_drill_offs(*((one, teams) for _, teams, one in found), (DrillOffHeat("J-D3", "", 1), everyone.teams))
    assert drawn_for(again, everyone) == ("J-D3",)


def test_a_drill_off_that_was_typed_is_not_waited_for() -> None:
    plan = with_drill_offs(FIRST)
    half = Decisions(drill_offs={("", "J01", 1): 20, ("", "J02", 2): 20})
    assert not needless_drill_offs(plan, half)
    assert needless_drill_offs(plan, Decisions(drill_offs={("", "J01", 1): 20, ("", "J02", 1): 20})) == {"J-D1"}


@pytest.mark.parametrize(
    ("held", "reading"),
    [
        ({}, 1),
        ({"J01": (9,)}, 1),
        ({"J01": (9,), "J02": (9,)}, 2),
        ({"J01": (9, 8), "J02": (9,)}, 2),
        ({"J01": (9, 8), "J02": (9, 7)}, 2),  # typed once more, in place of what separated them
        ({"J01": (9,), "J02": (8,)}, 1),
    ],
)
def test_points_are_typed_for_the_first_reading_that_leaves_no_tie(
    held: dict[str, tuple[int, ...]], reading: int
) -> None:
    made = {team: tuple(map(Fraction, points)) for team, points in held.items()}
    assert next_reading(("J01", "J02"), made) == reading
