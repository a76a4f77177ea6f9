"""What a caller reads aloud: the calls of one heat, page by page, with the answers beside them."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import TypeVar

from tourney.canon.syllabus import Syllabus
from tourney.model.calls import Call, CallBook, CallSet
from tourney.model.plan import DrillOffHeat, Heat
from tourney.papers.stamp import short_mark
from tourney.papers.tasks import task
from tourney.papers.views import Hall, HeatView
from tourney.scoring.drilled import SETS

CALLS_A_PAGE = 8
Line = TypeVar("Line")


@dataclass(frozen=True, slots=True)
class ScriptCall:
    """One call as it stands in the script. speaker: line number, None where nobody is named. task: see `tasks`."""

    no: int
    say: str
    answer: tuple[str, ...]
    also: tuple[str, ...]
    speaker: int | None
    task: str

    @property
    def shown(self) -> str:
        """What to say, a number at its head kept beside what it numbers: no line ends after the 1 of a name."""
        head, _, rest = self.say.partition(" ")
        return f"{head}\N{NO-BREAK SPACE}{rest}" if rest and head.isdecimal() else self.say

    @property
    def numbered(self) -> bool:
        """Whether it begins with a number."""
        return self.shown != self.say


@dataclass(frozen=True, slots=True)
class ReserveCall:
    """A spare call. replaces: the calls like it, for one of which it may be read."""

    call: ScriptCall
    section: str
    replaces: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class OwnSignal:
    """A time signal of their own for some line numbers, in seconds after the cue."""

    seconds: int
    lines: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Script:
    """One heat's envelope. pages: at most CALLS_A_PAGE calls each. mark: the call set's, as on the score sheets.

    decides: of a drill-off, what its points decide; empty for every other heat.
    """

    heat: HeatView
    caller: str
    seconds: int
    own_signals: tuple[OwnSignal, ...]
    mark: str
    pages: tuple[tuple[ScriptCall, ...], ...]
    reserve_pages: tuple[tuple[ReserveCall, ...], ...]
    decides: str = ""


def scripts(hall: Hall, book: CallBook, syllabus: Syllabus) -> dict[str, tuple[Script, ...]]:
    """Room -> its scripts in wave order."""
    rooms: dict[str, list[Script]] = {}
    for view in hall.heats.values():
        heat = hall.plan.heat[view.id]
        rooms.setdefault(view.room, []).append(_script(hall, view, heat, book, syllabus))
    return {room: tuple(found) for room, found in rooms.items()}


def _script(hall: Hall, view: HeatView, heat: Heat, book: CallBook, syllabus: Syllabus) -> Script:
    calls = book.set[heat.call_set]
    speakers = book.speakers_of.get(heat.id, (None,) * len(calls.calls))
    sealed = next(found.fingerprint for found in hall.plan.call_sets if found.id == heat.call_set)
    numbered = [script_call(call, speaker) for call, speaker in zip(calls.calls, speakers, strict=True)]
    return Script(
        view,
        hall.plan.official[heat.caller].name,
        calls.seconds,
        own_signals(hall, heat, calls.seconds),
        short_mark(sealed),
        tuple(call_pages(numbered)),
        tuple(call_pages([reserve_call(call, calls, syllabus) for call in calls.reserves])),
        next((_decides(one) for one in hall.plan.drill_offs if one.heat == heat.id), ""),
    )


def _decides(one: DrillOffHeat) -> str:
    who = "The points of this set decide, and nothing that was scored before."
    if one.reading < SETS:
        return (
            f"{who} Who is still level hears set {one.reading + 1} of {SETS}; the others keep the place they have won."
        )
    return f"{who} Who is level now shares an award; for a place in the next heat they read on, call by call."


def own_signals(hall: Hall, heat: Heat, seconds: int) -> tuple[OwnSignal, ...]:
    """Who in the line has other seconds than the rest, shortest first. Never why."""
    lines: dict[int, list[int]] = {}
    for line, child in enumerate(heat.line, 1):
        own = hall.roster.contestant[child].seconds
        if own is not None and own != seconds:
            lines.setdefault(own, []).append(line)
    return tuple(OwnSignal(own, tuple(lines[own])) for own in sorted(lines))


def script_call(call: Call, speaker: int | None = None) -> ScriptCall:
    """A call as scripts show it."""
    return ScriptCall(call.no, call.say, call.answer, call.also, speaker, task(call.kind))


def reserve_call(call: Call, calls: CallSet, syllabus: Syllabus) -> ReserveCall:
    """A reserve call of a set, with the calls that it may replace."""
    return ReserveCall(script_call(call), syllabus.section_name(call.section), calls.replaceable(call))


def call_pages(calls: list[Line]) -> Iterator[tuple[Line, ...]]:
    """Calls as they are shared out over the pages of a script."""
    for start in range(0, len(calls), CALLS_A_PAGE):
        yield tuple(calls[start : start + CALLS_A_PAGE])
