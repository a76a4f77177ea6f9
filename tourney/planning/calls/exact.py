"""The items of every set at once, by CP-SAT: a solution, or the proof that there is none."""

from collections.abc import Sequence
from dataclasses import dataclass

from ortools.sat.python import cp_model

from tourney.planning.calls.pool import Counts, Pool
from tourney.planning.calls.solver import found, solve

EFFORT = 6.0  # deterministic time of one search, see `solver`
APART = 4  # places between two neighbours of one set: never within three calls


@dataclass(frozen=True, slots=True)
class Likeness:
    """Limits for every set. sums: least and most difficulty, in bits. band: of each item; bands: calls of each band."""

    sums: tuple[float, float]
    band: Sequence[int]
    bands: Sequence[tuple[int, int]]


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


def assemble_exactly(
    pool: Pool,
    counts: Sequence[Counts],
    gap: int,
    hint: Sequence[Sequence[int]],
    seed: int,
    neighbours: Sequence[int] | None = None,
    even: bool = False,
    like: Likeness | None = None,
    effort: float = EFFORT,
) -> Answer:
    """Sets with these calls a section, no item twice within `gap` sets, used as evenly as can be within each section.

    neighbours: most pairs of neighbours of each set; left out: as few as can be over all sets, before even use.
    even: uses within a section must differ by as little as their number allows. like: what every set must keep to.
    hint: sets to start from. effort: see `solver`.
    """
    model = cp_model.CpModel()
    holds = [[model.new_bool_var(f"{at} {item}") for item in range(len(pool.items))] for at in range(len(counts))]
    for at, (row, wanted) in enumerate(zip(holds, counts, strict=True)):
        for section, calls in enumerate(wanted):
            model.add(sum(row[item] for item in pool.members[section]) == calls)
        for item, held in enumerate(row):
            model.add_hint(held, item in hint[at])
        if like:
            _keep_alike(model, pool, row, like)
    if gap:
        for first in range(len(counts) - 1):
            for item in range(len(pool.items)):
                model.add_at_most_one(row[item] for row in holds[first : first + gap + 1])
    most = neighbours or [len(pool.items)] * len(counts)
    pairs = [_pairs(model, pool, row, limit) for row, limit in zip(holds, most, strict=True)]
    for row, wanted in zip(holds, counts, strict=True):
        if crowd_limit(sum(wanted)) < sum(wanted):
            _leave_room(model, pool, row, sum(wanted))
    spreads = _spreads(model, pool, holds, counts, even)
    if neighbours is None:
        model.minimize(sum(spreads) + len(counts) * len(pool.items) * sum(sum(row) for row in pairs))
    elif not even:
        model.minimize(sum(spreads))
    solver, status = solve(model, seed, effort)
    if not found(status):
        return Answer(None, status == cp_model.INFEASIBLE)
    sets = tuple(tuple(item for item, held in enumerate(row) if solver.value(held)) for row in holds)
    return Answer(sets, status == cp_model.OPTIMAL)


def _keep_alike(model: cp_model.CpModel, pool: Pool, row: Sequence[cp_model.IntVar], like: Likeness) -> None:
    """Difficulty in thousandths of a bit, and calls of each band, between their limits."""
    total = sum(round(1000 * bits) * held for bits, held in zip(pool.bits, row, strict=True))
    model.add_linear_constraint(total, round(1000 * like.sums[0]), round(1000 * like.sums[1]))
    for band, (least, most) in enumerate(like.bands):
        calls = sum(held for held, of in zip(row, like.band, strict=True) if of == band)
        model.add_linear_constraint(calls, least, most)


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
