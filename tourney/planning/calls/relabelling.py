"""Sets of equal difficulty where spacing is so tight that no two sets can exchange an item.

Two items of a section change names over a stretch of sets heard one after another: where one was held the other is,
and the reverse. Inside the stretch their spacing stays as it was, so only its two ends have to be looked at. All such
changes are looked at together, the best is made even where it does harm, and what was changed rests for a while
(tabu search: Glover, ORSA Journal on Computing 1 (1989) 190-206).
"""

from math import floor
from random import Random

import numpy as np
from numpy.typing import NDArray

from tourney.planning.calls.board import Board
from tourney.planning.calls.pool import UNIT
from tourney.planning.calls.profile import BANDS, profile_of

LONGEST = 12  # sets in a stretch
STEPS = 500  # changes made, at most
REST = 15, 40  # steps for which a pair of items rests, drawn between these
BAND_PRICE = UNIT**2 // 10  # squared parts of a bit that a call too many of a tercile costs
NEVER = -(2**62)

Numbers = NDArray[np.int64]
Truths = NDArray[np.bool_]


class Stretches:
    """A board as arrays: held[set, item]. Pairs (one, other) of items of one section that may change names."""

    def __init__(self, board: Board, aim: float) -> None:
        """aim: spread of the sums of difficulty, in parts of their mean, within which nothing is amiss."""
        self.board, pool, profile = board, board.pool, profile_of(board)
        items = range(len(pool.items))
        self.one, self.other = np.nonzero(
            np.array([[a < b and pool.section[a] == pool.section[b] for b in items] for a in items])
        )
        self.held: Truths = np.array([[item in held for item in items] for held in board.sets])
        self.near = np.array([[b in pool.near[a] for b in items] for a in items], np.int64)
        self.parts = np.array(pool.parts, np.int64)
        self.in_band = np.array([[band == n for n in range(BANDS)] for band in profile.band], np.int64)
        self.middle, self.slack = round(UNIT * profile.bits), floor(UNIT * profile.bits * aim / 2)
        self.wanted = np.array([round(calls) for calls in profile.wanted], np.int64)
        uses = self.held.sum(0)
        ends = [(min(uses[list(m)]), max(uses[list(m)])) if m else (0, 0) for m in pool.members]
        self.fewest, self.most = (np.array([ends[pool.section[item]][n] for item in items]) for n in (0, 1))

    def price(self, sums: Numbers, bands: Numbers) -> Numbers:
        """What sets cost: squared, how far they are outside the limits. bands: calls of each tercile, last axis."""
        off = np.maximum(np.abs(sums - self.middle) - self.slack, 0)
        mixed = np.maximum(np.abs(bands - self.wanted) - 1, 0)
        return np.asarray(off * off + BAND_PRICE * (mixed * mixed).sum(-1))

    def gains(self) -> Numbers:
        """Gain of each change: [length of the stretch less 1, pair, first set]; NEVER where a rule would be broken."""
        held, one, other = self.held.astype(np.int64), self.one, self.other
        mine, yours = self.held.T[one], self.held.T[other]  # pair by set
        moved = mine.astype(np.int64) - yours  # +1: the set would change one for the other; -1: the reverse
        sums, bands = held @ self.parts, held @ self.in_band
        step = self.parts[other] - self.parts[one]
        steps = self.in_band[other] - self.in_band[one]
        gain = self.price(sums, bands) - self.price(
            sums + moved * step[:, None], bands + moved[:, :, None] * steps[:, None, :]
        )
        touched = (held @ self.near).T  # item by set: its neighbours in the set
        beside = self.near[one, other][:, None]
        to_other, to_one = touched[other] - beside, touched[one] - beside
        worse = (moved > 0) & (to_other > 0) & (to_other > touched[one])
        worse |= (moved < 0) & (to_one > 0) & (to_one > touched[other])
        cut = self._cuts(mine, yours)
        gained, broken, balance = (_summed(row) for row in (gain, worse.astype(np.int64), moved))
        uses = held.sum(0)
        room = np.minimum(uses[one] - self.fewest[one], self.most[other] - uses[other])[:, None]
        rest = np.minimum(self.most[one] - uses[one], uses[other] - self.fewest[other])[:, None]
        sets = held.shape[0]
        found = np.full((min(LONGEST, sets), len(one), sets), NEVER, np.int64)
        for length in range(1, len(found) + 1):
            ends = slice(length, None), slice(None, sets + 1 - length)
            given = balance[:, ends[0]] - balance[:, ends[1]]
            good = cut[:, ends[0]] & cut[:, ends[1]] & (broken[:, ends[0]] == broken[:, ends[1]])
            good &= (given <= room) & (-given <= rest) & ((moved != 0)[:, : sets + 1 - length])
            found[length - 1, :, : sets + 1 - length] = np.where(good, gained[:, ends[0]] - gained[:, ends[1]], NEVER)
        return found

    def _cuts(self, mine: Truths, yours: Truths) -> Truths:
        """Where a stretch may begin or end: before each set, and after the last."""
        pairs, sets = mine.shape
        good = np.ones((pairs, sets + 1), np.bool_)
        for apart in range(1, self.board.gap + 1):
            clash = (mine[:, :-apart] & yours[:, apart:]) | (yours[:, :-apart] & mine[:, apart:])
            for back in range(1, apart + 1):
                good[:, back : back + clash.shape[1]] &= ~clash
        return good

    def change(self, pair: int, first: int, length: int) -> None:
        """The two items change names in these sets."""
        columns, rows = [int(self.one[pair]), int(self.other[pair])], slice(first, first + length)
        self.held[rows, columns[0]], self.held[rows, columns[1]] = (
            self.held[rows, columns[1]].copy(),
            self.held[rows, columns[0]].copy(),
        )

    def total(self) -> int:
        """What all sets cost."""
        held = self.held.astype(np.int64)
        return int(self.price(held @ self.parts, held @ self.in_band).sum())


def relabel(board: Board, aim: float, random: Random) -> None:
    """Bring the sums of all sets within `aim` of each other, in parts of their mean, or as close as is found.

    Calls a section, gap, each set's neighbours and the least and most uses of a section's items stay as they are.
    """
    task = Stretches(board, aim)
    best, sets = task.total(), task.held.copy()
    resting = np.zeros(len(task.one), np.int64)
    price = best
    for step in range(1, STEPS + 1):
        if not best or not resting.size:  # no section has two items to rename
            break
        gains = task.gains()
        # A pair that rests may change all the same where that is better than anything before.
        rests = (resting >= step)[None, :, None] & (gains <= price - best)
        gains[rests] = NEVER
        top = int(gains.argmax())
        length, pair, first = np.unravel_index(top, gains.shape)
        gain = int(gains[length, pair, first])
        if gain == NEVER:
            continue
        task.change(int(pair), int(first), int(length) + 1)
        resting[pair] = step + random.randint(*REST)
        price -= gain
        if price < best:
            best, sets = price, task.held.copy()
    for at, row in enumerate(sets):
        board.sets[at] = set(np.nonzero(row)[0].tolist())


def _summed(rows: Numbers) -> Numbers:
    """Sums from the start up to each place, the first 0."""
    return np.concatenate((np.zeros((len(rows), 1), np.int64), rows.cumsum(1)), 1)
