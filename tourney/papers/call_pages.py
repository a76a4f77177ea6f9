"""Calls that belong to no heat of the plan: drill-offs, and practice before the first wave."""

from dataclasses import dataclass

from tourney.canon.syllabus import Syllabus
from tourney.model.calls import CallBook, CallSet, Use
from tourney.papers.scripts import CALLS_A_PAGE, ReserveCall, ScriptCall, reserve_call, script_call
from tourney.papers.stamp import short_mark
from tourney.papers.views import DivisionLabel, Hall


@dataclass(frozen=True, slots=True)
class SpareSet:
    """A set that is read when it is asked for. mark: the first characters of its fingerprint."""

    id: str
    seconds: int
    mark: str
    calls: tuple[ScriptCall, ...]
    reserves: tuple[ReserveCall, ...]


@dataclass(frozen=True, slots=True)
class DivisionSets:
    """One division's sets for one use, in the order in which they are read."""

    division: DivisionLabel
    sets: tuple[SpareSet, ...]


def drill_offs(hall: Hall, book: CallBook, syllabus: Syllabus) -> tuple[DivisionSets, ...]:
    """Every division that has sets for drill-offs."""
    return _of_use(hall, book, syllabus, "drill_off")


def practice(hall: Hall, book: CallBook, syllabus: Syllabus) -> tuple[DivisionSets, ...]:
    """Every division that has a practice set; no more calls than one page holds."""
    return _of_use(hall, book, syllabus, "practice")


def _of_use(hall: Hall, book: CallBook, syllabus: Syllabus, use: Use) -> tuple[DivisionSets, ...]:
    found = []
    for label in hall.divisions.values():
        sets = [calls for calls in book.sets if calls.division == label.name and calls.use == use]
        if sets:
            found.append(DivisionSets(label, tuple(_spare(calls, syllabus) for calls in sets)))
    return tuple(found)


def _spare(calls: CallSet, syllabus: Syllabus) -> SpareSet:
    return SpareSet(
        calls.id,
        calls.seconds,
        short_mark(calls.fingerprint()),
        tuple(script_call(call) for call in calls.calls[:CALLS_A_PAGE]),
        tuple(reserve_call(call, calls, syllabus) for call in calls.reserves),
    )
