"""Sets of equal difficulty where exchanges of two or four items can't bring it.

Large neighbourhoods (Shaw, CP98, LNCS 1520 (1998) 417-431): some sets heard one after another are made anew by CP-SAT
while all others stay, again and again around the set that is furthest off.
"""

from collections.abc import Collection
from dataclasses import dataclass
from math import ceil, floor
from random import Random

from ortools.sat.python import cp_model

from tourney.planning.calls.board import Board
from tourney.planning.calls.exact import Forms
from tourney.planning.calls.profile import BANDS, profile_of
from tourney.planning.calls.solver import found, solve_small

FINE = 450  # parts in which the spread that is wanted is counted: no finer than needed, so that numbers stay small
SMALLEST, LARGEST = 4, 14  # sets made anew at a time, at least and at most; at first more, the wider the gap
EFFORT = 0.2  # deterministic time for one of them, see `solver`
TRIES, IN_VAIN, IN_VAIN_WHOLE = 100, 20, 2  # windows at most; windows in a row, and whole days, that changed nothing
SURPLUS = 100  # parts that a call too many of a tercile weighs
PRICE, DISLIKED = 20, 0.05  # of a part, where a disliked item costs 1; and how many are disliked


@dataclass(frozen=True, slots=True)
class _Limits:
    """What sets should be like. parts: difficulty of each item; sums: least and most of a set, in these parts.

    band: tercile of each item. bands: least and most calls of each tercile.
    """

    parts: tuple[int, ...]
    sums: tuple[int, int]
    band: tuple[int, ...]
    bands: tuple[tuple[int, int], ...]

    def off(self, held: Collection[int]) -> int:
        """How far a set is outside, in parts."""
        calls = [self.band[item] for item in held]
        far = [max(0, least - calls.count(n), calls.count(n) - most) for n, (least, most) in enumerate(self.bands)]
        total = sum(self.parts[item] for item in held)
        return max(0, self.sums[0] - total, total - self.sums[1]) + SURPLUS * sum(far)


def _limits(board: Board, aim: float) -> _Limits:
    mean = profile_of(board)
    unit = FINE / (aim * mean.bits)
    parts = tuple(round(unit * bits) for bits in board.pool.bits)
    middle = sum(parts[item] for held in board.sets for item in held) / len(board.sets)
    # Each difficulty is rounded to a part, so the sums may be off by some.
    sums = ceil(middle - FINE / 2), floor(middle + FINE / 2)
    return _Limits(parts, sums, mean.band, tuple((round(calls) - 1, round(calls) + 1) for calls in mean.wanted))


def narrow(board: Board, aim: float, random: Random) -> None:
    """Bring the sums of all sets within `aim` of each other, in parts of their mean, or as close as is found.

    Calls a section, gap, each set's neighbours and the least and most uses of a section's items stay as they are.
    """
    limits, sets, size, idle = _limits(board, aim), len(board.sets), min(LARGEST, SMALLEST + 3 * board.gap), 0
    for _ in range(TRIES):
        off = [limits.off(held) for held in board.sets]
        if not any(off) or idle == IN_VAIN:
            return
        # Now the worst set, now any that is off, so that no window that helps is missed for ever.
        worst = off.index(max(off)) if random.random() < 0.5 else random.choice([at for at in range(sets) if off[at]])
        first = max(0, min(sets - size, worst - random.randrange(size)))
        window = range(first, min(sets, first + size))
        proven = _renew(board, limits, window, random)
        idle += 1
        if sum(limits.off(board.sets[at]) for at in window) < sum(off[at] for at in window):
            idle = 0
        elif len(window) == sets and (proven or idle == IN_VAIN_WHOLE):
            return
        else:  # a window that was searched to the end is too small, one that was not is too large
            size = min(LARGEST, size + 2) if proven else max(SMALLEST, size - 2)


def _renew(board: Board, limits: _Limits, window: range, random: Random) -> bool:
    """Make these sets anew, such that together they are least outside their limits. Whether that is proven."""
    pool, rows = board.pool, [sorted(board.sets[at]) for at in window]
    forms = Forms(pool, [pool.counts(row) for row in rows], board.gap, [pool.neighbours(row) for row in rows])
    forms.hint(rows)
    model, uses = forms.model, board.uses()
    for members in pool.members:
        used = [uses[item] for item in members]
        for item in members:
            change = sum(row[item] for row in forms.holds) - sum(item in row for row in rows)
            model.add_linear_constraint(change, min(used) - uses[item], max(used) - uses[item])
    for at, row in zip(window, forms.holds, strict=True):
        for other in board.windows[at]:
            if other not in window:
                for item in sorted(board.sets[other]):
                    model.add(row[item] == 0)
    far, prices = list[cp_model.IntVar](), list[int]()
    for row in forms.holds:
        far.append(_beyond(model, sum(part * held for part, held in zip(limits.parts, row, strict=True)), limits.sums))
        far += [
            _beyond(model, sum(held for held, of in zip(row, limits.band, strict=True) if of == n), limits.bands[n])
            for n in range(BANDS)
        ]
        prices += [PRICE, *[PRICE * SURPLUS] * BANDS]
    # Where nothing gets better a few items drawn anew are given up, so that the next window starts from other sets.
    disliked = [held for row in forms.holds for held in row if random.random() < DISLIKED]
    model.minimize(cp_model.LinearExpr.weighted_sum([*far, *disliked], [*prices, *[1] * len(disliked)]))
    solver, status = solve_small(model, random.randrange(2**31), EFFORT)
    if found(status):
        for at, items in zip(window, forms.read(solver), strict=True):
            board.sets[at] = set(items)
    return status == cp_model.OPTIMAL


def _beyond(model: cp_model.CpModel, value: cp_model.LinearExprT, limits: tuple[int, int]) -> cp_model.IntVar:
    """How far a value is outside its limits, at the least."""
    far = model.new_int_var(0, 10**6, "")
    model.add(value - limits[1] <= far)
    model.add(limits[0] - value <= far)
    return far
