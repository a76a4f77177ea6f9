"""How many calls of each section a set has, round by round.

Proportional sequencing: after every round each section's calls stand as close to its share as whole calls can
(Tijdeman, The chairman assignment problem, Discrete Mathematics 32 (1980) 323-330; quota in the sense of Balinski &
Young, American Mathematical Monthly 82 (1975) 701-730). The least worst deviation is found and proven by CP-SAT.
"""

from dataclasses import dataclass, replace
from fractions import Fraction
from math import ceil, floor, lcm
from random import Random

from ortools.sat.python import cp_model

from tourney.planning.calls.pool import Counts, Pool
from tourney.planning.calls.shares import Shares
from tourney.planning.calls.solver import found, solve

EFFORT = 4.0  # deterministic time of one search
TIDY = 0.05  # the same, for what is merely drawn
TASTE = 8  # values of a random preference


@dataclass(frozen=True, slots=True)
class Demand:
    """What quotas are wanted for. rounds: for each set in the order heard, its round, counted from 0."""

    shares: Shares
    calls: int
    rounds: tuple[int, ...]
    gap: int = 0

    @property
    def exact(self) -> tuple[Fraction, ...]:
        """Calls of each section in one set if calls could be cut."""
        return tuple(self.calls * share for share in self.shares)

    @property
    def windows(self) -> tuple[tuple[int, ...], ...]:
        """Rounds of every run of sets in which no item may come twice."""
        size = min(self.gap + 1, len(self.rounds))
        return tuple(
            sorted({tuple(sorted(self.rounds[n : n + size])) for n in range(len(self.rounds) - size + 1)})
        )  # fmt: skip


@dataclass(frozen=True, slots=True)
class Quotas:
    """rounds: calls a section, round by round. deviation: worst distance from a share after any round, in calls.

    proven: no quotas have a smaller one.
    """

    rounds: tuple[Counts, ...]
    deviation: Fraction
    proven: bool

    @property
    def forced(self) -> bool:
        """Whether there are no others: every share is a whole number of calls."""
        return self.deviation == 0


class _Model:
    """Calls of each section up to the end of each round, the whole number below or above the share.

    rounds: what each round adds. worst: worst distance from a share, in parts of a call (unit parts a call).
    held: for each section and window, the items that it takes: none may come twice in a window.
    """

    def __init__(self, demand: Demand) -> None:
        self.model, exact = cp_model.CpModel(), demand.exact
        self.unit = lcm(*(share.denominator for share in exact))
        self.worst = self.model.new_int_var(0, self.unit - 1, "worst")
        self.so_far: list[list[cp_model.IntVar]] = []
        self.rounds: list[list[cp_model.LinearExpr]] = []
        for past in range(1, max(demand.rounds) + 2):
            row = [
                self.model.new_int_var(floor(past * x), ceil(past * x), f"{n} to {past}") for n, x in enumerate(exact)
            ]
            for total, share in zip(row, exact, strict=True):
                off = self.unit * total - int(self.unit * past * share)
                self.model.add(off <= self.worst)
                self.model.add(-off <= self.worst)
            added = [calls - (self.so_far[-1][n] if self.so_far else 0) for n, calls in enumerate(row)]
            for calls, share in zip(added, exact, strict=True):
                self.model.add_linear_constraint(calls, floor(share), ceil(share))
            self.so_far.append(row)
            self.rounds.append(added)
        self.held = [
            (section, sum(self.rounds[number][section] for number in window))
            for section in range(len(exact))
            for window in demand.windows
        ]

    def draw(self, random: Random) -> cp_model.LinearExpr | int:
        """A small random preference: what the rules leave open is drawn."""
        return sum(random.randrange(TASTE) * calls for row in self.rounds for calls in row)


def draw_quotas(demand: Demand, pool: Pool, random: Random, at_most: Fraction | None = None) -> Quotas | None:
    """Quotas with the least worst deviation, or none when there are none (proven).

    Among them the neighbours that counts alone force are as few as can be; what is still open is drawn.
    at_most: deviation that may not be passed.
    """
    period = lcm(*(share.denominator for share in demand.exact))  # rounds after which every section has its exact share
    if demand.gap or max(demand.rounds) < period:
        return _solve(demand, pool, random, at_most)
    short = replace(demand, rounds=tuple(number for number in demand.rounds if number < period))
    once = _solve(short, pool, random, at_most)
    if once is None:
        return None
    return replace(once, rounds=tuple(once.rounds[number % period] for number in range(max(demand.rounds) + 1)))


def _solve(demand: Demand, pool: Pool, random: Random, at_most: Fraction | None) -> Quotas | None:
    parts, seed = _Model(demand), random.randrange(2**31)
    model = parts.model
    for past, row in enumerate(parts.so_far, 1):
        model.add(sum(row) == past * demand.calls)
    for section, items in parts.held:
        model.add(items <= pool.size[section])
    if at_most is not None:
        model.add(parts.worst <= int(parts.unit * at_most))
    model.minimize(parts.worst)
    solver, status = solve(model, seed, EFFORT)
    if not found(status):
        return None
    proven, least = status == cp_model.OPTIMAL, solver.value(parts.worst)
    model.add(parts.worst <= least)
    for row in parts.so_far:
        for calls in row:
            model.add_hint(calls, solver.value(calls))
    crowding = _crowding(parts, demand, pool)
    model.minimize(TASTE * demand.calls * len(parts.rounds) * sum(crowding) + parts.draw(random))
    drawn, status = solve(model, seed, TIDY)
    best = drawn if found(status) else solver
    rounds = tuple(tuple(best.value(calls) for calls in row) for row in parts.rounds)
    return Quotas(rounds, Fraction(least, parts.unit), proven)


def _crowding(parts: _Model, demand: Demand, pool: Pool) -> list[cp_model.IntVar]:
    """For each round and run of sections, the calls beyond those that the run can give without neighbours."""
    excess: list[cp_model.IntVar] = []
    for run, room in pool.runs:
        if sum(min(ceil(demand.exact[section]), pool.size[section]) for section in run) > room:
            for row in parts.rounds:
                over = parts.model.new_int_var(0, demand.calls, f"over {len(excess)}")
                parts.model.add(over >= sum(row[section] for section in run) - room)
                excess.append(over)
    return excess


def least_items(demand: Demand, section: int) -> int:
    """Fewest items with which a section can give its share in every set and window, whatever the others do."""
    parts = _Model(Demand((demand.shares[section],), demand.calls, demand.rounds, demand.gap))
    size = parts.model.new_int_var(0, demand.calls * (demand.gap + 1), "size")
    for _, items in parts.held:
        parts.model.add(items <= size)
    parts.model.minimize(size)
    solver, _ = solve(parts.model, 0, EFFORT)
    return int(solver.value(size))
