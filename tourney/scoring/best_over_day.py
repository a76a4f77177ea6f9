"""The best members found over the whole day: the same ones count in every heat of their team."""

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from tourney.model.event import Division
from tourney.scoring.heats import ContestantHeat, HeatScore, TeamHeat, best_first
from tourney.scoring.tally import total


@dataclass(frozen=True, slots=True)
class _TeamDay:
    """One team. members: what each of its children made over all heats, those first who count."""

    members: tuple[ContestantHeat, ...]
    places: int

    @property
    def counting(self) -> frozenset[str]:
        """Who counts, by what is known."""
        return frozenset(one.contestant for one in self.members[: self.places])

    @property
    def settled(self) -> bool:
        """Whether it is known for good who counts."""
        return all(one.least == one.most for one in self.members)


def counted_over_day(scores: Sequence[HeatScore], division: Division) -> tuple[HeatScore, ...]:
    """A division's scores in which a team makes what its best `counting` members of the day made in each heat.

    While marks are open anybody may still come to count, so the least and the most of a heat are those of its weakest
    and of its strongest members. Heats that are known by totals alone stay as they are.
    """
    days = _days(scores, division)
    return tuple(
        score
        if score.by_totals
        else replace(score, teams=tuple(_team_heat(one, days[one.team], score.contestants) for one in score.teams))
        for score in scores
    )


def day_spans(scores: Sequence[HeatScore], division: Division) -> dict[str, tuple[Fraction, Fraction]]:
    """Team -> the least and the most points it can still have. Exact: what one child makes leaves the others theirs."""
    fixed: dict[str, Fraction] = defaultdict(Fraction)
    for one in (team for score in scores if score.by_totals for team in score.teams):
        fixed[one.team] += one.made.points
    days = _days(scores, division)
    return {
        team: (
            sum(sorted((one.least for one in day.members), reverse=True)[: day.places], fixed[team]),
            sum(sorted((one.most for one in day.members), reverse=True)[: day.places], fixed[team]),
        )
        for team, day in days.items()
    }


def _days(scores: Sequence[HeatScore], division: Division) -> dict[str, _TeamDay]:
    heats: dict[str, dict[str, list[ContestantHeat]]] = {one.team: {} for score in scores for one in score.teams}
    for child in (one for score in scores for one in score.contestants):
        heats[child.team].setdefault(child.contestant, []).append(child)
    return {
        team: _TeamDay(tuple(best_first([_added(own) for own in children.values()], division)), division.counting)
        for team, children in heats.items()
    }


def _added(own: Sequence[ContestantHeat]) -> ContestantHeat:
    """One child's heats as if they were one."""
    return replace(
        own[0],
        made=total([one.made for one in own]),
        least=sum((one.least for one in own), Fraction()),
        most=sum((one.most for one in own), Fraction()),
        available=sum(one.available for one in own),
    )


def _team_heat(heat: TeamHeat, day: _TeamDay, stood: Sequence[ContestantHeat]) -> TeamHeat:
    own = {one.contestant: one for one in stood if one.team == heat.team}
    made = total([one.made for one in own.values() if one.contestant in day.counting])
    if day.settled:
        return replace(heat, made=made, least=made.points, most=made.points)
    away = [Fraction()] * (len(day.members) - len(own))  # who stands in other heats may count, and makes nothing here
    weakest = sorted([*(one.least for one in own.values()), *away])
    strongest = sorted((one.most for one in own.values()), reverse=True)
    return replace(
        heat,
        made=made,
        least=sum(weakest[: day.places], Fraction()),
        most=sum(strongest[: day.places], Fraction()),
    )
