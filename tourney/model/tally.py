"""What a coach noted at practice: line by line, never part of a competition's record."""

from dataclasses import dataclass
from typing import Literal

FORMAT = "tourney-tally/1"
NotedMark = Literal["found", "L", "W", "S"]
MARKS: tuple[NotedMark, ...] = ("found", "L", "W", "S")


@dataclass(frozen=True, slots=True)
class Noted:
    """One call of one line at one practice. who: a contestant's id, empty where the page knew none.

    session: when the practice began, as the page wrote it; with set, call and line it tells two notes apart.
    """

    session: str
    set: str
    call: int
    item: str
    line: int
    who: str
    mark: NotedMark
