"""Drill-offs of level teams: the heats in which they hear the next set."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import count, takewhile
from string import ascii_uppercase

from tourney.model.decisions import Decisions
from tourney.model.plan import DrillOffHeat, Plan, pool_cut
from tourney.scoring.drilled import SETS, Readings, in_force


@dataclass(frozen=True, slots=True)
class Tied:
    """Teams that need a drill-off. heat: of the finals, or a last place in them (`pool_cut`).

    readings: how many have left them level.
    """

    heat: str
    teams: tuple[str, ...]
    readings: int = 0

    @property
    def where(self) -> str:
        """Where they are level, as the end of a sentence."""
        if not self.heat:
            return "at the last place of the finals"
        pool = next((name for name in ascii_uppercase if pool_cut(name) == self.heat), "")
        return f"at the last place of the finals from pool {pool}" if pool else f"in {self.heat}"

    @property
    def spent(self) -> bool:
        """Whether all sets are read: then a place that must be decided is decided call by call."""
        return self.readings >= SETS


def drawn_for(plan: Plan, tie: Tied) -> tuple[str, ...]:
    """The heat in which these teams hear their next set, or the heats of parts of them; empty while it is not drawn."""
    found: list[str] = []
    missing = set(tie.teams)
    for one in reversed(in_force(plan)):
        teams = set(plan.heat[one.heat].teams)
        if (one.about, one.reading) == (tie.heat, tie.readings + 1) and teams <= missing:
            found.insert(0, one.heat)
            missing -= teams
    return () if missing else tuple(found)


def to_draw(
    plan: Plan, ties: Sequence[Tied], lines: Callable[[Tied], Sequence[tuple[str, ...]]]
) -> list[tuple[Tied, tuple[str, ...], DrillOffHeat]]:
    """The heats that are still to be drawn, with who stands in them: one for each of the lines that a tie takes.

    Ids follow what left them level: J-F1-2-D1, J-POOL-A-D1.
    """
    taken = {one.heat for one in plan.drill_offs}
    found = []
    for tie in ties:
        if tie.spent or drawn_for(plan, tie):
            continue
        first = plan.team[tie.teams[0]]
        before_finals = tie.heat in ("", pool_cut(first.pool))
        stem = "-".join(filter(None, [*([_prefix(plan, first.division)] if before_finals else []), tie.heat]))
        for teams in lines(tie):
            heat = next(name for number in count(1) if (name := f"{stem}-D{number}") not in taken)
            taken.add(heat)
            found.append((tie, teams, DrillOffHeat(heat, tie.heat, tie.readings + 1)))
    return found


def needless_drill_offs(plan: Plan, decisions: Decisions) -> set[str]:
    """Drill-offs for whose sheets nobody waits: their points were typed, or they are about a heat as it was before."""
    typed = {
        one.heat
        for one in plan.drill_offs
        if all((one.about, team, one.reading) in decisions.drill_offs for team in plan.heat[one.heat].teams)
    }
    return typed | {one.heat for one in plan.drill_offs}.difference(one.heat for one in in_force(plan))


def next_reading(teams: Sequence[str], readings: Readings) -> int:
    """The reading that these teams hold next, from 1: the one in which they were not level, or that is not held."""
    held = zip(*(readings.get(team, ()) for team in teams), strict=False)
    return 1 + sum(1 for _ in takewhile(lambda points: len({*points}) == 1, held))


def _prefix(plan: Plan, division: str) -> str:
    """What the ids of a division begin with."""
    sets = ((sealed.division, sealed.use, sealed.id) for sealed in plan.call_sets)
    return next(key.rsplit("-DRILLOFF-", 1)[0] for name, use, key in sets if (name, use) == (division, "drill_off"))
