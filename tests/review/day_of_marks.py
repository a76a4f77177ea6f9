"""Calls as heard, made by hand: who stood where, and what each judge wrote."""

from datetime import date
from typing import Literal

from tourney.model.calls import Call
from tourney.model.event import Division, Event, Room
from tourney.model.heard import Heard, Word
from tourney.model.plan import Heat
from tourney.scoring.marks import points_of
from tourney.scoring.panel import joint

SECTIONS = ("law", "history")


def event(panel: Literal["median", "majority", "mean", "chief"] = "median", judges: int = 3) -> Event:
    division = Division(name="Junior", ages=(8, 10), panel=panel, judges=judges)
    return Event(name="Hand-made day", date=date(2027, 4, 17), rooms=(Room(name="Hall"),), divisions=(division,))


def heat(key: str, children: tuple[str, ...], judges: tuple[str, ...], round_: int = 1, room: str = "Hall") -> Heat:
    teams = tuple(dict.fromkeys(child.split("-")[0] for child in children))
    return Heat(key, "Junior", round_, f"W{round_}", room, key, teams, judges, "O99", None, children)


def heard(
    where: Heat, line: int, no: int, marks: tuple[Word | None, ...], item: str = "", *, asked: bool = False
) -> Heard:
    """One call; items G1, G2, ... are of the law, others of history."""
    item = item or f"G{no}"
    section = "law" if item.startswith("G") else "history"
    call = Call(no, "book", item, section, 2.0, f"Book {item}", ("a", "b", "c"))
    day = event(judges=len(where.judges))
    scale = day.divisions[0].points
    said = joint(marks, day.divisions[0].panel, scale)
    word = said.letters if said.settled and (said.letters or said.clean) else None
    given = tuple(None if mark is None else points_of(mark, scale) for mark in marks)
    child = where.line[line - 1]
    points = said.points if said.settled else None
    return Heard(where, line, child, child.split("-")[0], call, asked, word, points, marks, given)
