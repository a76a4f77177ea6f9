"""Quotas alone: how long their least worst deviation takes to find and prove, beside one direct model of the same.

python -m tests.benchmarks.calls.quotas writes quotas.md beside this file.
"""

from collections.abc import Callable
from fractions import Fraction
from math import ceil, floor
from pathlib import Path
from random import Random
from time import perf_counter

import highspy
from ortools.sat.python import cp_model

from tourney.canon.syllabus import built_in
from tourney.model.event import Division
from tourney.planning.calls.pool import Pool, pool_of
from tourney.planning.calls.quotas import Demand, draw_quotas
from tourney.planning.calls.shares import shares_of

SECONDS = 1.0  # the target, and what the peers are given
HEAD = ("sets x calls", "sections", "gap", "worst distance", "proven", "time", "CP-SAT", "HiGHS")
CASES: tuple[tuple[int, int, str, int], ...] = (
    (4, 20, "equal", 1),
    (12, 16, "equal", 1),
    (24, 20, "equal", 0),
    (24, 20, "by_size", 1),
    (24, 20, "by_size", 2),
    (60, 20, "by_size", 1),
    (200, 24, "by_size", 0),
    (200, 24, "by_size", 1),
)
Peer = Callable[[Demand, Pool], tuple[float, bool]]  # worst distance in calls, and whether it is proven


def cp_sat(demand: Demand, pool: Pool) -> tuple[float, bool]:
    """Calls of each set and section as whole numbers, the worst distance of any running total minimised."""
    model, unit = cp_model.CpModel(), 10**6
    worst = model.new_int_var(0, unit, "worst")
    calls = [[model.new_int_var(0, size, "") for size in pool.size] for _ in demand.rounds]
    for n, row in enumerate(calls, 1):
        model.add(sum(row) == demand.calls)
        for section, share in enumerate(demand.exact):
            model.add_linear_constraint(row[section], floor(share), ceil(share))
            off = unit * sum(before[section] for before in calls[:n]) - round(unit * n * share)
            model.add(off <= worst)
            model.add(-off <= worst)
            if n > demand.gap:
                model.add(sum(before[section] for before in calls[n - demand.gap - 1 : n]) <= pool.size[section])
    model.minimize(worst)
    solver = cp_model.CpSolver()
    solver.parameters.num_workers, solver.parameters.max_time_in_seconds = 2, SECONDS
    status = solver.solve(model)
    if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        return float("nan"), False
    return solver.objective_value / unit, status == cp_model.OPTIMAL


def highs(demand: Demand, pool: Pool) -> tuple[float, bool]:
    """The same from HiGHS."""
    model = highspy.Highs()
    model.setOptionValue("output_flag", False)
    model.setOptionValue("time_limit", SECONDS)
    model.setOptionValue("threads", 2)
    worst = model.addVariable(0, 1)
    calls = [[model.addIntegral(floor(share), ceil(share)) for share in demand.exact] for _ in demand.rounds]
    for n, row in enumerate(calls, 1):
        model.addConstr(model.qsum(row) == demand.calls)
        for section, share in enumerate(demand.exact):
            total = model.qsum(before[section] for before in calls[:n])
            model.addConstr(total - worst <= float(n * share))
            model.addConstr(total + worst >= float(n * share))
            if n > demand.gap:
                window = calls[n - demand.gap - 1 : n]
                model.addConstr(model.qsum(before[section] for before in window) <= pool.size[section])
    model.minimize(worst)
    if model.getInfo().primal_solution_status != highspy.kSolutionStatusFeasible:
        return float("nan"), False
    return model.getInfo().objective_function_value, model.getModelStatus() == highspy.HighsModelStatus.kOptimal


def row_of(sets: int, calls: int, sections: str, gap: int) -> tuple[str, ...]:
    """A line of the table."""
    division = Division(name="Junior", ages=(8, 10), calls=calls, sections=sections, no_repeat_gap=gap)
    pool = pool_of(built_in(), division)
    demand = Demand(shares_of(division, pool), calls, tuple(range(sets)), gap)
    began = perf_counter()
    quotas = draw_quotas(demand, pool, Random(1))
    taken = perf_counter() - began
    assert quotas is not None
    peers = [peer(demand, pool) for peer in (cp_sat, highs)]
    return (
        f"{sets}x{calls}",
        sections,
        str(gap),
        _calls(quotas.deviation),
        "yes" if quotas.proven else "no",
        f"{taken:.2f} s",
        *("none found" if off != off else f"{off:.3f}{', proven' if sure else ''}" for off, sure in peers),
    )


def _calls(off: Fraction) -> str:
    return f"{float(off):.3f} calls"


def main() -> None:
    """Measure and write."""
    rows = [HEAD, ("---",) * len(HEAD)]
    for case in CASES:
        rows.append(row_of(*case))
        print(*rows[-1], sep=" | ", flush=True)
    text = "\n".join(f"| {' | '.join(row)} |" for row in rows)
    (Path(__file__).parent / "quotas.md").write_text(
        "# Quotas\n\nWritten by `python -m tests.benchmarks.calls.quotas`. One set a round. Worst distance of a "
        "section's calls from its share after any round,\nand whether no quotas have a smaller one; target: proven in "
        f"{SECONDS:g} s. Peers in the same run: one direct model each,\n"
        f"given {SECONDS:g} s and two threads.\n\n{text}\n"
    )


if __name__ == "__main__":
    main()
