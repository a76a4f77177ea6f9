"""Totals of a heat where a room kept nothing else."""

from collections.abc import Iterable
from dataclasses import dataclass

from tourney.model.documents import Exact
from tourney.model.plan import Plan


@dataclass(frozen=True, slots=True)
class HeatTotal:
    """What a team's counting members made in one heat, as the room added it up."""

    heat: str
    team: str
    points: Exact


def in_full(plan: Plan, totals: Iterable[HeatTotal]) -> dict[str, tuple[HeatTotal, ...]]:
    """Heat -> its totals, for heats with one for every team of theirs. totals: at most one a team and heat."""
    found: dict[str, list[HeatTotal]] = {}
    for total in totals:
        found.setdefault(total.heat, []).append(total)
    return {
        heat: tuple(own)
        for heat, own in found.items()
        if heat in plan.heat and {total.team for total in own} >= set(plan.heat[heat].teams)
    }
