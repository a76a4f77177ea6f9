"""The day while it is being replanned: waves that were held are fixed, everything later may change."""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import timedelta
from functools import cached_property
from itertools import count

from tourney.model.calls import CallSet
from tourney.model.event import Event
from tourney.model.people import Contestant, Roster
from tourney.model.plan import Heat, LeftOut, Plan, Wave
from tourney.planning.clock import gap_after, heat_minutes
from tourney.planning.prefixes import division_prefixes

NO_SET = ""  # the call set of a heat that still has to get one


@dataclass(frozen=True)
class Draft:
    """A plan in the making. heats: those without teams are kept for rounds that are drawn by standing.

    held: ids of waves that have begun. planned: ids of the waves that the old plan had.

    short: (division, round) -> calls of its heats, where they are fewer. spent: call sets that left the book, because
    they leaked or stepped in elsewhere.
    """

    revision: int
    event: Event
    roster: Roster
    waves: tuple[Wave, ...]
    heats: tuple[Heat, ...]
    sets: tuple[CallSet, ...]
    planned: frozenset[str]
    held: frozenset[str]
    closed_rooms: tuple[str, ...]
    gone: tuple[str, ...]
    left_out: tuple[LeftOut, ...]
    short: tuple[tuple[tuple[str, int], int], ...] = ()
    spent: tuple[CallSet, ...] = ()

    @staticmethod
    def of(plan: Plan, sets: tuple[CallSet, ...], roster: Roster, held: frozenset[str]) -> "Draft":
        """A plan as the draft of its next revision."""
        by_id = {found.id: found for found in sets}
        short = {
            (by_id[row.call_set].division, by_id[row.call_set].round or 0): len(by_id[row.call_set].calls)
            - len(row.calls)
            for row in plan.left_out
        }
        later = tuple(
            Heat(one.id, one.division, one.round, one.wave, one.room, one.call_set, (), (), "", None, ())
            for one in plan.reserved
        )
        return Draft(
            plan.revision + 1, plan.event, roster, plan.waves, (*plan.heats, *later), sets,
            frozenset(wave.id for wave in plan.waves), held, plan.closed_rooms, plan.gone, plan.left_out,
            tuple(short.items()),
        )  # fmt: skip

    @cached_property
    def wave(self) -> dict[str, Wave]:
        """Waves by id."""
        return {wave.id: wave for wave in self.waves}

    @cached_property
    def set(self) -> dict[str, CallSet]:
        """Call sets by id."""
        return {found.id: found for found in self.sets}

    @cached_property
    def place(self) -> dict[str, int]:
        """Place of each wave in the day, from 0."""
        return {wave.id: number for number, wave in enumerate(self.waves)}

    @cached_property
    def in_wave(self) -> dict[str, tuple[Heat, ...]]:
        """Heats of each wave."""
        found: dict[str, list[Heat]] = {wave.id: [] for wave in self.waves}
        for heat in self.heats:
            found[heat.wave].append(heat)
        return {wave: tuple(heats) for wave, heats in found.items()}

    @cached_property
    def open_waves(self) -> tuple[Wave, ...]:
        """Waves that have not begun, in the order of the day."""
        return tuple(wave for wave in self.waves if wave.id not in self.held)

    @cached_property
    def open_heats(self) -> tuple[Heat, ...]:
        """Heats that have not begun, in the order of the day."""
        return tuple(heat for wave in self.open_waves for heat in self.in_wave[wave.id])

    @cached_property
    def prefix(self) -> dict[str, str]:
        """Division -> what its ids begin with."""
        return division_prefixes([division.name for division in self.event.divisions])

    @cached_property
    def line_limit(self) -> dict[str, int]:
        """Most contestants in the line of each room that is still there, in the order of the settings."""
        return {room.name: room.line_limit for room in self.event.rooms if room.name not in self.closed_rooms}

    def free_rooms(self, wave: str) -> list[str]:
        """Rooms in which nothing happens during a wave."""
        used = {heat.room for heat in self.in_wave[wave]}
        return [room for room in self.line_limit if room not in used]

    def with_heats(self, changed: Iterable[Heat]) -> "Draft":
        """These heats in the place of those with the same ids, new ones at the end."""
        fresh = {heat.id: heat for heat in changed}
        known = {heat.id for heat in self.heats}
        heats = [fresh.get(heat.id, heat) for heat in self.heats]
        return replace(self, heats=(*heats, *(heat for key, heat in fresh.items() if key not in known)))

    def without(self, gone: Iterable[str]) -> "Draft":
        """The day without these heats."""
        ids = set(gone)
        return replace(self, heats=tuple(heat for heat in self.heats if heat.id not in ids))

    def with_extra_wave(self, minutes: int, place: int) -> tuple["Draft", Wave]:
        """One more wave in this place of the day, and that wave; those after it start later once the clock is set.

        It starts as soon as the changeover or a pause allows.
        """
        last = self.waves[place - 1]
        start = last.end + timedelta(minutes=gap_after(place, self.event.day))
        names = (f"W{number:02}" for number in count(len(self.waves) + 1))
        fresh = Wave(next(name for name in names if name not in self.wave), start, minutes)
        return replace(self, waves=(*self.waves[:place], fresh, *self.waves[place:])), fresh

    def minutes(self, heat: Heat) -> int:
        """How long a heat takes, by the calls of its round and by whoever stands in it or may step in."""
        division = self.event.division(heat.division)
        calls = self.calls_in(heat.division, heat.round)
        return heat_minutes(division.model_copy(update={"calls": calls}), self.children(heat), self.event.day.slot)

    def calls_in(self, division: str, round_: int) -> int:
        """Calls in the heats of a round."""
        return dict(self.short).get((division, round_), self.event.division(division).calls)

    def may_stand(self, heat: Heat) -> tuple[str, ...]:
        """Teams of a heat; all of the division while they are still to be drawn."""
        return heat.teams or tuple(team.id for team in self.roster.teams if team.division == heat.division)

    def children(self, heat: Heat) -> list[Contestant]:
        """All members of the teams that may stand in a heat."""
        teams = [self.roster.team[team] for team in self.may_stand(heat)]
        return [self.roster.contestant[child] for team in teams for child in team.members]

    def width(self, heat: Heat) -> int:
        """Contestants in the line of a heat; the most that can be while its teams are still to be drawn."""
        if heat.teams:
            return len(heat.line)
        rules = self.event.division(heat.division)
        known = (len(other.line) for other in self.heats if other.division == heat.division)
        return max([rules.squad * rules.teams_per_heat, *known])

    def heats_of(self, team: str) -> list[Heat]:
        """A team's heats in the order of the day."""
        mine = [heat for heat in self.heats if team in heat.teams]
        return sorted(mine, key=lambda heat: self.place[heat.wave])

    def rested(self, teams: Iterable[str], wave: Wave) -> bool:
        """Would these teams be free and rested in a wave."""
        rest = timedelta(minutes=self.event.day.rest)
        for team in teams:
            for heat in (heat for heat in self.heats if team in self.may_stand(heat)):
                other = self.wave[heat.wave]
                apart = other.start - wave.end if other.start >= wave.start else wave.start - other.end
                if other.id == wave.id or apart < rest:
                    return False
        return True
