"""How well a contestant who counts sections could guess the next one."""

from collections.abc import Sequence
from fractions import Fraction
from math import comb
from random import Random


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


def simulated_chances(
    counts: Sequence[int], random: Random, trials: int, twice_running: bool = True
) -> tuple[float, ...]:
    """For each call of a set, how often that guess is right in so many random orders.

    twice_running = False: no section comes twice running where the counts allow, and the contestant knows that too.
    Orders are then drawn call by call, every call that may come next being equally likely.
    """
    right = [0] * sum(counts)
    for _ in range(trials):
        left, before = list(counts), -1
        for place, still in enumerate(range(sum(counts), 0, -1)):
            open_ = range(len(left)) if twice_running else _open(left, before, still)
            guess = max(open_, key=lambda section: left[section])
            before = random.choice([section for section in open_ for _ in range(left[section])])
            right[place] += guess == before
            left[before] -= 1
    return tuple(found / trials for found in right)


def _open(left: Sequence[int], before: int, still: int) -> Sequence[int]:
    """Sections of which the next call may be; the fullest alone where it could not be kept apart later."""
    fullest = max(range(len(left)), key=lambda section: left[section])
    if 2 * left[fullest] > still and fullest != before:
        return [fullest]
    return [section for section, calls in enumerate(left) if calls and section != before] or [before]


def _ways(counts: Sequence[int], limit: int) -> list[int]:
    """For each number of calls, in how many ways they can be chosen with at most `limit` of any section."""
    ways = [1] + [0] * sum(counts)
    for calls in counts:
        ways = [
            sum(ways[total - part] * comb(calls, part) for part in range(min(limit, calls, total) + 1))
            for total in range(len(ways))
        ]
    return ways
