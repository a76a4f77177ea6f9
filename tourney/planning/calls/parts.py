"""Short sets have few orders: all of them are looked at, and whether in some of them all parts are equally hard."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise, permutations

import numpy as np
from numpy.typing import NDArray

from tourney.planning.calls.pool import UNIT
from tourney.planning.calls.sequence import edges

FEW = 8  # calls of the longest set of which all orders are looked at
HALVES, THIRDS = 0.295, 0.148  # bits that two halves, or a third and what is wanted of it, may differ; the limit is 0.3

Numbers = NDArray[np.int64]
Sums = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Ways:
    """Ways to call a set. place[way, item]: where an item is called.

    first, thirds: whether an item is in the first half; in the first, the middle, the last third [third, way, item].
    """

    place: Numbers
    first: Sums
    thirds: Sums

    def unevenness(self, parts: Numbers, wanted: Sequence[int]) -> Numbers:
        """By how much halves and thirds differ more than they may, all together: [set, way].

        parts: difficulties [set, item]. wanted: mean of each third. All in whole millionths of a bit.
        """
        # Sums of whole numbers below 2^53: the same in whatever order a machine adds them up.
        values, calls = parts.astype(np.float64).T, parts.shape[1]
        half, first = calls // 2, self.first @ values
        price = 2 * _beyond(first / half - (values.sum(0) - first) / (calls - half), HALVES)
        for inside, (start, end), mean in zip(self.thirds, pairwise(edges(calls)), wanted, strict=True):
            price += _beyond((inside @ values) / (end - start) - mean, THIRDS)
        return price.T


def _beyond(far: Sums, bits: float) -> Numbers:
    return np.maximum(np.rint(np.abs(far)).astype(np.int64) - round(UNIT * bits), 0)


@lru_cache
def orders(calls: int) -> Ways:
    """Every order of so many calls."""
    return _ways(list(permutations(range(calls))))


@lru_cache
def partings(calls: int) -> Ways:
    """One order for each way to part so many calls into halves and thirds."""
    cuts = {*edges(calls), calls // 2}
    part = [sum(cut <= place for cut in cuts) for place in range(calls)]
    return _ways(list({tuple(part[place] for place in row): row for row in permutations(range(calls))}.values()))


def _ways(rows: Sequence[Sequence[int]]) -> Ways:
    place = np.array(rows, np.int64)
    calls = place.shape[1]
    inside = [(place >= start) & (place < end) for start, end in pairwise(edges(calls))]
    return Ways(place, (place < calls // 2).astype(np.float64), np.array(inside, np.float64))
