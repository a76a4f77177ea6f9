"""What rulings come to, where one follows on another."""

from datetime import date

from tourney.model.decisions import decided
from tourney.model.event import Division, Event, Room
from tourney.model.plan import DrawRecord, Plan
from tourney.model.ruling import DrillOff

EVENT = Event(
    name="A day",
    date=date(2027, 4, 17),
    rooms=(Room(name="Loft"),),
    divisions=(Division(name="Junior", ages=(8, 10)),),
)
PLAN = Plan(1, EVENT, DrawRecord("", "", ""), (), {}, (), (), (), (), (), ())


def test_each_heat_and_each_reading_has_drill_offs_of_its_own() -> None:
    rulings = (
        DrillOff((("A", 4), ("B", 4)), "J-F1-1"),
        DrillOff((("A", 2), ("B", 1))),
        DrillOff((("A", 7), ("B", 8)), "J-F1-1", 2),
        DrillOff((("A", 9), ("B", 8)), "J-F1-1", 2),  # typed again
    )
    assert decided(rulings, PLAN).drill_offs == {
        ("J-F1-1", "A", 1): 4,
        ("J-F1-1", "B", 1): 4,
        ("", "A", 1): 2,
        ("", "B", 1): 1,
        ("J-F1-1", "A", 2): 9,
        ("J-F1-1", "B", 2): 8,
    }
