"""What the rulings of a day amount to, as whoever scores and prints needs it."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from datetime import datetime

from tourney.model.calls import Call, CallSet
from tourney.model.plan import Heat, Plan
from tourney.model.ruling import (
    Correct,
    CountVersion,
    Disqualify,
    DrillOff,
    Letters,
    LostSheet,
    NoShow,
    Reopen,
    Ruling,
    SettleCall,
    Started,
    Substitute,
    Swap,
    Void,
    Withdraw,
)

Cell = tuple[str, int, int]  # code of a sheet or id of a heat, line, call


@dataclass(frozen=True)
class Decisions:
    """Rulings in force, by what they are about; the last one about a thing counts.

    corrected: cells of sheets (by code). settled: the panel's word on a cell (by heat). lost: codes of lost sheets.
    void: (heat, call) -> its ruling. lines: heat -> who stood there, where that is not as planned.
    absent: (heat, contestant). disqualified: contestants and teams. started: wave -> "HH:MM".
    drill_offs: (heat of the finals, or "", team, reading from 1) -> points that were typed for it; see
    `scoring.drilled` for those on sheets. withdrawn: teams that go on in no finals.
    """

    corrected: Mapping[Cell, Letters] = field(default_factory=dict)
    settled: Mapping[Cell, Letters] = field(default_factory=dict)
    lost: frozenset[str] = frozenset()
    void: Mapping[tuple[str, int], Void] = field(default_factory=dict)
    lines: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    absent: frozenset[tuple[str, str]] = frozenset()
    disqualified: frozenset[str] = frozenset()
    started: Mapping[str, str] = field(default_factory=dict)
    drill_offs: Mapping[tuple[str, str, int], int] = field(default_factory=dict)
    withdrawn: frozenset[str] = frozenset()

    def as_stood(self, heat: Heat) -> Heat:
        """A heat with the contestants who really stood in its line."""
        return replace(heat, line=self.lines[heat.id]) if heat.id in self.lines else heat

    def heard(self, heat: str, calls: CallSet) -> tuple[Call, ...]:
        """The calls of a heat that count: reserve calls under the numbers that they replaced, void ones left out."""
        found = []
        for call in calls.calls:
            ruling = self.void.get((heat, call.no))
            if ruling is None:
                found.append(call)
            elif ruling.reserve is not None:
                found.append(replace(calls.reserves[ruling.reserve - 1], no=call.no))
        return tuple(found)


NO_DECISIONS = Decisions()


def decided(rulings: Iterable[Ruling], plan: Plan) -> Decisions:
    """What these rulings, in their order, come to. What no longer fits the plan's heats is passed over."""
    corrected: dict[Cell, Letters] = {}
    settled: dict[Cell, Letters] = {}
    lost: set[str] = set()
    void: dict[tuple[str, int], Void] = {}
    lines: dict[str, tuple[str, ...]] = {}
    absent: set[tuple[str, str]] = set()
    disqualified: set[str] = set()
    started: dict[str, str] = {}
    drill_offs: dict[tuple[str, str, int], int] = {}
    withdrawn: set[str] = set()
    for ruling in rulings:
        match ruling:
            case Correct():
                corrected[ruling.code, ruling.line, ruling.call] = ruling.letters
            case SettleCall():
                settled[ruling.heat, ruling.line, ruling.call] = ruling.letters
            case LostSheet():
                lost.add(ruling.code)
            case Void():
                void |= {(heat, ruling.call): ruling for heat in ruling.heats}
            case Swap() | Substitute():
                heat = plan.heat.get(ruling.heat)
                line = lines.get(ruling.heat, heat.line if heat else ())
                lines[ruling.heat] = _changed(line, ruling)
            case NoShow():
                team = plan.team.get(ruling.who)
                absent |= {
                    (heat, child) for heat in ruling.heats for child in (team.members if team else (ruling.who,))
                }
            case Disqualify():
                disqualified.add(ruling.who)
            case Started():
                started[ruling.wave] = ruling.at
            case DrillOff():
                drill_offs |= {(ruling.heat, team, ruling.reading): points for team, points in ruling.points}
            case Withdraw():
                withdrawn.add(ruling.who)
            case CountVersion() | Reopen():
                pass  # both are about rows of the record, and dealt with where these are folded
    return Decisions(
        corrected,
        settled,
        frozenset(lost),
        void,
        lines,
        frozenset(absent),
        frozenset(disqualified),
        started,
        drill_offs,
        frozenset(withdrawn),
    )


def _changed(line: tuple[str, ...], ruling: Swap | Substitute) -> tuple[str, ...]:
    stood = list(line)
    if isinstance(ruling, Swap):
        if max(ruling.line, ruling.other) <= len(stood):
            one, other = ruling.line - 1, ruling.other - 1
            stood[one], stood[other] = stood[other], stood[one]
    elif ruling.line <= len(stood):
        stood[ruling.line - 1] = ruling.contestant
    return tuple(stood)


def minutes_behind(plan: Plan, started: Mapping[str, str]) -> int | None:
    """Minutes between the planned and the real start of the last wave that started; None before the first.

    Negative when it was early.
    """
    waves = [wave for wave in plan.waves if wave.id in started]
    if not waves:
        return None
    planned = waves[-1].start
    return round((clock_time(planned, started[waves[-1].id]) - planned).total_seconds() / 60)


def clock_time(day: datetime, text: str) -> datetime:
    """The time "HH:MM" on the date and in the zone of `day`. ValueError when it is no time."""
    hour, minute = text.split(":")
    return day.replace(hour=int(hour), minute=int(minute), second=0, microsecond=0)
