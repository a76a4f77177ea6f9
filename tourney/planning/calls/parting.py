"""Short sets of which halves and thirds can be equally hard.

Of six to eight calls a third is two or three, and no order makes up for items that don't fit together. So items are
exchanged between sets until each can be parted well: one or two at a time, always the best at hand even where it does
harm, and what was given rests for a while (tabu search: Glover, ORSA Journal on Computing 1 (1989) 190-206).
"""

from dataclasses import dataclass
from random import Random

import numpy as np

from tourney.planning.calls.balance import Balance, Move, Numbers
from tourney.planning.calls.board import Board
from tourney.planning.calls.parts import FEW, partings
from tourney.planning.calls.pool import UNIT
from tourney.planning.calls.profile import profile_of
from tourney.planning.calls.sequence import SHORT, edges

EASIER = 0.0, 0.08  # parts of the mean by which the middle third is easier: hard items then find others to go with
SPREAD = 0.0097  # of the sums, in parts of their mean; the limit is 1 %
BAND_PRICE = UNIT // 10  # millionths of a bit that a call of a tercile too many or too few costs
PAIR_PRICE = UNIT // 4  # of two items that sound alike, or are neighbours
LOOSE, STRICT = 1, 4  # weights of sums and terciles: in turns, for some steps each
TURN, STEPS = 30, 600  # steps in a turn; in one search, at most
REST = 3, 10  # steps for which an item does not come back, drawn between these
ROOM = 100  # of so many partings of a set one, and one more, are to be even: the order of its sections needs a choice
LOOKED, TRIED = 20_000, 5  # partings looked at in one step; changes tried, where the best break a rule
WORST = 0.5  # part of the steps that begin with the set that is furthest off
NONE = -1

Thirds = tuple[int, ...]  # means of the first, the middle and the last third, in millionths of a bit


def part(board: Board, random: Random) -> Thirds | None:
    """Exchange items until each set has orders with equally hard parts, or nearly; how hard each third then is.

    None where sets are too short to have parts, or so long that ordering them makes these alike. Calls a section, gap,
    neighbours and how evenly items are used stay as they are; sums and terciles within their limits stay there.
    """
    if not SHORT <= len(board.sets[0]) <= FEW:
        return None
    start, found = board.sets, list[tuple[tuple[int, int], list[set[int]], Thirds]]()
    for easier in EASIER:
        board.sets = [set(held) for held in start]
        task = _Parting(board, easier)
        found.append((*task.search(random), task.thirds))
        if not any(found[-1][0]):
            break
    _, board.sets, thirds = min(found, key=lambda one: one[0])
    return thirds


@dataclass(frozen=True, slots=True)
class _Changes:
    """One or two items exchanged at once. give, take: [change, 0 or 1], the second NONE where only one is.

    partner: the set that changes too, NONE where the item comes unused.
    """

    give: Numbers
    take: Numbers
    partner: Numbers

    def only(self, which: Numbers) -> "_Changes":
        return _Changes(self.give[which], self.take[which], self.partner[which])

    def move(self, number: int) -> Move:
        pairs = zip(self.give[number].tolist(), self.take[number].tolist(), strict=True)
        partner = int(self.partner[number])
        return Move(0, tuple(pair for pair in pairs if pair[0] != NONE), None if partner == NONE else partner)


class _Parting(Balance):
    """Sets, and by how much their partings, their sums and their terciles are beyond what they may be."""

    def __init__(self, board: Board, easier: float) -> None:
        super().__init__(board, profile_of(board))
        self.calls = len(board.sets[0])
        self.ways = partings(self.calls)
        items = range(len(self.parts))
        self.clash = self.near | np.array([[other in board.pool.alike[item] for other in items] for item in items])
        first, middle, last = np.diff(edges(self.calls)).tolist()
        mean, harder = self.mean / self.calls, easier * middle / (first + last)
        self.thirds = (round(mean * (1 + harder)), round(mean * (1 - easier)), round(mean * (1 + harder)))

    def search(self, random: Random) -> tuple[tuple[int, int], list[set[int]]]:
        """What is still amiss with the best sets that were found, and these: first sums and terciles, then partings."""
        best, sets = (UNIT**2, 0), list[set[int]]()
        resting = np.zeros((len(self.held) + 1, len(self.parts) + 1), np.int64)  # the last of each: NONE
        for step in range(1, STEPS + 1):
            uneven = self._uneven(np.array([sorted(held) for held in self.board.sets], np.int64))
            outside = self._outside(self.sums, self.bands)
            amiss = int(outside.sum()), int(uneven.sum())
            if amiss < best:
                best, sets = amiss, [set(held) for held in self.board.sets]
            if not any(best):
                break
            weight = STRICT if step // TURN % 2 else LOOSE
            self._step(step, weight * outside + uneven, weight, resting, random)
        return best, sets

    def _step(self, step: int, price: Numbers, weight: int, resting: Numbers, random: Random) -> None:
        """The change that gains most among those of which no item rests; harm is done where all do some."""
        off = np.nonzero(price)[0].tolist() or range(len(price))
        at = int(price.argmax()) if random.random() < WORST else random.choice(off)
        changes, gain = self._gains(at, price, weight)
        rests = (resting[at, changes.take] >= step) | (resting[changes.partner[:, None], changes.give] >= step)
        (free,) = np.nonzero(~rests.any(1))
        for number in free[np.argsort(-gain[free], kind="stable")][:TRIED].tolist():
            partner, given, taken = int(changes.partner[number]), changes.give[number], changes.take[number]
            if self.carry_out(at, changes.move(number)):
                resting[at, given[given != NONE]] = step + random.randint(*REST)
                resting[partner, taken[taken != NONE]] = step + random.randint(*REST)
                if partner == NONE:
                    self.measure(profile_of(self.board))
                return

    def _gains(self, at: int, price: Numbers, weight: int) -> tuple[_Changes, Numbers]:
        """Changes of a set whose sums and terciles fit best, and what each gains."""
        changes, rows = self._changes(at), np.array([sorted(held) for held in self.board.sets], np.int64)
        partner, real = changes.partner, changes.partner != NONE
        bits = (self.parts[changes.take] - self.parts[changes.give]).sum(1)
        bands = (self.in_band[changes.take] - self.in_band[changes.give]).sum(1)
        mine = weight * self._outside(self.sums[at] + bits, self.bands[at] + bands)
        theirs = weight * self._outside(self.sums[partner] - bits, self.bands[partner] - bands)
        gain = price[at] - mine + np.where(real, price[partner] - theirs, 0)
        few = np.argsort(-gain, kind="stable")[: LOOKED // len(self.ways.place)]
        changes, gain = changes.only(few), gain[few]
        gain -= self._uneven(_replaced(rows[np.full(len(few), at)], changes.give, changes.take))
        mended = self._uneven(_replaced(rows[changes.partner], changes.take, changes.give))
        return changes, gain - np.where(real[few], mended, 0)

    def _changes(self, at: int) -> _Changes:
        """All exchanges of one item with another set or for an unused item, and of two with another set."""
        others = [other for other in range(len(self.board.sets)) if other != at]
        give, take, allowed = self.swaps(at, others)
        row, pair = np.nonzero(allowed)
        give, take, partner = give[pair], take[pair], np.array(others, np.int64)[row]
        first, second = np.nonzero(np.triu(partner[:, None] == partner, 1))
        both = (give[first] != give[second]) & (take[first] != take[second])
        first, second = first[both], second[both]
        unused = self.spare(at)
        return _Changes(
            np.vstack([_alone(give), _alone(unused[0]), np.stack((give[first], give[second]), 1)]),
            np.vstack([_alone(take), _alone(unused[1]), np.stack((take[first], take[second]), 1)]),
            np.concatenate([partner, np.full(len(unused[0]), NONE), partner[first]]),
        )

    def _outside(self, sums: Numbers, bands: Numbers) -> Numbers:
        """How far sums, a call, and terciles are beyond their limits."""
        far = np.maximum(np.abs(sums - self.mean) - round(SPREAD * self.mean / 2), 0) // self.calls
        mixed = np.maximum(np.abs(bands - np.rint(self.wanted).astype(np.int64)) - 1, 0)
        return np.asarray(far + BAND_PRICE * mixed.sum(-1))

    def _uneven(self, rows: Numbers) -> Numbers:
        """How far one of the best partings of each of these sets is beyond its limits. rows: items [set, any order].

        Two items that must be called far apart leave little choice, so they have a price too.
        """
        choice = len(self.ways.place) // ROOM
        found = np.partition(self.ways.unevenness(self.parts[rows], self.thirds), choice, 1)[:, choice]
        return np.asarray(found + PAIR_PRICE * (self.clash[rows[:, :, None], rows[:, None, :]].sum((1, 2)) // 2))


def _alone(items: Numbers) -> Numbers:
    return np.stack((items, np.full(len(items), NONE)), 1)


def _replaced(rows: Numbers, give: Numbers, take: Numbers) -> Numbers:
    for n in (0, 1):
        rows = np.where(rows == give[:, n, None], take[:, n, None], rows)
    return rows
