"""Calls that belong to no heat of the plan: drill-offs, finals and reserve sets, practice before the first wave."""

from dataclasses import dataclass, replace

from tourney.canon.syllabus import Syllabus
from tourney.model.calls import CallBook, CallSet, Use
from tourney.papers.scripts import ReserveCall, ScriptCall, call_pages, reserve_call, script_call
from tourney.papers.stamp import short_mark
from tourney.papers.views import DivisionLabel, Hall


@dataclass(frozen=True, slots=True)
class SpareSet:
    """A set that is read when it is asked for. mark: the first characters of its fingerprint."""

    id: str
    seconds: int
    mark: str
    pages: tuple[tuple[ScriptCall, ...], ...]
    reserve_pages: tuple[tuple[ReserveCall, ...], ...]

    @property
    def calls(self) -> tuple[ScriptCall, ...]:
        """Those of the first page, which are all of a short set."""
        return self.pages[0]

    @property
    def reserves(self) -> tuple[ReserveCall, ...]:
        """Those of the first page, which are all of a short set."""
        return self.reserve_pages[0] if self.reserve_pages else ()


@dataclass(frozen=True, slots=True)
class DivisionSets:
    """One division's sets for one use, in the order in which they are read."""

    division: DivisionLabel
    sets: tuple[SpareSet, ...]


def drill_offs(hall: Hall, book: CallBook, syllabus: Syllabus) -> tuple[DivisionSets, ...]:
    """Every division that has sets for drill-offs."""
    return _of_use(hall, book, syllabus, "drill_off")


def whole_sets(hall: Hall, book: CallBook, syllabus: Syllabus) -> dict[Use, tuple[DivisionSets, ...]]:
    """Sets as long as a heat's that no heat of the plan hears yet: for finals, and in reserve."""
    used = {heat.call_set for heat in hall.plan.heats}
    free = replace(book, sets=tuple(calls for calls in book.sets if calls.id not in used))
    uses: tuple[Use, ...] = ("final", "reserve")
    return {use: _of_use(hall, free, syllabus, use) for use in uses}


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
        tuple(call_pages([script_call(call) for call in calls.calls])),
        tuple(call_pages([reserve_call(call, calls, syllabus) for call in calls.reserves])),
    )
