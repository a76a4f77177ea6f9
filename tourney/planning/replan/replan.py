"""The next revision of a plan, after something went wrong: as few changes as can be, each count beside its bound."""

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime

from tourney.model.calls import CallBook, Speakers
from tourney.model.people import Roster
from tourney.model.plan import Heat, Plan, PublicOfficial, ReservedHeat, SealedSet
from tourney.planning.calls.speakers import draw_speakers
from tourney.planning.replan.changes import Changes
from tourney.planning.replan.counts import Need, counted
from tourney.planning.replan.draft import Draft
from tourney.planning.replan.fairness import fairness_of
from tourney.planning.replan.late import both_ways
from tourney.planning.replan.leavers import evened_out, without_leavers
from tourney.planning.replan.notes import notes
from tourney.planning.replan.options import Option, catching_up, late_options, stand_in_options
from tourney.planning.replan.rooms import without_rooms
from tourney.planning.replan.sets import Source, with_fresh_sets
from tourney.planning.replan.shorter import left_out, with_fewer_calls
from tourney.planning.replan.staff import staffed
from tourney.planning.replan.times import on_the_clock, with_minutes
from tourney.planning.replan.told import Difference, Move, Reprint, Told


@dataclass(frozen=True, slots=True)
class Replanned:
    """A new revision, and everything that is said about it. moved: heats in another room or wave."""

    plan: Plan
    book: CallBook
    roster: Roster
    moved: tuple[Move, ...]
    needs: tuple[Need, ...]
    told: tuple[Told, ...]
    reprint: tuple[Reprint, ...]
    options: tuple[Option, ...]
    notes: tuple[str, ...]


@dataclass(frozen=True)
class PlayedDay:
    """A planned day up to some moment. held: ids of waves that have begun; those never change.

    clock: "HH:MM" at which officials leave who are out. announced: wave id -> its first announced start, before which
    no wave is ever held.
    """

    plan: Plan
    book: CallBook
    roster: Roster
    held: frozenset[str]
    clock: str
    announced: Mapping[str, datetime]


def replan(day: PlayedDay, changes: Changes, source: Source) -> Replanned:
    """The plan after these changes. The same arguments give the same plan. Refusal when it can't be done.

    Played heats, and whoever is not concerned, stay as they are.
    """
    start = Draft.of(day.plan, day.book.sets, day.roster, day.held)
    draft = without_leavers(start, changes.absent, changes.contestants_out)
    left = draft
    draft = evened_out(draft, start)
    options: list[Option] = []
    draft = _without_officials(draft, changes.officials_out, day.clock)
    for late in changes.late:
        ways = both_ways(draft, late)
        options += late_options(draft, late, ways, changes.late_apart)
        draft = ways.chosen(changes.late_apart)
    draft = without_rooms(draft, changes.rooms_lost)
    draft = with_fresh_sets(draft, changes.leaked, source)
    for fewer in changes.fewer:
        draft = with_fewer_calls(draft, fewer)
    draft = replace(draft, left_out=left_out(draft))
    again = bool(changes.delay or changes.fewer)
    announced = day.announced if again else {}
    before_clock = with_minutes(draft)
    options += catching_up(before_clock, changes, announced)
    draft = staffed(on_the_clock(before_clock, changes.delay, announced))
    plan, book = _finished(draft, day, source)
    difference = Difference(day.plan, plan, draft.roster, day.held)
    options += stand_in_options(draft, start, changes.officials_out)
    return Replanned(
        plan,
        book,
        draft.roster,
        difference.moves(),
        tuple(counted(start, left, draft, changes)),
        difference.told(),
        difference.reprints(day.book, book),
        tuple(options),
        tuple(dict.fromkeys(notes(day.plan, plan, day.book, draft, changes, source.syllabus))),
    )


def _without_officials(draft: Draft, out: Sequence[str], clock: str) -> Draft:
    """Officials who left are there no longer than until now."""
    officials = tuple(
        replace(person, end=min(person.end.rjust(5, "0"), clock) if person.end else clock)
        if person.id in out
        else person
        for person in draft.roster.officials
    )
    return replace(draft, roster=replace(draft.roster, officials=officials))


def _finished(draft: Draft, day: PlayedDay, source: Source) -> tuple[Plan, CallBook]:
    """The draft as a plan and its calls. Speakers are drawn anew only where the line or the calls are others."""
    old = day.plan
    rooms = {room.name: number for number, room in enumerate(draft.event.rooms)}
    ordered = sorted(draft.heats, key=lambda heat: (draft.place[heat.wave], rooms[heat.room]))
    heats = tuple(_stamped(heat, old.heat.get(heat.id), draft) for heat in ordered if heat.teams)
    changed = [heat for heat in heats if _asks_anew(heat, old.heat.get(heat.id))]
    book = CallBook(draft.sets, _speakers(day.book, heats, changed, draft, source))
    known = {row.id: row for row in old.call_sets if draft.set.get(row.id) == day.book.set.get(row.id)}
    plan = replace(
        old,
        revision=draft.revision,
        teams=draft.roster.teams,
        officials=tuple(PublicOfficial.of(official) for official in draft.roster.officials),
        waves=draft.waves,
        heats=heats,
        call_sets=tuple(
            known.get(found.id) or SealedSet(found.id, found.division, found.use, found.fingerprint())
            for found in draft.sets
        ),
        left_out=draft.left_out,
        closed_rooms=draft.closed_rooms,
        gone=draft.gone,
        reserved=tuple(
            ReservedHeat(heat.id, heat.division, heat.round, heat.wave, heat.room, heat.call_set)
            for heat in ordered
            if not heat.teams
        ),
    )
    return replace(plan, fairness=fairness_of(plan, book, draft.roster, source.syllabus, old)), book


def _stamped(heat: Heat, old: Heat | None, draft: Draft) -> Heat:
    """A heat whose older sheets are superseded, unless it hears the same calls and nobody else stands in line.

    Where judges have zones, who moves up a place may come before another judge: there the line must be the very same.
    """
    zones = draft.event.division(heat.division).zones
    same = old is not None and (old.line == heat.line if zones else _only_left(old.line, heat.line))
    holds = old is not None and old.call_set == heat.call_set and same
    return heat if holds else replace(heat, since=draft.revision)


def _only_left(old: Sequence[str], new: Sequence[str]) -> bool:
    """Is the new line the old one without some who left."""
    return tuple(child for child in old if child in new) == tuple(new)


def _asks_anew(heat: Heat, old: Heat | None) -> bool:
    return old is None or (old.call_set, old.line) != (heat.call_set, heat.line)


def _speakers(
    before: CallBook, heats: Sequence[Heat], changed: Sequence[Heat], draft: Draft, source: Source
) -> tuple[Speakers, ...]:
    ids = {heat.id for heat in changed}
    had: Counter[str] = Counter()
    for heat in heats:
        if heat.id not in ids:
            had.update(heat.line[line - 1] for line in before.speakers_of.get(heat.id, ()) if line <= len(heat.line))
    drawn = {row.heat: row for row in draw_speakers(changed, draft.sets, source.draw, had)}
    rows = {row.heat: row for row in before.speakers} | drawn
    return tuple(rows[heat.id] for heat in heats if heat.id in rows)
