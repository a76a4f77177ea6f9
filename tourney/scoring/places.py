"""Places in the manner of competitions: 1, 2, 2, 4."""

from collections import Counter
from collections.abc import Mapping
from fractions import Fraction


def places_of(worth: Mapping[str, Fraction]) -> dict[str, int]:
    """Name -> place, most first: one more than the number of names with more. Level names share a place."""
    ahead, found = 1, {}
    for value, times in sorted(Counter(worth.values()).items(), reverse=True):
        found[value] = ahead
        ahead += times
    return {name: found[value] for name, value in worth.items()}
