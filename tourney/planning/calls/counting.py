"""How well a contestant who counts sections could guess the next one."""

from collections.abc import Sequence
from fractions import Fraction
from math import comb


def guessing_chances(counts: Sequence[int]) -> tuple[Fraction, ...]:
    """For each call of a set, the chance that the section with most calls still to come is the next.

    counts: calls a section, known to the contestant, in a random order. Exact: the calls still to come are a random
    part of the set, so their largest section follows the multivariate hypergeometric distribution.
    """
    calls, most = sum(counts), max(counts, default=0)
    below = [_ways(counts, limit) for limit in range(most)]
    return tuple(
        sum((1 - Fraction(ways[left], comb(calls, left)) for ways in below), Fraction(0)) / left
        for left in range(calls, 0, -1)
    )


def _ways(counts: Sequence[int], limit: int) -> list[int]:
    """For each number of calls, in how many ways they can be chosen with at most `limit` of any section."""
    ways = [1] + [0] * sum(counts)
    for calls in counts:
        ways = [
            sum(ways[total - part] * comb(calls, part) for part in range(min(limit, calls, total) + 1))
            for total in range(len(ways))
        ]
    return ways
