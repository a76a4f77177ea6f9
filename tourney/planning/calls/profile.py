"""What a set should be like: how hard in sum, and how many calls of each tercile.

Sums and terciles are matched together, as parallel test forms ask (van der Linden 2005): sets that agree in the sum
alone may still be one of middling calls and one of extremes.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from tourney.planning.calls.board import Board
from tourney.planning.calls.pool import Pool

BANDS = 3  # terciles


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
