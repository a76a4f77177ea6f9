"""Results: standings with the reason of every place, as results.json holds them."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

from tourney.model.documents import Exact

Advances = Literal["certain", "possible", "out"]


@dataclass(frozen=True, slots=True)
class TeamStanding:
    """One team's row. Counts are of the counting members' calls. range: best and worst place still possible.

    decided_by: the criterion that separates it from the next place below (the last: from the one above), or "shared".
    change: the smallest change that would alter its place, in words.
    sections: key -> (found, heard): how often its children found what was called from a section, and how often they
    were there when it was called; all that stood in line, whether or not they counted.
    pool: where the division is parted; place, range, reason and change are then those in the pool.
    across: its place in the order in which teams of all pools go on. across_reason: why, of who is not among the first
    of its pool.
    """

    place: int
    shared: bool
    team: str
    points: Exact
    available: Exact
    clean_calls: int
    late: int
    wrong_place: int
    spoken: int
    handling: int
    heat_points: int
    decided_by: str
    reason: str
    range: tuple[int, int]
    advances: Advances
    round_points: tuple[Exact, ...] = ()
    change: str = ""
    sections: Mapping[str, tuple[int, int]] = field(default_factory=dict)
    pool: str = ""
    across: int = 0
    across_reason: str = ""


@dataclass(frozen=True, slots=True)
class ContestantStanding:
    """One contestant's row. shown_as: the name that may be shown. band: the award reached, or None.

    next_band: what the next higher award asks and by how much it was missed, in words; empty where there is none.
    """

    place: int
    shared: bool
    contestant: str
    shown_as: str
    team: str
    points: Exact
    available: Exact
    band: str | None
    next_band: str = ""
    round_points: tuple[Exact, ...] = ()


@dataclass(frozen=True, slots=True)
class Asked:
    """A criterion as it was asked among level teams. again: how often it had been asked of them before.

    shown: team -> its value in words, such as "1980 1/2"; no entry for a team that was placed before it came to this.
    unit: of the values. deciding: the teams whose place it settles. note: why it separates nobody.
    """

    criterion: str
    again: int
    shown: Mapping[str, str]
    unit: str = ""
    deciding: tuple[str, ...] = ()
    note: str = ""


@dataclass(frozen=True, slots=True)
class LevelGroup:
    """Teams that are level on what ranks first, best first, and what was asked of them, in the order of asking."""

    teams: tuple[str, ...]
    asked: tuple[Asked, ...]


@dataclass(frozen=True, slots=True)
class LevelAtTheCut:
    """Teams between whom a last place that advances is to be decided. about: see `pool_cut`.

    readings: of a drill-off that all of them have held.
    """

    about: str
    teams: tuple[str, ...]
    readings: int = 0


@dataclass(frozen=True, slots=True)
class HeatStanding:
    """What one team made in one heat, of its counting members. heat_points: of what is decided in it.

    counted: False where the points alone are known, and nothing of single calls. heard: False while nothing is known of
    it, so that its points are none yet.
    """

    heat: str
    round: int
    team: str
    points: Exact
    available: Exact
    clean_calls: int
    late: int
    wrong_place: int
    spoken: int
    handling: int
    heat_points: int
    counted: bool = True
    heard: bool = True


@dataclass(frozen=True, slots=True)
class DivisionResults:
    """Both standings of a division, best first, teams pool after pool. disqualified: ids of who takes no place.

    cut: who is level at a last place of the finals. drill_off, drill_off_in_pool: team -> points of each reading of a
    drill-off for such a place.
    level: groups that tie-breaks looked at. heats: what each team made in each heat, in the plan's order.
    """

    division: str
    teams: tuple[TeamStanding, ...]
    contestants: tuple[ContestantStanding, ...]
    disqualified: tuple[str, ...] = ()
    cut: tuple[LevelAtTheCut, ...] = ()
    drill_off: Mapping[str, tuple[Exact, ...]] = field(default_factory=dict)
    drill_off_in_pool: Mapping[str, tuple[Exact, ...]] = field(default_factory=dict)
    level: tuple[LevelGroup, ...] = ()
    heats: tuple[HeatStanding, ...] = ()

    @property
    def unheard(self) -> frozenset[tuple[str, int]]:
        """(team, round) of each heat of which nothing is known yet: what it made there is nothing, not 0."""
        return frozenset((row.team, row.round) for row in self.heats if not row.heard)

    @property
    def pools(self) -> dict[str, tuple[TeamStanding, ...]]:
        """Pool -> its rows, best first; all of them under "" where the division is not parted."""
        names = dict.fromkeys(row.pool for row in self.teams) or {"": None}
        return {name: tuple(row for row in self.teams if row.pool == name) for name in names}

    @property
    def others(self) -> tuple[tuple[int, bool, TeamStanding], ...]:
        """(place, shared, row) of who is not among the first of a pool, in the order in which they go on."""
        rows = sorted((row for row in self.teams if row.across_reason), key=lambda row: row.across)
        places = [row.across for row in rows]
        return tuple((1 + places.index(row.across), places.count(row.across) > 1, row) for row in rows)


@dataclass(frozen=True, slots=True)
class OpenMatter:
    """Something that keeps results provisional. kind: e.g. missing_sheet, open_cell, not_judged, judges_differ.

    rulings: each a way to settle it, as the words that follow `tourney rule FOLDER`. Capitals stand for what only a
    person can say.
    """

    kind: str
    heat: str
    what: str
    rulings: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class FetchFirst:
    """The heat on which most places depend. sheets: its missing ones. places: up to how many. what: in words."""

    heat: str
    sheets: tuple[str, ...]
    places: int
    what: str


@dataclass(frozen=True, slots=True)
class Results:
    """All of results.json. fetch_first: None once no missing sheet matters."""

    state: Literal["provisional", "final"]
    plan_revision: int
    divisions: tuple[DivisionResults, ...]
    open_matters: tuple[OpenMatter, ...]
    format: str = "tourney-results/1"
    fetch_first: FetchFirst | None = None
