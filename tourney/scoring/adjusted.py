"""Where teams would stand if every panel had been as strict as the others. For the chief judge: it changes nothing."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from math import hypot, sqrt

from tourney.model.heard import Allowance
from tourney.model.standing import TeamStanding
from tourney.scoring.division_day import DivisionDay
from tourney.scoring.heats import HeatScore
from tourney.scoring.standings import standings_of

NONE = Allowance(0.0, 0.0)


@dataclass(frozen=True, slots=True)
class Adjusted:
    """One team. place, shared: as the results have it. adjusted: its place with the allowances.

    points: what the allowances add. doubt: 95 % of the time they are no further off than this.
    sure: whether some team would change places with it by more points than the doubts of both come to; None where it is
    not points that rank first.
    """

    division: str
    team: str
    place: int
    shared: bool
    adjusted: int
    points: float
    doubt: float
    sure: bool | None


def adjusted_places(
    days: Iterable[DivisionDay], allowances: Mapping[str, Allowance], words: str
) -> tuple[Adjusted, ...]:
    """Every team that takes a place, division by division, best first. words: of the draw, for the lot.

    allowances: by heat, none for the others. Tie-breaks look at the marks as they were given.
    """
    found: list[Adjusted] = []
    for day in days:
        even = replace(day, scores=tuple(_with(score, allowances.get(score.heat.id, NONE)) for score in day.scores))
        before = standings_of(day, words)[0]
        after = {row.team: row for row in standings_of(even, words)[0]}
        doubt = {row.team: _doubt(row.team, day.scores, allowances) for row in before}
        by_points = day.division.rank_by == "points"
        found += [
            Adjusted(
                day.division.name,
                row.team,
                row.place,
                row.shared,
                after[row.team].place,
                float(after[row.team].points - row.points),
                doubt[row.team],
                any(_passed(row, other, after, doubt) for other in before) if by_points else None,
            )
            for row in before
        ]
    return tuple(found)


def _passed(
    one: TeamStanding, other: TeamStanding, after: Mapping[str, TeamStanding], doubt: Mapping[str, float]
) -> bool:
    """Whether two teams would change places beyond their doubts, which count as independent of each other."""
    turned = (one.place - other.place) * (after[one.team].place - after[other.team].place) < 0
    apart = abs(after[one.team].points - after[other.team].points)
    return turned and float(apart) > hypot(doubt[one.team], doubt[other.team])


def _doubt(team: str, scores: Sequence[HeatScore], allowances: Mapping[str, Allowance]) -> float:
    """95 % of what a team's allowances may be off, in points: doubts of different heats are taken as independent."""
    each = [
        allowances.get(score.heat.id, NONE).se * one.available
        for score in scores
        for one in score.teams
        if one.team == team
    ]
    return 1.96 * sqrt(sum(points**2 for points in each))


def _with(score: HeatScore, allowance: Allowance) -> HeatScore:
    part = Fraction(allowance.part)
    teams = tuple(
        replace(
            one,
            made=replace(one.made, points=one.made.points + part * one.available),
            least=one.least + part * one.available,
            most=one.most + part * one.available,
        )
        for one in score.teams
    )
    return replace(score, teams=teams)
