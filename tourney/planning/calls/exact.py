"""The items of every set at once, by CP-SAT: a solution, or the proof that there is none."""

from collections.abc import Collection, Sequence
from dataclasses import dataclass

from ortools.sat.python import cp_model

from tourney.planning.calls.pool import Counts, Pool
from tourney.planning.calls.solver import found, solve

EFFORT = 6.0  # deterministic time of one search, see `solver`
APART = 4  # places between two neighbours of one set: never within three calls


@dataclass(frozen=True, slots=True)
class Answer:
    """sets: items of each, none when none was found. proven: nothing better is possible, or nothing at all."""

    sets: tuple[tuple[int, ...], ...] | None
    proven: bool


def crowd_limit(calls: int) -> int:
    """Most calls of a set that may have a neighbour in it, so that all can be called four places apart.

    From eight calls on any neighbours can be (odd ones in the second half, even ones in the first); of fewer calls
    only the first and the last `calls - 4` have a place four away.
    """
    return calls if calls >= 2 * APART else max(0, 2 * (calls - APART))


class Forms:
    """A model of all sets. holds[set][item]; calls a section, gap and neighbours are in it already."""

    def __init__(self, pool: Pool, counts: Sequence[Counts], gap: int, most: Sequence[int]) -> None:
        """most: pairs of neighbours that each set may have."""
        self.model = model = cp_model.CpModel()
        self.holds = [
            [model.new_bool_var(f"{at} {item}") for item in range(len(pool.items))] for at in range(len(counts))
        ]
        for row, wanted in zip(self.holds, counts, strict=True):
            for section, calls in enumerate(wanted):
                model.add(sum(row[item] for item in pool.members[section]) == calls)
        if gap:
            for first in range(len(counts) - 1):
                for item in range(len(pool.items)):
                    model.add_at_most_one(row[item] for row in self.holds[first : first + gap + 1])
        self.pairs = [_pairs(model, pool, row, limit) for row, limit in zip(self.holds, most, strict=True)]
        for row, wanted in zip(self.holds, counts, strict=True):
            if crowd_limit(sum(wanted)) < sum(wanted):
                _leave_room(model, pool, row, sum(wanted))

    def hint(self, rows: Sequence[Sequence[int]]) -> None:
        """Sets to start from."""
        for row, chosen in zip(self.holds, rows, strict=True):
            for item, held in enumerate(row):
                self.model.add_hint(held, item in chosen)

    def read(self, solver: cp_model.CpSolver) -> tuple[tuple[int, ...], ...]:
        """Items of each set."""
        return tuple(tuple(item for item, held in enumerate(row) if solver.value(held)) for row in self.holds)


def assemble_exactly(
    pool: Pool,
    counts: Sequence[Counts],
    gap: int,
    hint: Sequence[Sequence[int]],
    seed: int,
    neighbours: Sequence[int] | None = None,
    even: bool = False,
) -> Answer:
    """Sets with these calls a section, no item twice within `gap` sets, used as evenly as can be within each section.

    neighbours: most pairs of neighbours of each set; left out: as few as can be over all sets, before even use.
    even: uses within a section must differ by as little as their number allows. hint: sets to start from.
    """
    forms = Forms(pool, counts, gap, neighbours or [len(pool.items)] * len(counts))
    forms.hint(hint)
    spreads = _spreads(forms.model, pool, forms.holds, counts, even)
    if neighbours is None:
        forms.model.minimize(sum(spreads) + len(counts) * len(pool.items) * sum(sum(row) for row in forms.pairs))
    elif not even:
        forms.model.minimize(sum(spreads))
    solver, status = solve(forms.model, seed, EFFORT)
    if not found(status):
        return Answer(None, status == cp_model.INFEASIBLE)
    return Answer(forms.read(solver), status == cp_model.OPTIMAL)


def another_set(
    pool: Pool, counts: Counts, prices: Sequence[float], taken: Collection[frozenset[int]], seed: int
) -> Answer:
    """One set with these calls a section that is none of `taken`: fewest neighbours, then the least total price."""
    forms = Forms(pool, [counts], 0, [len(pool.items)])
    (row,), (pairs,) = forms.holds, forms.pairs
    for other in sorted(sorted(chosen) for chosen in taken if len(chosen) == sum(counts)):
        forms.model.add(sum(row[item] for item in other) < sum(counts))
    cost = [round(price) for price in prices]
    dear = 1 + sum(cost)
    forms.model.minimize(dear * sum(pairs) + sum(price * held for price, held in zip(cost, row, strict=True)))
    solver, status = solve(forms.model, seed, EFFORT)
    if not found(status):
        return Answer(None, status == cp_model.INFEASIBLE)
    return Answer(forms.read(solver), status == cp_model.OPTIMAL)


def _pairs(model: cp_model.CpModel, pool: Pool, row: Sequence[cp_model.IntVar], most: int) -> list[cp_model.IntVar]:
    """For each two neighbours, whether a set holds both."""
    second = [item for item in range(len(pool.items)) if pool.joined[item]]
    if most == 0:
        for item in second:
            model.add_at_most_one(row[item - 1], row[item])
        return []
    pair = {item: model.new_bool_var("") for item in second}
    for item, both in pair.items():
        model.add_bool_or(~row[item - 1], ~row[item], both)
    model.add(sum(pair.values()) <= most)
    return list(pair.values())


def _leave_room(model: cp_model.CpModel, pool: Pool, row: Sequence[cp_model.IntVar], calls: int) -> None:
    """Few enough calls have a neighbour in the set for all to be called far apart."""
    crowded = [model.new_bool_var("") for _ in row]
    for item, touched in enumerate(crowded):
        for other in pool.near[item]:
            model.add_bool_or(~row[item], ~row[other], touched)
    model.add(sum(crowded) <= crowd_limit(calls))


def _spreads(
    model: cp_model.CpModel,
    pool: Pool,
    holds: Sequence[Sequence[cp_model.IntVar]],
    counts: Sequence[Counts],
    even: bool,
) -> list[cp_model.LinearExpr]:
    """For each section, uses of its most used item less those of its least used one."""
    spreads = []
    for section, members in enumerate(pool.members):
        calls = sum(row[section] for row in counts)
        if calls and members:
            low, high = calls // len(members), -(-calls // len(members))
            least = model.new_int_var(low if even else 0, low, "")
            most = model.new_int_var(high, high if even else len(counts), "")
            for item in members:
                uses = sum(row[item] for row in holds)
                model.add(uses >= least)
                model.add(uses <= most)
            spreads.append(most - least)
    return spreads
