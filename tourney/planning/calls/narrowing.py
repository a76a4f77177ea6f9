"""Sets of equal difficulty where exchanges of two or four items can't bring it.

Large neighbourhoods (Shaw, CP98, LNCS 1520 (1998) 417-431): some sets heard one after another are made anew by CP-SAT
while all others stay, again and again around the set that is furthest off.
"""

from math import ceil, floor
from random import Random

from ortools.sat.python import cp_model

from tourney.planning.calls.board import Board
from tourney.planning.calls.exact import Forms
from tourney.planning.calls.profile import BANDS, Profile, profile_of
from tourney.planning.calls.solver import found, solve_small

UNIT = 1000  # parts of a bit
SMALLEST, LARGEST = 4, 14  # sets made anew at a time, at least and at most; at first more, the wider the gap
EFFORT = 0.1  # deterministic time for one of them, see `solver`
TRIES, IN_VAIN, IN_VAIN_WHOLE = 100, 20, 2  # windows at most; windows in a row, and whole days, that changed nothing
SURPLUS = 100  # parts that a call too many of a tercile weighs
PRICE, DISLIKED = 20, 0.05  # of a part, where a disliked item costs 1; and how many are disliked


def narrow(board: Board, aim: float, random: Random) -> None:
    """Bring the sums of all sets within `aim` of each other, in parts of their mean, or as close as is found.

    Calls a section, gap, each set's neighbours and the least and most uses of a section's items stay as they are.
    """
    mean, sets, size, idle = profile_of(board), len(board.sets), min(LARGEST, SMALLEST + 3 * board.gap), 0
    for _ in range(TRIES):
        off = [_off(board, mean, aim, at) for at in range(sets)]
        if not any(off) or idle == IN_VAIN:
            return
        # Now the worst set, now any that is off, so that no window that helps is missed for ever.
        worst = off.index(max(off)) if random.random() < 0.5 else random.choice([at for at in range(sets) if off[at]])
        first = max(0, min(sets - size, worst - random.randrange(size)))
        window = range(first, min(sets, first + size))
        proven = _renew(board, mean, aim, window, random)
        idle += 1
        if sum(_off(board, mean, aim, at) for at in window) < sum(off[at] for at in window):
            idle = 0
        elif len(window) == sets and (proven or idle == IN_VAIN_WHOLE):
            return
        else:  # a window that was searched to the end is too small, one that was not is too large
            size = min(LARGEST, size + 2) if proven else max(SMALLEST, size - 2)


def _limits(mean: Profile, aim: float) -> tuple[tuple[int, int], list[tuple[int, int]]]:
    """Least and most of a set: sum of difficulty in parts, and calls of each tercile."""
    # Each difficulty is rounded to a part, so the sums may be off by some.
    sums = ceil(UNIT * mean.bits * (1 - aim / 2)), floor(UNIT * mean.bits * (1 + aim / 2))
    return sums, [(round(calls) - 1, round(calls) + 1) for calls in mean.wanted]


def _off(board: Board, mean: Profile, aim: float, at: int) -> int:
    """How far a set is outside its limits, in parts."""
    (low, high), bands = _limits(mean, aim)
    held, found = board.sets[at], [mean.band[item] for item in board.sets[at]]
    total = sum(round(UNIT * board.pool.bits[item]) for item in held)
    far = [max(0, least - found.count(n), found.count(n) - most) for n, (least, most) in enumerate(bands)]
    return max(0, low - total, total - high) + SURPLUS * sum(far)


def _renew(board: Board, mean: Profile, aim: float, window: range, random: Random) -> bool:
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
    parts, (sums, bands) = [round(UNIT * bits) for bits in pool.bits], _limits(mean, aim)
    far, prices = list[cp_model.IntVar](), list[int]()
    for row in forms.holds:
        far.append(_beyond(model, sum(part * held for part, held in zip(parts, row, strict=True)), sums))
        far += [
            _beyond(model, sum(held for held, of in zip(row, mean.band, strict=True) if of == n), bands[n])
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
