"""Who must be told what, and what must be printed anew: read off the old plan and the new one, whatever happened."""

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Literal

from tourney.model.calls import CallBook
from tourney.model.names import shown_names
from tourney.model.people import Roster
from tourney.model.plan import Heat, Plan

Kind = Literal["team", "official", "room"]


@dataclass(frozen=True, slots=True)
class Told:
    """One who must be told. id: of a team or official, a room's name. club: of a team. what: a sentence a change."""

    kind: Kind
    id: str
    name: str
    club: str
    what: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Reprint:
    """A paper that is to be printed anew. of: the heat, club, room or call set that it is about.

    room, club: whose document holds it, where it is not one for all. needed: False where the old one still holds.
    """

    paper: Literal["score sheets", "script", "team itineraries", "officials' itineraries", "schedule", "door sheet",
                   "access list"]  # fmt: skip
    of: str
    why: str
    room: str = ""
    club: str = ""
    needed: bool = True


@dataclass(frozen=True, slots=True)
class Move:
    """A heat in another room or wave. Times are "HH:MM"."""

    heat: str
    from_wave: str
    from_start: str
    from_room: str
    to_wave: str
    to_start: str
    to_room: str


@dataclass(frozen=True)
class Difference:
    """Two revisions of a plan. roster: of the new one. held: ids of waves that have begun."""

    old: Plan
    new: Plan
    roster: Roster
    held: frozenset[str]

    def _pairs(self) -> list[tuple[Heat | None, Heat | None]]:
        """Old and new of each heat that has not begun, in the order of the day as it is now."""
        new = [heat for heat in self.new.heats if heat.wave not in self.held]
        off = [heat for heat in self.old.heats if heat.wave not in self.held and heat.id not in self.new.heat]
        return [*((self.old.heat.get(heat.id), heat) for heat in new), *((heat, None) for heat in off)]

    def moves(self) -> tuple[Move, ...]:
        """Heats that changed their room or their wave."""
        return tuple(
            Move(new.id, old.wave, _start(self.old, old), old.room, new.wave, _start(self.new, new), new.room)
            for old, new in self._pairs()
            if old and new and (old.wave, old.room) != (new.wave, new.room)
        )

    def told(self) -> tuple[Told, ...]:
        """Teams by club, officials by name, rooms in the order of the settings."""
        found: dict[tuple[Kind, str], list[str]] = {}
        for old, new in self._pairs():
            for kind, key, sentence in (*self._teams(old, new), *self._officials(old, new), *self._rooms(old, new)):
                found.setdefault((kind, key), []).append(sentence)
        told = [self._told(kind, key, tuple(dict.fromkeys(what))) for (kind, key), what in found.items()]
        kinds = ("team", "official", "room")
        rooms = [room.name for room in self.new.event.rooms]
        return tuple(
            sorted(
                told,
                key=lambda one: (
                    kinds.index(one.kind),
                    rooms.index(one.id) if one.kind == "room" else 0,
                    one.club.casefold(),
                    one.name.casefold(),
                    one.id,
                ),
            )
        )

    def _told(self, kind: Kind, key: str, what: tuple[str, ...]) -> Told:
        if kind == "team":
            team = self.new.team[key]
            return Told(kind, key, team.name, team.club, what)
        return Told(kind, key, self.new.official[key].name if kind == "official" else key, "", what)

    def _teams(self, old: Heat | None, new: Heat | None) -> Iterator[tuple[Kind, str, str]]:
        before, after = set(old.teams if old else ()), set(new.teams if new else ())
        for team in sorted(before | after):
            if old and team not in after:
                yield "team", team, f"{_round(old)} at {_start(self.old, old)} in {old.room} is off."
            elif new and team not in before:
                yield "team", team, f"{_round(new)} at {_start(self.new, new)} in {new.room}{_line(new, team)}."
            elif old and new:
                moved = self._place(old, new)
                if moved:
                    yield "team", team, f"{_round(new)}: {moved}."
                for other in sorted(after - before):
                    yield "team", team, f"{_round(new)}: {self.new.team[other].name} ({other}) stands with you."
                for other in sorted(before - after):
                    yield "team", team, f"{_round(new)}: {self.new.team[other].name} ({other}) does not come."
                for child in old.line:
                    if child.rsplit("-", 1)[0] == team and child not in new.line:
                        yield "team", team, f"{_round(new)}: {self._names[child]} does not stand."
                for child in new.line:
                    if child.rsplit("-", 1)[0] == team and child not in old.line:
                        yield "team", team, f"{_round(new)}: {self._names[child]} stands in."
                if _line(old, team) != _line(new, team):
                    yield "team", team, f"{_round(new)}{_line(new, team)}."

    @cached_property
    def _names(self) -> dict[str, str]:
        """Contestants by id, as each may be shown."""
        return shown_names(self.roster.contestants)

    def _officials(self, old: Heat | None, new: Heat | None) -> Iterator[tuple[Kind, str, str]]:
        before = {(duty, person) for duty, person in (old.seats if old else ())}
        after = {(duty, person) for duty, person in (new.seats if new else ())}
        for duty, person in sorted(before - after):
            if old:
                yield "official", person, f"No longer {duty} of {old.id} at {_start(self.old, old)} in {old.room}."
        for duty, person in sorted(after - before):
            if new:
                yield "official", person, f"Now {duty} of {new.id} at {_start(self.new, new)} in {new.room}."
        if not old or not new:
            return
        moved = self._place(old, new)
        fresh = new.since == self.new.revision
        shorter = self._left_out(new.call_set) if self._left_out_before(old) != self._left_out(new.call_set) else ()
        for duty, person in sorted(after & before):
            if moved:
                yield "official", person, f"{duty.capitalize()} of {new.id}: {moved}."
        for duty, person in sorted(after):
            if fresh:
                paper = "score sheets" if duty == "judge" else "script"
                yield "official", person, f"{new.id}: use the new {paper} of plan {self.new.revision}; the old is void."
            if shorter:
                numbers = ", ".join(map(str, shorter))
                yield "official", person, f"{new.id}: calls {numbers} are left out; judges leave their columns empty."

    def _rooms(self, old: Heat | None, new: Heat | None) -> Iterator[tuple[Kind, str, str]]:
        if old and (not new or new.room != old.room):
            yield "room", old.room, f"{old.id} at {_start(self.old, old)} is off."
        if new and (not old or new.room != old.room):
            yield "room", new.room, f"{new.id} at {_start(self.new, new)} is new."
        if old and new and new.room == old.room and _start(self.old, old) != _start(self.new, new):
            yield "room", new.room, f"{new.id} at {_start(self.new, new)} instead of {_start(self.old, old)}."

    def _place(self, old: Heat, new: Heat) -> str:
        """Where and when it is now, in words; empty when nothing has changed."""
        before, after = _start(self.old, old), _start(self.new, new)
        if old.room == new.room:
            return f"{after} instead of {before}, in {new.room}" if before != after else ""
        if before == after:
            return f"{after} as before, in {new.room} instead of {old.room}"
        return f"{after} in {new.room} instead of {before} in {old.room}"

    def _left_out(self, call_set: str) -> tuple[int, ...]:
        return next((row.calls for row in self.new.left_out if row.call_set == call_set), ())

    def _left_out_before(self, old: Heat) -> tuple[int, ...]:
        return next((row.calls for row in self.old.left_out if row.call_set == old.call_set), ())

    def reprints(self, before: CallBook, after: CallBook) -> tuple[Reprint, ...]:
        """What is to be printed anew, and what may be."""
        pairs, told = self._pairs(), self.told()
        papers: list[Reprint] = []
        for old, new in pairs:
            if new:
                papers += self._of_heat(old, new, before, after)
        known = {found.id for found in before.sets}
        papers += [
            Reprint("script", found.id, "steps in for a set that leaked")
            for found in after.sets
            if found.use != "rotation" and found.id not in known
        ]
        place = {found.id: found.order for found in before.sets}
        papers += [
            Reprint("script", found.id, "a set more is heard before it, so that its fingerprint is another")
            for found in after.sets
            if found.id in known and found.order != place[found.id]
        ]
        clubs = dict.fromkeys(one.club for one in told if one.kind == "team")
        papers += [Reprint("team itineraries", club, "places or times changed", club=club) for club in clubs]
        if any(_duties(self.old, old) != _duties(self.new, new) for old, new in pairs):
            papers.append(Reprint("officials' itineraries", "those who are told", "duties or times changed"))
        rooms = [one.id for one in told if one.kind == "room"]
        if rooms or clubs:
            papers.append(Reprint("schedule", "all", "places, times or teams changed"))
        papers += [Reprint("door sheet", room, "heats or times changed", room=room) for room in self._doors(pairs)]
        if any(_with_needs(old, new, self.roster) for old, new in pairs):
            papers.append(Reprint("access list", "all", "a heat of a child with needs changed"))
        return tuple(papers)

    def _of_heat(self, old: Heat | None, new: Heat, before: CallBook, after: CallBook) -> Iterator[Reprint]:
        if new.since == self.new.revision:
            why = "new" if not old else "other calls" if old.call_set != new.call_set else "another line"
            yield Reprint("score sheets", new.id, f"{why}: older ones are refused", new.room)
            yield Reprint("script", new.id, why, new.room)
        elif old and old.line != new.line:
            why = "fewer stand in line: the old ones hold when the lines of those who left are struck out"
            yield Reprint("score sheets", new.id, why, new.room, needed=False)
            yield Reprint("script", new.id, why, new.room, needed=False)
        elif old and self._left_out_before(old) != self._left_out(new.call_set):
            yield Reprint("script", new.id, "calls are left out: strike them out by hand, or print", new.room)
        elif before.speakers_of.get(new.id) != after.speakers_of.get(new.id):
            yield Reprint("script", new.id, "others are asked", new.room)

    def _doors(self, pairs: Sequence[tuple[Heat | None, Heat | None]]) -> Iterable[str]:
        changed: Counter[str] = Counter()
        for old, new in pairs:
            seen = [(heat.room, _start(plan, heat), heat.teams) for plan, heat in ((self.old, old), (self.new, new))
                    if heat]  # fmt: skip
            if len(set(seen)) != 1 or len(seen) != 2:
                changed.update(room for room, _, _ in seen)
        return [room.name for room in self.new.event.rooms if changed[room.name]]


def _start(plan: Plan, heat: Heat) -> str:
    return f"{plan.wave[heat.wave].start:%H:%M}"


def _duties(plan: Plan, heat: Heat | None) -> object:
    """Who serves in a heat, where and when."""
    return heat and (heat.seats, heat.room, plan.wave[heat.wave].start)


def _round(heat: Heat) -> str:
    return f"Round {heat.round} ({heat.id})"


def _line(heat: Heat, team: str) -> str:
    """A team's line numbers, in words."""
    numbers = [number for number, child in enumerate(heat.line, 1) if child.rsplit("-", 1)[0] == team]
    if not numbers:
        return ""
    together = numbers[-1] - numbers[0] == len(numbers) - 1 and len(numbers) > 1
    said = f"{numbers[0]}–{numbers[-1]}" if together else ", ".join(map(str, numbers))
    return f", line number{'s' * (len(numbers) > 1)} {said}"


def _with_needs(old: Heat | None, new: Heat | None, roster: Roster) -> bool:
    """Has a child of a changed heat something that the steward prepares."""
    if old and new and (old.wave, old.room, old.line) == (new.wave, new.room, new.line):
        return False
    children = {*(old.line if old else ()), *(new.line if new else ())}
    found = (roster.contestant[child] for child in children)
    return any(child.needs or child.seat or child.seconds or child.edition for child in found)
