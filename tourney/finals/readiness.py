"""Whether the finals of a division can be drawn: what of its rounds is still open."""

from dataclasses import dataclass
from datetime import datetime

from tourney.finals.drawing import finalists
from tourney.model.plan import Plan
from tourney.model.standing import DivisionResults, LevelAtTheCut, Results
from tourney.scoring.open_matters import keeps_provisional


@dataclass(frozen=True, slots=True)
class Readiness:
    """What keeps the finals of a division from being drawn. waiting: sentences. ties: at a last place that advances.

    never: there will be none.
    """

    waiting: tuple[str, ...] = ()
    ties: tuple[LevelAtTheCut, ...] = ()
    never: bool = False

    @property
    def ready(self) -> bool:
        """Whether nothing does."""
        return not self.waiting and not self.ties


def readiness(plan: Plan, results: Results, standing: DivisionResults, protests_until: datetime | None) -> Readiness:
    """protests_until: when the time for protests about this division's rounds ends, None once it is over."""
    name = standing.division
    undrawn = any(slot.division == name for slot in plan.reserved)
    waiting = [f"{name}: rounds are still to be drawn."] if undrawn else []
    waiting += [
        f"{matter.heat}: {matter.what}"
        for matter in results.open_matters
        if keeps_provisional(matter) and matter.heat in plan.heat and plan.heat[matter.heat].division == name
    ]
    if waiting:
        return Readiness(tuple(waiting))
    if protests_until is not None:
        return Readiness((f"{name}: protests are heard until {protests_until:%H:%M}.",))
    if not standing.cut and len(finalists(standing)) < 2:
        return Readiness((f"{name}: fewer than two teams reach the finals.",), never=True)
    return Readiness((), standing.cut)
