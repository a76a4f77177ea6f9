"""A planned day: who, where, when, with whom. Holds no calls, no child's name and no birth date."""

from dataclasses import dataclass
from datetime import datetime, timedelta
from functools import cached_property

from tourney.model.calls import Use
from tourney.model.event import Event
from tourney.model.people import Duty, Official, Team


@dataclass(frozen=True, slots=True)
class Wave:
    """Heats that start together. start: aware, in the event's zone. minutes: how long the heats take."""

    id: str
    start: datetime
    minutes: int

    @property
    def end(self) -> datetime:
        """When its heats are over."""
        return self.start + timedelta(minutes=self.minutes)


@dataclass(frozen=True, slots=True)
class Heat:
    """One line, one room, one call set, one panel.

    line: contestant ids in standing order, line number 1 first. timekeeper: None where the caller keeps time.
    since: the first revision of the plan whose score sheets hold for this heat; older ones are superseded.
    """

    id: str
    division: str
    round: int
    wave: str
    room: str
    call_set: str
    teams: tuple[str, ...]
    judges: tuple[str, ...]
    caller: str
    timekeeper: str | None
    line: tuple[str, ...]
    since: int = 1

    @property
    def seats(self) -> tuple[tuple[Duty, str], ...]:
        """Everyone on duty: (duty, official id)."""
        timekeeper: tuple[tuple[Duty, str], ...] = (("timekeeper", self.timekeeper),) if self.timekeeper else ()
        return (*(("judge", judge) for judge in self.judges), ("caller", self.caller), *timekeeper)


@dataclass(frozen=True, slots=True)
class ReservedHeat:
    """A heat whose teams are drawn by standing, when the round before is in. Its place in the day is kept free."""

    id: str
    division: str
    round: int
    wave: str
    room: str
    call_set: str


@dataclass(frozen=True, slots=True)
class Bye:
    """A team that sits out one round."""

    division: str
    round: int
    team: str


@dataclass(frozen=True, slots=True)
class SealedSet:
    """All that a plan says of a call set."""

    id: str
    division: str
    use: Use
    fingerprint: str


@dataclass(frozen=True, slots=True)
class DrawnFinals:
    """The finals of a division, once they are drawn. seeds: team ids, best first. size: most teams in a heat.

    prefix: what the ids of its heats begin with.
    placed: the team in the place of seed 1, 2 and so on; another than the seed itself where teams of one club are kept
    apart, which the footnotes tell.
    """

    division: str
    prefix: str
    kind: str
    size: int
    seeds: tuple[str, ...]
    placed: tuple[str, ...]
    footnotes: tuple[str, ...] = ()


def pool_cut(pool: str) -> str:
    """What a drill-off for the last place that advances is about: of a pool; "" where all can have it."""
    return f"POOL-{pool}" if pool else ""


@dataclass(frozen=True, slots=True)
class DrillOffHeat:
    """A heat of the plan in which level teams hear one set of a drill-off.

    about: the heat of the finals that left them level, or the last place that advances (`pool_cut`). reading: from 1.
    """

    heat: str
    about: str
    reading: int


@dataclass(frozen=True, slots=True)
class LeftOut:
    """Calls of a set, by number, that are not called, so that its round is shorter for all."""

    call_set: str
    calls: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class FairnessLine:
    """One property of the fairness page.

    bound: the best that can be proven possible. ok compares measured with limit.
    """

    property: str
    scope: str
    measured: float | int | str | None
    limit: float | int | str | None
    bound: float | int | str | None
    ok: bool
    worst: str = ""


@dataclass(frozen=True, slots=True)
class DrawRecord:
    """What the draw came from. inputs: hash of everything handed in; secret: hash of the folder's secret.

    calls_by: what drew the calls, since another version may draw others; empty in plans from before that was kept.
    """

    words: str
    inputs: str
    secret: str
    calls_by: str = ""


@dataclass(frozen=True, slots=True)
class PublicOfficial:
    """An official as plan.json shows one."""

    id: str
    name: str
    roles: tuple[Duty, ...]
    clubs: tuple[str, ...]
    people: tuple[str, ...]

    @staticmethod
    def of(official: Official) -> "PublicOfficial":
        """Without hours and clearance, which are nobody else's business."""
        return PublicOfficial(official.id, official.name, official.roles, official.clubs, official.people)


@dataclass(frozen=True)
class Plan:
    """All of plan.json.

    left_out: of sets that were shortened. closed_rooms: names of rooms lost during the day. gone: ids of teams and
    contestants who left. reserved: heats of rounds that are still to be drawn. finals: of divisions that have come so
    far; their heats are heats of the plan, of rounds beyond those that are drawn. drill_offs: in the order drawn.
    """

    revision: int
    event: Event
    draw: DrawRecord
    teams: tuple[Team, ...]
    drawn_rounds: dict[str, int]
    officials: tuple[PublicOfficial, ...]
    waves: tuple[Wave, ...]
    heats: tuple[Heat, ...]
    byes: tuple[Bye, ...]
    call_sets: tuple[SealedSet, ...]
    fairness: tuple[FairnessLine, ...]
    left_out: tuple[LeftOut, ...] = ()
    closed_rooms: tuple[str, ...] = ()
    gone: tuple[str, ...] = ()
    reserved: tuple[ReservedHeat, ...] = ()
    finals: tuple[DrawnFinals, ...] = ()
    drill_offs: tuple[DrillOffHeat, ...] = ()
    format: str = "tourney-plan/1"

    @cached_property
    def rotation(self) -> tuple[Heat, ...]:
        """The heats of the rounds, without finals and drill-offs."""
        use = {sealed.id: sealed.use for sealed in self.call_sets}
        return tuple(heat for heat in self.heats if use.get(heat.call_set) not in ("final", "drill_off"))

    @cached_property
    def wave(self) -> dict[str, Wave]:
        """Waves by id."""
        return {wave.id: wave for wave in self.waves}

    @cached_property
    def heat(self) -> dict[str, Heat]:
        """Heats by id."""
        return {heat.id: heat for heat in self.heats}

    @cached_property
    def team(self) -> dict[str, Team]:
        """Teams by id."""
        return {team.id: team for team in self.teams}

    @cached_property
    def official(self) -> dict[str, PublicOfficial]:
        """Officials by id."""
        return {official.id: official for official in self.officials}
