"""Heats of finals in the day: waves after the last one, rooms that fit, calls that nobody heard, people without a tie.

What was planned before stays as it is, but for heats that are held once more.
"""

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from itertools import count

from tourney.errors import Refusal, Shortage
from tourney.model.calls import CallBook, CallSet, Use
from tourney.model.people import Roster
from tourney.model.plan import DrillOffHeat, Heat, Plan, SealedSet, Wave
from tourney.model.spent import heard_before, spent_calls
from tourney.planning.calls.further import Sealed, Wanted
from tourney.planning.calls.need import SetNeed
from tourney.planning.calls.others import DRILL_OFF
from tourney.planning.calls.speakers import draw_speakers
from tourney.planning.clock import gap_after, heat_minutes
from tourney.planning.kept_places import next_benches, seat_officials
from tourney.planning.lines import stand_in_line, take_places
from tourney.planning.officials import Gap, find_gaps
from tourney.planning.replan.sets import Source
from tourney.planning.shortage import gaps_without_ties, people_missing, too_few_officials

IN_TURN = (
    "Or read that set to one part of the level teams after the other, those who wait out of hearing with two cleared "
    "adults, and type what they made: tourney finals FOLDER --drill-off TEAM=N for each."
)


@dataclass(frozen=True, slots=True)
class DueHeat:
    """A heat to be held. stage: from 1, 0 before the finals. teams: those who come, two at least, or a part of them.

    drill_off: what is known of it where it is one. by_hand: sets for drill-offs of the division that were read in no
    heat of the plan.
    """

    heat: str
    division: str
    stage: int
    teams: tuple[str, ...]
    drill_off: DrillOffHeat | None = None
    by_hand: int = 0

    @property
    def use(self) -> Use:
        """Which call sets it may hear."""
        return "drill_off" if self.drill_off else "final"

    @property
    def heard(self) -> tuple[str, str, int]:
        """What heats have in common whose teams must hear the same calls at once: parts of one drill-off."""
        one = self.drill_off
        return (self.division, one.about, one.reading) if one else (self.division, self.heat, 0)


def draw_stage(
    plan: Plan, book: CallBook, roster: Roster, due: Sequence[DueHeat], source: Source, earliest: datetime
) -> tuple[Plan, CallBook]:
    """The plan and its calls with these heats, of the same revision; those it had under their ids are held once more.

    earliest: no heat starts before. As many heats at once as rooms and officials allow; parts of one drill-off always.
    The same arguments give the same plan. Refusal when a line fits no room, or when officials without a tie are too few
    even for the fewest heats that can be held at once.
    """
    again = {one.heat for one in due}
    kept = replace(
        plan,
        heats=tuple(heat for heat in plan.heats if heat.id not in again),
        drill_offs=(*plan.drill_offs, *(one.drill_off for one in due if one.drill_off)),
    )
    lines = {one.heat: _line(kept, roster, one) for one in due}
    _refuse_long_lines(plan, due, lines)
    rooms = [room.name for room in plan.event.rooms if room.name not in plan.closed_rooms]
    best, certain = list[Gap](), list[Gap]()
    together = max(Counter(one.heard for one in due).values())
    for at_once in range(min(len(rooms), len(due)), together - 1, -1):
        laid = _laid_out(kept, roster, due, lines, at_once, earliest)
        if laid is None:
            continue
        wider, heats = laid
        benches = next_benches(wider, roster, heats)
        gaps = find_gaps(benches, roster.officials)
        if not gaps:
            staffed = seat_officials(wider, roster, heats, benches)
            whole, sealed = _with_calls(wider, book, staffed, _ready_sets(plan, book, due), source)
            refuse_heard_sets(plan, [whole.heat[one.heat] for one in due], sealed)
            return whole, sealed
        best = min(best or gaps, gaps, key=people_missing)
        certain = gaps_without_ties(benches, roster.officials)
    refusal = too_few_officials(certain or best, 1, bool(certain), None, best)
    raise replace(refusal, cures=(*refusal.cures, *((IN_TURN,) if together > 1 else ())))


def lines_at_once(plan: Plan, roster: Roster, division: str, teams: Sequence[str]) -> tuple[tuple[str, ...], ...]:
    """Teams shared out over lines that stand at the same time, as few as can be; none where rooms are too few."""
    return _shared_out(plan, roster, division, teams, _limits(plan))


def lines_in_turn(plan: Plan, roster: Roster, division: str, teams: Sequence[str]) -> tuple[tuple[str, ...], ...]:
    """Teams shared out over lines that stand one after the other in the roomiest room, as few as can be."""
    return _shared_out(plan, roster, division, teams, [max(_limits(plan), default=0)] * len(teams))


def _limits(plan: Plan) -> list[int]:
    return [room.line_limit for room in plan.event.rooms if room.name not in plan.closed_rooms]


def _shared_out(
    plan: Plan, roster: Roster, division: str, teams: Sequence[str], limits: Sequence[int]
) -> tuple[tuple[str, ...], ...]:
    """Larger teams first, each to the line with the most room left. limits: of the lines that there may be."""
    squad = plan.event.division(division).squad
    size = {team: len(_present(plan, roster, team, squad)) for team in teams}
    for number in range(1, min(len(limits), len(teams)) + 1):
        left = sorted(limits, reverse=True)[:number]
        lines: list[list[str]] = [[] for _ in left]
        for team in sorted(teams, key=lambda team: -size[team]):
            at = left.index(max(left))
            left[at] -= size[team]
            lines[at].append(team)
        if min(left) >= 0:
            return tuple(tuple(sorted(line, key=teams.index)) for line in lines)
    return ()


def _present(plan: Plan, roster: Roster, team: str, squad: int) -> tuple[str, ...]:
    """Who stands in line for a team; all of it where everybody has left."""
    members = roster.team[team].members
    return tuple(child for child in members if child not in plan.gone)[:squad] or members


def _line(plan: Plan, roster: Roster, one: DueHeat) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Teams in standing order, and the children of the line."""
    squad = plan.event.division(one.division).squad
    before = [heat.teams for heat in plan.heats if heat.division == one.division]
    teams = take_places(one.teams, before) if len(one.teams) <= 4 else one.teams
    everyone = {*one.teams, *(team for heat in before for team in heat)}
    present = {team: _present(plan, roster, team, squad) for team in everyone}
    (*_, line) = stand_in_line([*before, teams], present)
    return teams, line


def _refuse_long_lines(
    plan: Plan, due: Sequence[DueHeat], lines: dict[str, tuple[tuple[str, ...], tuple[str, ...]]]
) -> None:
    limits = _limits(plan)
    longest = max(due, key=lambda one: len(lines[one.heat][1]))
    need = len(lines[longest.heat][1])
    if need > max(limits, default=0):
        raise Refusal(
            f"{longest.division}: heat {longest.heat} of the finals puts {need} children in one line, but the roomiest "
            f"room takes {max(limits, default=0)}.",
            (Shortage("places in one line", max(limits, default=0), need, longest.division),),
            (
                f"Raise line_limit of a room to {need}, if it really has the space, and plan that day again.",
                'Let fewer teams advance, or choose finals = "knockout" before the day.',
            ),
        )


def _laid_out(
    plan: Plan,
    roster: Roster,
    due: Sequence[DueHeat],
    lines: dict[str, tuple[tuple[str, ...], tuple[str, ...]]],
    at_once: int,
    earliest: datetime,
) -> tuple[Plan, list[Heat]] | None:
    """The plan with waves of at most so many heats, and the heats in them, without calls and people. None: no room."""
    limit = {room.name: room.line_limit for room in plan.event.rooms if room.name not in plan.closed_rooms}
    widest = sorted(limit, key=lambda name: -limit[name])[:at_once]
    heats: list[Heat] = []
    for together in _waves(due, at_once):
        ordered = sorted(together, key=lambda one: -len(lines[one.heat][1]))
        if any(len(lines[one.heat][1]) > limit[room] for one, room in zip(ordered, widest, strict=False)):
            return None
        wave = _next_wave(plan, roster, together, earliest)
        plan = replace(plan, waves=(*plan.waves, wave))
        for one, room in zip(ordered, widest, strict=False):
            teams, line = lines[one.heat]
            round_ = plan.drawn_rounds.get(one.division, 0) + one.stage
            heats.append(
                Heat(one.heat, one.division, round_, wave.id, room, "", teams, (), "", None, line, plan.revision)
            )
    return plan, heats


def _waves(due: Sequence[DueHeat], at_once: int) -> Iterator[list[DueHeat]]:
    """Heats that are held together: a division's in one wave where they fit in, since a wave shares its calls.

    Drill-offs and heats of finals hear other calls, so those of a division never share a wave. Parts of one drill-off
    are never parted.
    """
    wave: list[DueHeat] = []
    for division, use in dict.fromkeys((one.division, one.use) for one in due):
        mine: dict[tuple[str, str, int], list[DueHeat]] = {}
        for one in due:
            if (one.division, one.use) == (division, use):
                mine.setdefault(one.heard, []).append(one)
        if wave and (len(wave) + sum(map(len, mine.values())) > at_once or wave[-1].division == division):
            yield wave
            wave = []
        for parts in mine.values():
            if len(wave) + len(parts) > at_once:
                yield wave
                wave = []
            wave += parts
    if wave:
        yield wave


def _next_wave(plan: Plan, roster: Roster, together: Sequence[DueHeat], earliest: datetime) -> Wave:
    """The wave after the last one, after changing over and a rest for all."""
    day, last = plan.event.day, plan.waves[-1]
    after = last.end + timedelta(minutes=max(gap_after(len(plan.waves), day), day.rest))
    names = (f"W{number:02}" for number in count(len(plan.waves) + 1))
    minutes = max(_minutes(plan, roster, one) for one in together)
    return Wave(next(name for name in names if name not in plan.wave), max(after, earliest), minutes)


def _minutes(plan: Plan, roster: Roster, one: DueHeat) -> int:
    """How long a heat takes: a drill-off has few calls, whatever the settings give to a whole heat."""
    division, slot = plan.event.division(one.division), plan.event.day.slot
    if one.drill_off:
        division, slot = division.model_copy(update={"calls": DRILL_OFF}), None
    children = [roster.contestant[child] for team in one.teams for child in roster.team[team].members]
    return heat_minutes(division, children, slot)


def _ready_sets(plan: Plan, book: CallBook, due: Sequence[DueHeat]) -> dict[tuple[str, Use], list[str]]:
    """Sets that were drawn with the day and that nobody has heard, for each division and use that is due.

    Once finals have begun, a set of theirs that no heat of the plan has was heard before that heat was held once more.
    """
    heard = {heat.call_set for heat in plan.heats}
    found: dict[tuple[str, Use], list[str]] = {}
    for one in due:
        sets = [ready.id for ready in book.sets if (ready.division, ready.use) == (one.division, one.use)]
        begun = one.use == "final" and not heard.isdisjoint(sets)
        found[one.division, one.use] = [] if begun else [key for key in sets if key not in heard][one.by_hand :]
    return found


def _with_calls(
    plan: Plan, book: CallBook, heats: Sequence[Heat], ready: Mapping[tuple[str, Use], Sequence[str]], source: Source
) -> tuple[Plan, CallBook]:
    """The heats with a set of calls for each wave and division, and speakers drawn for them.

    ready: ids of sets that can be heard; every further one is drawn when it is wanted, so that none is ever heard
    twice.
    """
    sets, given = list(book.sets), dict[tuple[str, str], str]()
    drill_offs = {one.heat for one in plan.drill_offs}
    uses: dict[str, Use] = {heat.id: "drill_off" if heat.id in drill_offs else "final" for heat in heats}
    for division, use in dict.fromkeys((heat.division, uses[heat.id]) for heat in heats):
        waves = dict.fromkeys(heat.wave for heat in heats if (heat.division, uses[heat.id]) == (division, use))
        fresh = list(ready[division, use])
        missing = len(waves) - len(fresh)
        if missing > 0:
            drawn = _further_sets(plan, division, use, sets, missing, source)
            sets += drawn
            fresh += [found.id for found in drawn]
        given |= {(division, wave): key for wave, key in zip(waves, fresh, strict=False)}
    whole_heats = [replace(heat, call_set=given[heat.division, heat.wave]) for heat in heats]
    again = {heat.id for heat in heats}
    speakers = [row for row in book.speakers if row.heat not in again]
    known = {sealed.id for sealed in plan.call_sets}
    place = {wave.id: number for number, wave in enumerate(plan.waves)}
    room = {found.name: number for number, found in enumerate(plan.event.rooms)}
    whole = replace(
        plan,
        heats=tuple(sorted((*plan.heats, *whole_heats), key=lambda heat: (place[heat.wave], room[heat.room]))),
        call_sets=(
            *plan.call_sets,
            *(
                SealedSet(found.id, found.division, found.use, found.fingerprint())
                for found in sets
                if found.id not in known
            ),
        ),
    )
    return whole, CallBook(tuple(sets), (*speakers, *draw_speakers(whole_heats, sets, source.draw)))


def refuse_heard_sets(before: Plan, heats: Sequence[Heat], book: CallBook) -> None:
    """Nobody hears a set twice: true by how sets are drawn, and looked at once more before any of these is called.

    before: the plan without these heats, or with those that are held once more as they were held. Refusal otherwise.
    """
    spent = spent_calls(before.heats, book, {child: team.id for team in before.teams for child in team.members})
    for heat in heats:
        known = heard_before(heat.call_set, heat.line, spent)
        if known:
            raise Refusal(
                f"Heat {heat.id} would call {heat.call_set}, which {len(known)} of its {len(heat.line)} children have "
                "heard before.",
                cures=("The plan is damaged: run tourney verify, and go back to the newest copy of the record.",),
            )


def _further_sets(
    plan: Plan, division: str, use: Use, sets: Sequence[CallSet], number: int, source: Source
) -> tuple[CallSet, ...]:
    """So many sets more of a use, like its first one; what its sets have called comes back as little as can be.

    Numbers go on after the highest: a set that leaked has left the book, and its number is not given again.
    """
    mine = [found for found in sets if found.division == division]
    alike = [found for found in mine if found.use == use]
    others = [found for found in mine if found.use != use]
    stem = alike[0].id.rsplit("-", 1)[0]
    last = max(int(found.id.rsplit("-", 1)[1]) for found in alike)
    wanted = [Wanted(SetNeed(f"{stem}-{last + 1 + n}", use, None, None), alike[0]) for n in range(number)]
    return Sealed(plan.event.division(division), source.syllabus, tuple(others), tuple(alike)).further(
        wanted, source.draw
    )
