"""Sets of equal difficulty: like for like exchanged between them until neither the sums nor the mixtures differ.

Sums and terciles are matched together, as parallel test forms ask (van der Linden 2005): sets that agree in the sum
alone may still be one of middling calls and one of extremes.
"""

from bisect import bisect_left
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from random import Random

from tourney.planning.calls.board import Board
from tourney.planning.calls.pool import Pool

BANDS = 3  # terciles
BAND_WEIGHT = 0.1  # squared bits that a call too many in a tercile may cost
PARTNERS = 12  # sets tried against the one that is furthest off
GOAL = 0.001  # distance from the mean, in parts of it, that is good enough
STARTS = 6  # searches from shaken sets
STEPS = 20  # exchanges a set in one search, at most
LEAST_GAIN = 1e-6  # squared bits
RATING = 0.01  # weight of all sets against the two extremes
BENCH = -1  # in place of a partner: items that are not used so often

Swap = tuple[float, int, int]  # difficulty that a set gains, the item it gives, the item it takes


def terciles(pool: Pool, uses: Sequence[float]) -> tuple[int, ...]:
    """Easy (0), middling (1) or hard (2) for each item, such that each third is heard equally often over the day."""
    whole, past = sum(uses), 0.0
    band = [0] * len(pool.items)
    for item in sorted(range(len(pool.items)), key=lambda n: (pool.bits[n], n)):
        band[item] = min(BANDS - 1, int(BANDS * (past + uses[item] / 2) / whole)) if whole else 0
        past += uses[item]
    return tuple(band)


@dataclass(frozen=True, slots=True)
class Profile:
    """What a set should be like. band: tercile of each item. bits: sum. wanted: calls of each tercile."""

    band: tuple[int, ...]
    bits: float
    wanted: tuple[float, ...]

    def scaled(self, part: Fraction) -> "Profile":
        """The same for a set of fewer calls."""
        return Profile(self.band, self.bits * float(part), tuple(calls * float(part) for calls in self.wanted))


def profile_of(board: Board) -> Profile:
    """The mean set of a board."""
    pool, sets = board.pool, len(board.sets)
    band = terciles(pool, board.uses())
    total = sum(pool.total(held) for held in board.sets)
    calls = [band[item] for held in board.sets for item in sorted(held)]
    return Profile(band, total / sets, tuple(calls.count(n) / sets for n in range(BANDS)))


class Balance:
    """Sums and terciles of a board's sets, and what they cost: squared distances from a profile, in bits."""

    def __init__(self, board: Board, profile: Profile) -> None:
        self.board = board
        self.band, self.mean, self.wanted = profile.band, profile.bits, profile.wanted
        self.uses = board.uses()
        self.sums, self.bands = [0.0] * len(board.sets), [[0] * BANDS for _ in board.sets]
        for at in range(len(board.sets)):
            self._measure(at)

    @property
    def rating(self) -> float:
        """Distance between the hardest set and the easiest, and a little of what all sets cost."""
        return max(self.sums) - min(self.sums) + RATING * sum(self.cost(at) for at in range(len(self.sums)))

    def off(self, at: int) -> bool:
        """Whether a set is still unlike the mean set."""
        return abs(self.sums[at] - self.mean) > GOAL * self.mean or any(
            abs(calls - wanted) >= 1 for calls, wanted in zip(self.bands[at], self.wanted, strict=True)
        )

    def cost(self, at: int) -> float:
        """What one set costs."""
        far = [calls - wanted for calls, wanted in zip(self.bands[at], self.wanted, strict=True)]
        off = self.sums[at] - self.mean
        return off * off + BAND_WEIGHT * sum(calls * calls for calls in far)

    def swaps(self, first: int, second: int) -> list[Swap]:
        """Every exchange between two sets that breaks no rule, by what the first set gains."""
        board, bits = self.board, self.board.pool.bits
        ours, theirs = board.by_section(first, second), board.by_section(second, first)
        return sorted(
            (bits[other] - bits[one], one, other)
            for row, facing in zip(ours, theirs, strict=True)
            for one in row
            for other in facing
            if board.may_exchange(first, one, second, other)
        )

    def gain(self, first: int, second: int, swaps: Sequence[Swap]) -> float:
        """By how much these exchanges make the two sets cheaper; the mean cancels out."""
        bits, moved = 0.0, [0] * BANDS
        for gained, one, other in swaps:
            bits += gained
            moved[self.band[one]] -= 1
            moved[self.band[other]] += 1
        lead = [a - b for a, b in zip(self.bands[first], self.bands[second], strict=True)]
        uneven = sum(n * (before + n) for n, before in zip(moved, lead, strict=True))
        return -2 * (bits * (self.sums[first] - self.sums[second] + bits) + BAND_WEIGHT * uneven)

    def bench(self, at: int) -> tuple[float, int, tuple[Swap, ...]]:
        """The best item to replace by one that is used once less, so that the two merely change places in the count."""
        found = []
        for one in sorted(self.board.sets[at]):
            for other in self.board.pool.members[self.board.pool.section[one]]:
                if self.uses[one] == self.uses[other] + 1 and self.board.fits(at, one, other):
                    bits = self.board.pool.bits[other] - self.board.pool.bits[one]
                    lead = {self.band[one]: -1, self.band[other]: 1} if self.band[one] != self.band[other] else {}
                    uneven = sum(n * (n + 2 * (self.bands[at][band] - self.wanted[band])) for band, n in lead.items())
                    gain = -bits * (bits + 2 * (self.sums[at] - self.mean)) - BAND_WEIGHT * uneven
                    found.append((gain, BENCH, ((bits, one, other),)))
        return max(found, default=(0.0, BENCH, ()))

    def best(self, first: int, second: int) -> tuple[float, int, tuple[Swap, ...]]:
        """What the best exchange, or the best two, gain; with which set; the exchanges."""
        swaps = self.swaps(first, second)
        options: list[tuple[Swap, ...]] = [(swap,) for swap in swaps]
        wanted, gains = (self.sums[second] - self.sums[first]) / 2, [swap[0] for swap in swaps]
        for swap in swaps:
            place = bisect_left(gains, wanted - swap[0])
            options += [
                (swap, other) for other in swaps[max(0, place - 1) : place + 1] if not {*swap[1:]} & {*other[1:]}
            ]
        return max(((self.gain(first, second, swaps), second, swaps) for swaps in options), default=(0.0, second, ()))

    def carry_out(self, first: int, second: int, swaps: Sequence[Swap]) -> bool:
        """Do these exchanges; nothing when the first has made the second break a rule."""
        board = self.board
        if second == BENCH:
            ((_, one, other),) = swaps
            board.replace(first, one, other)
            self.uses[one], self.uses[other] = self.uses[other], self.uses[one]
            self._measure(first)
            return True
        for n, (_, one, other) in enumerate(swaps):
            if not board.may_exchange(first, one, second, other):
                for _, given, taken in swaps[:n]:
                    board.exchange(first, taken, second, given)
                return False
            board.exchange(first, one, second, other)
        self._measure(first)
        self._measure(second)
        return True

    def _measure(self, at: int) -> None:
        self.sums[at] = self.board.pool.total(self.board.sets[at])
        self.bands[at] = [sum(self.band[item] == n for item in self.board.sets[at]) for n in range(BANDS)]


def balance(board: Board, random: Random) -> None:
    """Exchange items between sets, always for the one furthest off, until all are alike or nothing helps.

    Where the search is stuck, a few random exchanges start it anew; the best sets found stay.
    """
    if len(board.sets) < 2:
        return
    state = Balance(board, profile_of(board))
    best = state.rating, [set(held) for held in board.sets]
    for _ in range(STARTS):
        _descend(state, random)
        best = min(best, (state.rating, [set(held) for held in board.sets]), key=lambda found: found[0])
        if not any(state.off(at) for at in range(len(board.sets))):
            break
        _shake(state, random)
    for at, held in enumerate(best[1]):
        board.sets[at] = held


def _descend(state: Balance, random: Random) -> None:
    board, stuck = state.board, set[int]()
    places = range(len(board.sets))
    for _ in range(STEPS * len(board.sets)):
        worst = max((at for at in places if at not in stuck and state.off(at)), key=state.cost, default=None)
        if worst is None:
            return
        tried = random.sample([at for at in places if at != worst], min(PARTNERS, len(places) - 1))
        gain, partner, swaps = max(state.bench(worst), *(state.best(worst, other) for other in sorted(tried)))
        if gain > LEAST_GAIN and state.carry_out(worst, partner, swaps):
            stuck -= {worst, partner}
        else:
            stuck.add(worst)


def _shake(state: Balance, random: Random) -> None:
    """One random exchange for each set that is still off."""
    for at in range(len(state.board.sets)):
        if state.off(at):
            other = random.choice([n for n in range(len(state.board.sets)) if n != at])
            swaps = state.swaps(at, other)
            if swaps:
                state.carry_out(at, other, [random.choice(swaps)])
