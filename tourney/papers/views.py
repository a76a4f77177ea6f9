"""The day as papers see it: rows that every format shares. Times are "HH:MM" in the event's zone."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime, timedelta
from functools import cached_property
from typing import Protocol, TypeVar
from zoneinfo import ZoneInfo

from tourney.model.names import shown_names
from tourney.model.people import Duty, Official, Roster
from tourney.model.plan import Heat, Plan, ReservedHeat, Wave

DOOR_MINUTES = 3  # common practice, no source


@dataclass(frozen=True, slots=True)
class DivisionLabel:
    """A division by word and by pattern. pattern: its place among the event's divisions, from 0."""

    name: str
    pattern: int


@dataclass(frozen=True, slots=True)
class TeamLabel:
    """A team as others may see it. pool: "" where its division is not parted."""

    id: str
    name: str
    club: str
    division: DivisionLabel
    pool: str = ""


@dataclass(frozen=True, slots=True)
class OnDuty:
    """One person on duty in a heat."""

    duty: Duty
    official: str
    name: str


@dataclass(frozen=True, slots=True)
class HeatView:
    """One heat. door: when its teams should stand at the door. teams, officials: none while they are to be drawn.

    name: a heat of finals' own, such as "Semi-final 1"; empty in the rounds.
    """

    id: str
    division: DivisionLabel
    round: int
    wave: str
    room: str
    door: str
    start: str
    end: str
    teams: tuple[TeamLabel, ...]
    officials: tuple[OnDuty, ...]
    name: str = ""

    @property
    def occasion(self) -> str:
        """What people call it: its own name, or its round."""
        return self.name or f"round {self.round}"


@dataclass(frozen=True, slots=True)
class Interval:
    """A time in which nothing is asked of the reader: a pause of the hall, or free time."""

    start: str
    end: str
    label: str


@dataclass(frozen=True, slots=True)
class WaveRow:
    """One line of the master schedule. heats: one a room, in the rooms' order. free: names of who could step in."""

    wave: str
    start: str
    end: str
    heats: tuple[HeatView | None, ...]
    free: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class DoorSheet:
    """What hangs on a room's door, all of it or one sheet."""

    room: str
    rows: tuple[HeatView | Interval, ...]


class Timed(Protocol):
    """A row that starts at a time of the day."""

    @property
    def start(self) -> str:
        """Such as "09:20"."""


Row = TypeVar("Row", bound=Timed)


def in_order(rows: Iterable[Row]) -> tuple[Row, ...]:
    """Rows by the time at which they start."""
    return tuple(sorted(rows, key=lambda row: row.start))


@dataclass(frozen=True)
class Hall:
    """A plan with its roster, and every row that more than one paper shows."""

    plan: Plan
    roster: Roster

    def clock(self, moment: datetime) -> str:
        """A moment as "HH:MM" in the event's zone."""
        return f"{moment.astimezone(ZoneInfo(self.plan.event.timezone)):%H:%M}"

    @cached_property
    def names(self) -> dict[str, str]:
        """Contestant id -> the name to show: no two of a division are shown alike."""
        shown: dict[str, str] = {}
        for division in self.plan.event.divisions:
            teams = (team for team in self.roster.teams if team.division == division.name)
            shown |= shown_names(self.roster.contestant[child] for team in teams for child in team.members)
        return shown

    @cached_property
    def divisions(self) -> dict[str, DivisionLabel]:
        """Labels by name."""
        return {found.name: DivisionLabel(found.name, place) for place, found in enumerate(self.plan.event.divisions)}

    @cached_property
    def teams(self) -> dict[str, TeamLabel]:
        """Labels by team id."""
        return {
            team.id: TeamLabel(team.id, team.name, team.club, self.divisions[team.division], team.pool)
            for team in self.plan.teams
        }

    @cached_property
    def stood(self) -> frozenset[tuple[str, int]]:
        """(team, round) of each round in which a team has a heat: what it makes in another one is nothing, not 0."""
        return frozenset((team, heat.round) for heat in self.plan.rotation for team in heat.teams)

    @cached_property
    def finals(self) -> dict[str, str]:
        """Names of the heats of finals and drill-offs by id, of all that have been drawn."""
        if not self.plan.finals and not self.plan.drill_offs:
            return {}
        from tourney.finals.drawing import bracket_of

        named = {heat.id: heat.name for drawn in self.plan.finals for heat in bracket_of(drawn).heats}
        return named | {
            one.heat: f"drill-off {f'after {named[one.about]}' if one.about in named else 'for the finals'}, "
            f"set {one.reading}"
            for one in self.plan.drill_offs
        }

    @cached_property
    def heats(self) -> dict[str, HeatView]:
        """Every heat by id, in the order of the day: by start, then by room."""
        place = {room.name: number for number, room in enumerate(self.plan.event.rooms)}
        ordered = sorted(self.plan.heats, key=lambda heat: (self.plan.wave[heat.wave].start, place[heat.room]))
        return {heat.id: self._view(heat) for heat in ordered}

    @cached_property
    def reserved(self) -> tuple[HeatView, ...]:
        """Heats whose teams are still to be drawn, in the order of the plan."""
        return tuple(self._view(heat) for heat in self.plan.reserved)

    @cached_property
    def pauses(self) -> tuple[Interval, ...]:
        """Breaks of the whole hall that have a wave after them."""
        ends = {number: wave.end for number, wave in enumerate(self.plan.waves[:-1], 1)}
        return tuple(
            Interval(
                self.clock(ends[pause.after_wave]),
                self.clock(ends[pause.after_wave] + timedelta(minutes=pause.minutes)),
                pause.label,
            )
            for pause in self.plan.event.day.pauses
            if pause.after_wave in ends
        )

    @cached_property
    def schedule(self) -> tuple[WaveRow | Interval, ...]:
        """Wave by wave, with the hall's pauses between."""
        return in_order([*map(self._row, self.plan.waves), *self.pauses])

    @cached_property
    def doors(self) -> tuple[DoorSheet, ...]:
        """One sheet a room that is used."""
        rooms: dict[str, list[HeatView | Interval]] = {room.name: [] for room in self.plan.event.rooms}
        for heat in (*self.heats.values(), *self.reserved):
            rooms[heat.room].append(heat)
        return tuple(DoorSheet(room, in_order([*rows, *self.pauses])) for room, rows in rooms.items() if rows)

    def _row(self, wave: Wave) -> WaveRow:
        heats = {heat.room: heat for heat in (*self.heats.values(), *self.reserved) if heat.wave == wave.id}
        busy = {person.official for heat in heats.values() for person in heat.officials}
        free = tuple(
            official.name
            for official in self.roster.officials
            if official.id not in busy and official.cleared and self._there(official, wave)
        )
        rooms = tuple(heats.get(room.name) for room in self.plan.event.rooms)
        return WaveRow(wave.id, self.clock(wave.start), self.clock(wave.end), rooms, free)

    def _there(self, official: Official, wave: Wave) -> bool:
        came = not official.start or official.start <= self.clock(wave.start)
        return came and (not official.end or self.clock(wave.end) <= official.end)

    def _view(self, heat: Heat | ReservedHeat) -> HeatView:
        wave = self.plan.wave[heat.wave]
        drawn = heat if isinstance(heat, Heat) else None
        return HeatView(
            heat.id,
            self.divisions[heat.division],
            heat.round,
            heat.wave,
            heat.room,
            self.clock(wave.start - timedelta(minutes=DOOR_MINUTES)),
            self.clock(wave.start),
            self.clock(wave.end),
            tuple(self.teams[team] for team in (drawn.teams if drawn else ())),
            tuple(OnDuty(duty, key, self.plan.official[key].name) for duty, key in (drawn.seats if drawn else ())),
            self.finals.get(heat.id, ""),
        )
