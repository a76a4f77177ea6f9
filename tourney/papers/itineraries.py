"""Who goes where and when: a strip a team, gathered by club, and a strip an official."""

from collections.abc import Iterator
from dataclasses import dataclass

from tourney.model.people import Duty, Official, Team
from tourney.papers.views import Hall, HeatView, Interval, OnDuty, TeamLabel, in_order

FREE = "No heat is planned for you. Please stay in reach: the coordinator may ask you to step in."
NOT_CLEARED = (
    "No duty with children is planned for you: no clearance that we know of reaches this day. Please speak with the "
    "safeguarding lead before you go into a room with children."
)


@dataclass(frozen=True, slots=True)
class Stop:
    """One heat of a team. side: of the line, as the judges see it. numbers: the team's line numbers in it."""

    start: str
    heat: HeatView
    against: tuple[TeamLabel, ...]
    side: str
    numbers: str


@dataclass(frozen=True, slots=True)
class ChildRow:
    """A child's line number at each stop, None where the child does not stand in line."""

    shown_as: str
    substitute: bool
    lines: tuple[int | None, ...]


@dataclass(frozen=True, slots=True)
class TeamStrip:
    """A team's day. byes: rounds in which it sits out."""

    team: TeamLabel
    rows: tuple[Stop | Interval, ...]
    stops: tuple[Stop, ...]
    children: tuple[ChildRow, ...]
    byes: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class DutyRow:
    """One heat of an official. others: who else serves in it."""

    start: str
    heat: HeatView
    duty: Duty
    others: tuple[OnDuty, ...]


@dataclass(frozen=True, slots=True)
class OfficialStrip:
    """An official's day. avoids: clubs and teams that the plan keeps away from this official.

    cleared: may be in a room with children on the day.
    """

    id: str
    name: str
    rows: tuple[DutyRow | Interval, ...]
    duties: int
    avoids: tuple[str, ...]
    cleared: bool

    @property
    def idle(self) -> str:
        """What the card says instead of a list of duties."""
        return FREE if self.cleared else NOT_CLEARED


def team_strips(hall: Hall) -> dict[str, tuple[TeamStrip, ...]]:
    """Club -> strips of its teams."""
    clubs: dict[str, list[TeamStrip]] = {}
    for team in hall.plan.teams:
        clubs.setdefault(team.club, []).append(_team_strip(hall, team))
    return {club: tuple(clubs[club]) for club in sorted(clubs)}


def _team_strip(hall: Hall, team: Team) -> TeamStrip:
    views = [heat for heat in hall.heats.values() if team.id in hall.plan.heat[heat.id].teams]
    stops = tuple(_stop(hall, heat, team) for heat in views)
    lines = [hall.plan.heat[heat.id].line for heat in views]
    children = tuple(
        ChildRow(
            hall.names[child],
            hall.roster.contestant[child].substitute,
            tuple(line.index(child) + 1 if child in line else None for line in lines),
        )
        for child in team.members
    )
    byes = tuple(bye.round for bye in hall.plan.byes if bye.team == team.id)
    rows: list[Stop | Interval] = [*stops, *hall.pauses, *_to_be_drawn(hall, team)]
    return TeamStrip(hall.teams[team.id], in_order(rows), stops, children, byes)


def _to_be_drawn(hall: Hall, team: Team) -> Iterator[Interval]:
    """From the first to the last heat of each round that is drawn when the one before is in."""
    rounds: dict[int, list[HeatView]] = {}
    for heat in hall.reserved:
        if heat.division.name == team.division:
            rounds.setdefault(heat.round, []).append(heat)
    for number, heats in rounds.items():
        start, end = min(heat.start for heat in heats), max(heat.end for heat in heats)
        yield Interval(start, end, f"Round {number}: drawn when round {number - 1} is in; see the board")


def _stop(hall: Hall, view: HeatView, team: Team) -> Stop:
    heat = hall.plan.heat[view.id]
    first_line = {key: min(_lines(heat.line, hall.plan.team[key]), default=0) for key in heat.teams}
    standing = sorted(heat.teams, key=lambda key: first_line[key])
    return Stop(
        view.start,
        view,
        tuple(other for other in view.teams if other.id != team.id),
        _side(standing.index(team.id), len(standing)),
        span(_lines(heat.line, team)),
    )


def _lines(line: tuple[str, ...], team: Team) -> list[int]:
    return [number for number, child in enumerate(line, 1) if child in team.members]


def _side(place: int, teams: int) -> str:
    if teams == 1:
        return "whole line"
    return {0: "left", teams - 1: "right"}.get(place, "middle")


def span(numbers: list[int]) -> str:
    """Line numbers as people write them: "1–4" without a gap, "1, 3, 4" with one."""
    if len(numbers) > 1 and numbers[-1] - numbers[0] == len(numbers) - 1:
        return f"{numbers[0]}–{numbers[-1]}"
    return ", ".join(map(str, numbers))


def official_strips(hall: Hall) -> tuple[OfficialStrip, ...]:
    """One strip an official, by name."""
    by_name = sorted(hall.roster.officials, key=lambda official: (official.name.casefold(), official.id))
    return tuple(_official_strip(hall, official) for official in by_name)


def _official_strip(hall: Hall, official: Official) -> OfficialStrip:
    duties = tuple(_duties(hall, official))
    tied = set(official.people)
    teams = (f"{team.name} ({team.id})" for team in hall.plan.teams if tied & set(team.members))
    later = _drawn_later(hall, {duty.heat.wave for duty in duties})
    rows: list[DutyRow | Interval] = [*duties, *hall.pauses, *later]
    avoids = (*official.clubs, *teams)
    return OfficialStrip(official.id, official.name, in_order(rows), len(duties), avoids, official.cleared)


def _duties(hall: Hall, official: Official) -> Iterator[DutyRow]:
    for heat in hall.heats.values():
        for person in heat.officials:
            if person.official == official.id:
                yield DutyRow(
                    heat.start, heat, person.duty, tuple(other for other in heat.officials if other != person)
                )


def _drawn_later(hall: Hall, busy: set[str]) -> Iterator[Interval]:
    """Waves with heats still to be drawn, in which nothing is asked yet."""
    open_waves = {heat.wave for heat in hall.reserved}
    for wave in hall.plan.waves:
        if wave.id in open_waves - busy:
            yield Interval(hall.clock(wave.start), hall.clock(wave.end), "Heats are drawn later: please stay in reach")
