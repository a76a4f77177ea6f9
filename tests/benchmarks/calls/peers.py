"""One model of all sets at once, as a general-purpose solver is given it: the peers of our draw.

The calls a section of each set, the spacing, no neighbours in a set and even use inside a section are hard; the spread
of the sums of difficulty is minimised (van der Linden, Linear Models for Optimal Test Design, 2005).
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import highspy
from ortools.sat.python import cp_model

from tourney.planning.calls.pool import Counts, Pool
from tourney.planning.calls.selection import fewest_neighbours

Row = tuple[list[tuple[int, int]], int, int]  # (set, item) pairs whose number lies between two limits


@dataclass(frozen=True)
class Wanted:
    """Sets to be found, with these calls a section, no item twice within `gap` sets."""

    pool: Pool
    counts: Sequence[Counts]
    gap: int

    def rows(self) -> Iterator[Row]:
        """Every hard rule."""
        sets, pool = range(len(self.counts)), self.pool
        for at in sets:
            for members, calls in zip(pool.members, self.counts[at], strict=True):
                yield [(at, item) for item in members], calls, calls
            if not fewest_neighbours(pool, self.counts[at]):
                yield from (
                    ([(at, item - 1), (at, item)], 0, 1) for item in range(len(pool.items)) if pool.joined[item]
                )
        for first in range(len(sets) - self.gap) if self.gap else ():
            for item in range(len(pool.items)):
                yield [(at, item) for at in sets[first : first + self.gap + 1]], 0, 1
        for section, members in enumerate(pool.members):
            calls = sum(row[section] for row in self.counts)
            for item in members:
                yield [(at, item) for at in sets], calls // len(members), -(-calls // len(members))


def cp_sat(wanted: Wanted, seconds: float) -> float | None:
    """Spread in percent that CP-SAT has found with two workers, None without a solution."""
    model, items = cp_model.CpModel(), range(len(wanted.pool.items))
    holds = [[model.new_bool_var("") for _ in items] for _ in wanted.counts]
    for pairs, low, high in wanted.rows():
        model.add_linear_constraint(sum(holds[at][item] for at, item in pairs), low, high)
    most, least = (model.new_int_var(0, sum(wanted.pool.parts), "") for _ in range(2))
    for row in holds:
        total = cp_model.LinearExpr.weighted_sum(row, list(wanted.pool.parts))
        model.add(total <= most)
        model.add(total >= least)
    model.minimize(most - least)
    solver = cp_model.CpSolver()
    solver.parameters.num_workers, solver.parameters.max_time_in_seconds = 2, seconds
    if solver.solve(model) not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        return None
    return spread(wanted.pool, [[item for item in items if solver.value(row[item])] for row in holds])


def highs(wanted: Wanted, seconds: float) -> float | None:
    """The same from HiGHS."""
    model, items = highspy.Highs(), range(len(wanted.pool.items))
    model.setOptionValue("output_flag", False)
    model.setOptionValue("time_limit", seconds)
    model.setOptionValue("threads", 2)
    holds = [[model.addBinary() for _ in items] for _ in wanted.counts]
    for pairs, low, high in wanted.rows():
        total = model.qsum(holds[at][item] for at, item in pairs)
        model.addConstr(total >= low)
        model.addConstr(total <= high)
    most, least = model.addVariable(), model.addVariable()
    for row in holds:
        total = model.qsum(bits * held for bits, held in zip(wanted.pool.bits, row, strict=True))
        model.addConstr(total <= most)
        model.addConstr(total >= least)
    model.minimize(most - least)
    values = model.getSolution().col_value
    if model.getInfo().primal_solution_status != highspy.kSolutionStatusFeasible:
        return None
    return spread(wanted.pool, [[item for item in items if values[row[item].index] > 0.5] for row in holds])


def spread(pool: Pool, sets: Sequence[Sequence[int]]) -> float:
    """Hardest less easiest sum of difficulty, in percent of their mean."""
    sums = [pool.total(held) for held in sets]
    return 100 * (max(sums) - min(sums)) * len(sums) / sum(sums)
