"""Heats of which only totals came in: points count, everything that needs single calls is unknown."""

from collections.abc import Iterable, Iterator
from dataclasses import replace

from tourney.model.plan import Plan
from tourney.model.standing import OpenMatter
from tourney.model.totals import HeatTotal, in_full
from tourney.scoring.heats import HeatScore
from tourney.scoring.tally import Tally
from tourney.scoring.words import number


def with_totals(plan: Plan, scores: Iterable[HeatScore], totals: Iterable[HeatTotal]) -> tuple[HeatScore, ...]:
    """The scores, with the room's totals in heats without any sheet. totals: at most one a team and heat.

    Such a heat has no calls and no contestants; its teams' counts are marked as unknown. Totals of some of its teams
    alone, or above what its calls are worth (one was ruled void), change nothing.
    """
    kept = in_full(plan, totals)
    return tuple(_with(score, kept.get(score.heat.id, ())) for score in scores)


def _with(score: HeatScore, totals: tuple[HeatTotal, ...]) -> HeatScore:
    points = {total.team: total.points for total in totals}
    if not totals or any(points[one.team] > one.available for one in score.teams):
        return score
    if any(score.sheets):
        return replace(score, totals=totals)
    teams = tuple(
        replace(one, made=Tally(points[one.team]), least=points[one.team], most=points[one.team], counted=False)
        for one in score.teams
    )
    return replace(score, calls={}, contestants=(), teams=teams, totals=totals)


def total_matters(plan: Plan, score: HeatScore) -> Iterator[OpenMatter]:
    """totals_only_settled for a heat known by totals alone, total_differs_settled where its sheets say otherwise."""
    names = {team.id: team.name for team in plan.teams}
    if score.by_totals:
        said = ", ".join(f"{names[total.team]} {number(total.points)}" for total in score.totals)
        yield OpenMatter(
            "totals_only_settled",
            score.heat.id,
            f"Only totals came in ({said}). Their points count; clean calls and faults of this heat are not known, so "
            "tie-breaks that need them are passed over, and its children's own points leave it out.",
        )
        return
    made = {one.team: one.made.points for one in score.teams}
    for total in score.totals:
        if score.settled and total.points != made[total.team]:
            yield OpenMatter(
                "total_differs_settled",
                score.heat.id,
                f"The room's total for {names[total.team]} was {number(total.points)}; the sheets make "
                f"{number(made[total.team])}. The sheets count.",
            )
