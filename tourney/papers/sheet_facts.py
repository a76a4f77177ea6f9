"""What one score sheet says, in words, before it is laid out."""

from collections.abc import Iterator
from dataclasses import dataclass

from tourney.model.calls import CallBook
from tourney.model.event import Points
from tourney.model.people import Roster
from tourney.model.plan import Heat, Plan
from tourney.model.sheet_layout import SheetIdentity, Zone, event_mark, judge_letter, sheet_code
from tourney.papers.stamp import Stamp, short_mark
from tourney.papers.tasks import tasks
from tourney.papers.views import Hall


@dataclass(frozen=True, slots=True)
class Standing:
    """Who stands at one line number. seconds: only where they are not the division's."""

    contestant: str
    name: str
    team: str
    seconds: int | None


@dataclass(frozen=True, slots=True)
class SheetFacts:
    """All of one sheet. start: "09:00". speakers: line number asked, call by call; empty where nobody is drawn.

    occasion: the round, or the name of a heat of finals.
    tasks: what is answered to calls that are not of the usual kind, and which are not called. zone: the lines that this
    judge marks, None for all. large: is it printed large for this judge. copy: is it printed once more.
    """

    identity: SheetIdentity
    heat: Heat
    occasion: str
    start: str
    judge: str
    calls: int
    seconds: int
    call_mark: str
    line: tuple[Standing, ...]
    speakers: tuple[int, ...]
    tasks: tuple[str, ...]
    points: Points
    paper: str
    stamp: Stamp
    zone: Zone | None = None
    large: bool = False
    copy: bool = False

    @property
    def zone_words(self) -> tuple[str, ...]:
        """Which lines the judge marks; nothing where it is all of them."""
        if self.zone is None:
            return ()
        first, last = self.zone[0], min(self.zone[1], len(self.line))
        if first > last:
            return ("no line of this heat is yours",)
        return (f"you mark line {first} only" if first == last else f"you mark lines {first} to {last} only",)

    @property
    def title(self) -> str:
        """Title of the sheet's tab."""
        return f"{self.heat.wave} {self.heat.id} {judge_letter(self.identity.judge)}"


def facts_by_room(plan: Plan, book: CallBook, roster: Roster) -> dict[str, list[SheetFacts]]:
    """Room -> its sheets in wave order; rooms in the order of the settings."""
    order = {wave.id: place for place, wave in enumerate(plan.waves)}
    hall, stamp = Hall(plan, roster), Stamp.of(plan)
    rooms: dict[str, list[SheetFacts]] = {room.name: [] for room in plan.event.rooms}
    for heat in sorted(plan.heats, key=lambda heat: (order[heat.wave], heat.id)):
        rooms.setdefault(heat.room, []).extend(_sheets(heat, hall, book, stamp))
    return {room: sheets for room, sheets in rooms.items() if sheets}


def _sheets(heat: Heat, hall: Hall, book: CallBook, stamp: Stamp) -> Iterator[SheetFacts]:
    plan = hall.plan
    team_of = {child: plan.team[team].name for team in heat.teams for child in plan.team[team].members}
    call_set, division = book.set[heat.call_set], plan.event.division(heat.division)
    line = tuple(
        Standing(child, hall.names[child], team_of[child], _own_seconds(hall.roster, child, call_set.seconds))
        for child in heat.line
    )
    sealed = next(found.fingerprint for found in plan.call_sets if found.id == heat.call_set)
    for judge, official in enumerate(heat.judges, 1):
        code = sheet_code(heat.id, judge)
        yield SheetFacts(
            SheetIdentity(code, heat.id, judge, plan.revision, event_mark(plan.draw.secret)),
            heat,
            hall.heats[heat.id].occasion,
            hall.clock(plan.wave[heat.wave].start),
            plan.official[official].name,
            len(call_set.calls),
            call_set.seconds,
            short_mark(sealed),
            line,
            book.speakers_of.get(heat.id, ()),
            (*tasks(call.kind for call in call_set.calls), *_not_called(plan, heat)),
            division.points,
            plan.event.day.paper,
            stamp,
            division.zone(judge),
            hall.roster.official[official].large_print,
        )


def _not_called(plan: Plan, heat: Heat) -> Iterator[str]:
    """Calls that a shortened round leaves out, in words."""
    for row in plan.left_out:
        if row.call_set == heat.call_set:
            yield f"not called: {', '.join(map(str, row.calls))}"


def _own_seconds(roster: Roster, child: str, usual: int) -> int | None:
    seconds = roster.contestant[child].seconds
    return None if seconds == usual else seconds
