"""Sets of equal difficulty: like for like exchanged between them until neither the sums nor the mixtures differ.

Difficulty is counted in whole millionths of a bit here, so that sums, and with them the sets, are the same on any
machine.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from random import Random

import numpy as np
from numpy.typing import NDArray

from tourney.planning.calls.board import Board
from tourney.planning.calls.pool import UNIT
from tourney.planning.calls.profile import BANDS, Profile, profile_of

BAND_PRICE = UNIT**2 // 10  # squared parts that a call too many in a tercile may cost
PARTNERS = 24  # sets tried against the one that is furthest off
GOAL = 0.0002  # distance of a set from the mean, in parts of it, that needs no exchange
ENOUGH = 0.005  # spread of all sets that needs no further search, the same
STARTS = 6  # searches from shaken sets
SECONDS = 3  # second exchanges tried on either side of the closest, beside a first
STEPS = 20  # exchanges a set in one search, at most

Numbers = NDArray[np.int64]
Costs = NDArray[np.float64]
Truths = NDArray[np.bool_]
Swap = tuple[int, int]  # the item that a set gives, the item it takes


@dataclass(frozen=True, slots=True)
class Move:
    """An improvement. gain: squared parts of a bit. partner: the set that changes too, None when items come unused."""

    gain: int
    swaps: tuple[Swap, ...] = ()
    partner: int | None = None


class Balance:
    """Sums and terciles of a board's sets, and what they cost: squared distances from a profile.

    All swaps of one set are looked at together, as arrays over the pairs (item given, item taken) of one section.
    """

    def __init__(self, board: Board, profile: Profile) -> None:
        self.board, pool = board, board.pool
        items = range(len(pool.items))
        self.parts = np.array(pool.parts, np.int64)
        self.near: Truths = np.array([[other in pool.near[item] for other in items] for item in items])
        self.give, self.take = np.nonzero(
            np.array([[one != other and pool.section[one] == pool.section[other] for other in items] for one in items])
        )
        self.held: Truths = np.array([[item in held for item in items] for held in board.sets])
        self.uses: Numbers = self.held.sum(0, np.int64)
        self.touched: Numbers = self.held.astype(np.int64) @ self.near  # neighbours of an item that a set holds
        self.blocked: Numbers = np.zeros(self.held.shape, np.int64)  # sets of its window that hold an item
        for at, window in enumerate(board.windows):
            self.blocked[at] = self.held.take(window, 0).sum(0, np.int64)
        self.sums: Numbers = self.held @ self.parts
        self.measure(profile)

    def measure(self, profile: Profile) -> None:
        """What sets should be like from now on, and how many calls of each tercile they have."""
        self.mean, self.wanted = round(UNIT * profile.bits), profile.wanted
        self.in_band = np.array([[band == n for n in range(BANDS)] for band in profile.band], np.int64)
        self.bands: Numbers = self.held @ self.in_band

    @property
    def costs(self) -> Costs:
        """What each set costs."""
        far = (self.bands - np.array(self.wanted)) ** 2
        return np.asarray((self.sums - self.mean) ** 2 + BAND_PRICE * (far[:, 0] + far[:, 1] + far[:, 2]))

    @property
    def off(self) -> Truths:
        """Which sets are still unlike the mean set."""
        mixed = np.abs(self.bands - np.array(self.wanted)) >= 1
        return np.asarray((np.abs(self.sums - self.mean) > GOAL * self.mean) | mixed.any(1))

    @property
    def spread(self) -> int:
        """Distance between the hardest set and the easiest."""
        return int(self.sums.max() - self.sums.min())

    @property
    def good(self) -> bool:
        """Whether all sets are much the same."""
        mixed = self.bands.max(0) - self.bands.min(0)
        return self.spread <= ENOUGH * self.mean and int(mixed.max()) <= 2

    def _may(self, at: Numbers | int, give: Numbers, take: Numbers) -> Truths:
        """Whether set `at` holds one, not the other, and the exchange adds no neighbours to it."""
        new = self.touched[at, take] - self.near[give, take]
        apart = (new == 0) | (new <= self.touched[at, give])
        return np.asarray(self.held[at, give] & ~self.held[at, take] & apart)

    def swaps(self, at: int, partners: Sequence[int]) -> tuple[Numbers, Numbers, Truths]:
        """Items given, items taken, and for each partner (a row) with which of these pairs it may exchange."""
        own = self._may(at, self.give, self.take)
        give, take = self.give[own], self.take[own]
        rows = np.array(partners, np.int64)[:, None]
        beside = (np.abs(rows - at) <= self.board.gap).astype(np.int64)
        free = (self.blocked[at, take] == beside) & (self.blocked[rows, give] == beside)
        return give, take, free & self._may(rows, take, give)

    def best(self, at: int, partners: Sequence[int]) -> Move:
        """The exchange, or the two at once, with one of these sets that gain most.

        Of the second exchanges only those are looked at that bring the sums of both sets closest together.
        """
        give, take, allowed = self.swaps(at, partners)
        row, pair = np.nonzero(allowed)
        if not row.size:
            return Move(0)
        give, take, partner = give[pair], take[pair], np.array(partners)[row]
        bits, bands = self.parts[take] - self.parts[give], self.in_band[take] - self.in_band[give]
        ahead, mixed = self.sums[at] - self.sums[partner], self.bands[at] - self.bands[partner]
        order = np.lexsort((bits, row))
        # Each partner has a stretch of its own on one line, so that one search serves all.
        line = row * (8 * int(np.abs(bits).max() + np.abs(ahead).max()) + 8)
        place = np.searchsorted((line + bits)[order], line - ahead // 2 - bits)
        near = np.clip(place[:, None] + np.arange(-SECONDS, SECONDS), 0, row.size - 1)
        first, second = np.repeat(np.arange(row.size), 2 * SECONDS), order[near].ravel()
        good = (row[first] == row[second]) & (give[first] != give[second]) & (take[first] != take[second])
        good &= ~self.near[give[first], give[second]] & ~self.near[take[first], take[second]]
        first, second = first[good], second[good]
        moved, changed = np.append(bits, bits[first] + bits[second]), np.vstack((bands, bands[first] + bands[second]))
        start = np.append(np.arange(row.size), first)
        gain = -2 * moved * (moved + ahead[start]) - 2 * BAND_PRICE * (changed * (changed + mixed[start])).sum(1)
        best = int(gain.argmax())
        pairs = (best,) if best < row.size else (int(first[best - row.size]), int(second[best - row.size]))
        return Move(int(gain[best]), tuple((int(give[n]), int(take[n])) for n in pairs), int(partner[start[best]]))

    def spare(self, at: int) -> tuple[Numbers, Numbers]:
        """Items given, and those taken that are used once less, so that two merely change places in the count."""
        found = self._may(at, self.give, self.take) & (self.blocked[at, self.take] == 0)
        found &= self.uses[self.give] == self.uses[self.take] + 1
        return self.give[found], self.take[found]

    def bench(self, at: int) -> Move:
        """The best item to replace by one that is used once less."""
        give, take = self.spare(at)
        if not give.size:
            return Move(0)
        bits, bands = self.parts[take] - self.parts[give], self.in_band[take] - self.in_band[give]
        gain = -bits * (bits + 2 * (self.sums[at] - self.mean))
        far = 2 * (self.bands[at] - np.array(self.wanted))
        # Element by element and in a fixed order, so that rounding is the same everywhere.
        for n in range(BANDS):
            gain -= np.rint(BAND_PRICE * (bands[:, n] * (bands[:, n] + far[n]))).astype(np.int64)
        best = int(gain.argmax())
        return Move(int(gain[best]), ((int(give[best]), int(take[best])),))

    def carry_out(self, at: int, move: Move) -> bool:
        """Do these exchanges; nothing when the first has made the second break a rule."""
        for n, (give, take) in enumerate(move.swaps):
            if move.partner is not None and not self.board.may_exchange(at, give, move.partner, take):
                for given, taken in move.swaps[:n]:
                    self._replace(at, taken, given)
                    self._replace(move.partner, given, taken)
                return False
            self._replace(at, give, take)
            if move.partner is not None:
                self._replace(move.partner, take, give)
        return True

    def _replace(self, at: int, give: int, take: int) -> None:
        self.board.replace(at, give, take)
        self.sums[at] += self.parts[take] - self.parts[give]
        self.bands[at] += self.in_band[take] - self.in_band[give]
        self.held[at, [give, take]] = False, True
        self.touched[at] += self.near[take].astype(np.int64) - self.near[give]
        windows = list(self.board.windows[at])
        for item, change in ((give, -1), (take, 1)):
            self.uses[item] += change
            self.blocked[windows, item] += change


def balance(board: Board, random: Random) -> None:
    """Exchange items between sets, always for the one furthest off, until all are alike or nothing helps.

    Where the sets are not good enough, a few random exchanges start the search anew; the best sets found stay.
    """
    if len(board.sets) < 2:
        return
    state = Balance(board, profile_of(board))
    best = state.spread, [set(held) for held in board.sets]
    for _ in range(STARTS):
        _descend(state, random)
        best = min(best, (state.spread, [set(held) for held in board.sets]), key=lambda found: found[0])
        if state.good:
            break
        _shake(state, random)
    for at, held in enumerate(best[1]):
        board.sets[at] = held


def _descend(state: Balance, random: Random) -> None:
    sets = len(state.board.sets)
    stuck = np.zeros(sets, bool)
    for _ in range(STEPS * sets):
        waiting = state.off & ~stuck
        if not waiting.any():
            return
        worst = int(np.where(waiting, state.costs, -1).argmax())
        move = max(state.bench(worst), state.best(worst, _others(worst, sets, random)), key=lambda found: found.gain)
        done = move.gain > 0 and state.carry_out(worst, move)
        stuck[worst] = not done
        if done and move.partner is not None:
            stuck[move.partner] = False


def _others(at: int, sets: int, random: Random) -> list[int]:
    others = [other for other in range(sets) if other != at]
    return random.sample(others, min(PARTNERS, len(others)))


def _shake(state: Balance, random: Random) -> None:
    """One random exchange for each set that is still off."""
    sets = len(state.board.sets)
    for at in np.nonzero(state.off)[0].tolist():
        partner = random.choice(_others(at, sets, random))
        give, take, allowed = state.swaps(at, [partner])
        (some,) = np.nonzero(allowed[0])
        if some.size:
            n = int(some[random.randrange(some.size)])
            state.carry_out(at, Move(0, ((int(give[n]), int(take[n])),), partner))
