"""What is known of one division, or of one of its pools: teams, heats, drill-offs, who left."""

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, field, replace

from tourney.model.event import Division
from tourney.model.people import Team
from tourney.model.plan import Plan, pool_cut
from tourney.scoring.best_over_day import counted_over_day, day_spans
from tourney.scoring.drilled import Readings
from tourney.scoring.heats import HeatScore
from tourney.scoring.lots import lots_of
from tourney.scoring.table import Table


@dataclass(frozen=True, slots=True)
class DivisionDay:
    """What is known of one division, or of one of its pools.

    entered: ids of all teams of the division. undrawn: rounds still to be drawn, whose heats nobody knows.
    disqualified: teams and contestants, in order of ids. away: teams that left or withdrew, and take no place in the
    finals. drill_offs: what a drill-off for the last place that advances is about -> its readings.
    finalists: once the finals are drawn. pool: "" for the whole division.
    """

    division: Division
    teams: tuple[Team, ...]
    entered: tuple[str, ...]
    scores: tuple[HeatScore, ...]
    drawn: int
    undrawn: int
    disqualified: tuple[str, ...] = ()
    away: frozenset[str] = frozenset()
    drill_offs: Mapping[str, Readings] = field(default_factory=dict)
    finalists: tuple[str, ...] | None = None
    pool: str = ""

    @property
    def ranked(self) -> tuple[Team, ...]:
        """The teams that take places."""
        return tuple(team for team in self.teams if team.id not in self.disqualified)

    @property
    def settled(self) -> bool:
        """Whether no sheet and no round still to come can change anything."""
        return not self.undrawn and all(score.settled for score in self.scores)

    @property
    def drilled(self) -> Readings:
        """Readings of the drill-off for its own last place that advances."""
        return self.drill_offs.get(pool_cut(self.pool), {})

    @property
    def pools(self) -> "tuple[DivisionDay, ...]":
        """Its pools, by name; none where it is not parted."""
        names = {team.pool for team in self.teams} - {self.pool}
        return tuple(self._pool(name) for name in sorted(names))

    def _pool(self, name: str) -> "DivisionDay":
        teams = tuple(team for team in self.teams if team.pool == name)
        ids = {team.id for team in teams}
        scores = tuple(score for score in self.scores if not ids.isdisjoint(score.heat.teams))
        return replace(self, teams=teams, scores=scores, pool=name)


def division_day(
    plan: Plan,
    division: Division,
    scores: Sequence[HeatScore],
    disqualified: Collection[str] = (),
    withdrawn: Collection[str] = (),
    drill_offs: Mapping[str, Readings] | None = None,
) -> DivisionDay:
    """A division's part of the plan and of the heats' scores. `rounds = "all"` is always drawn in one piece.

    disqualified, withdrawn: see Decisions. drill_offs: for the last place that advances, of all divisions.
    """
    drawn = plan.drawn_rounds.get(division.name, 0)
    waits = division.draw == "by_standing" and isinstance(division.rounds, int)
    teams = tuple(team for team in plan.teams if team.division == division.name)
    theirs = {one for team in teams for one in (team.id, *team.members)}
    own = tuple(score for score in scores if score.heat.division == division.name)
    return DivisionDay(
        division,
        teams,
        tuple(team.id for team in teams),
        counted_over_day(own, division) if division.counting_over == "day" else own,
        drawn,
        max(0, int(division.rounds) - drawn) if waits else 0,
        tuple(sorted(theirs & set(disqualified))),
        frozenset(withdrawn).union(plan.gone),
        {
            about: {team: made for team, made in readings.items() if team in theirs}
            for about, readings in (drill_offs or {}).items()
        },
        next((drawn.seeds for drawn in plan.finals if drawn.division == division.name), None),
    )


def table_of(day: DivisionDay, words: str, excused: Collection[str] = ()) -> Table:
    """Every heat of the division or pool. words: of the draw, for the lot. excused: see Table."""
    return Table(
        tuple(sorted(team.id for team in day.teams)),
        tuple(score.teams for score in day.scores),
        day.division.rank_by,
        day.division.heat_points,
        lots_of(words, day.division.name, day.entered),
        day.drilled,
        day_spans(day.scores, day.division) if day.division.counting_over == "day" else {},
        frozenset(excused),
    )
