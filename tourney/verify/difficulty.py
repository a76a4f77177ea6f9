"""Whether every set of the rounds is as hard as every other, as a whole and in its parts. Difficulties in bits."""

from collections import Counter
from collections.abc import Iterator, Sequence
from itertools import pairwise
from math import gcd

from tourney.verify.division_sets import DivisionSets
from tourney.verify.line import Line

PERCENT, BITS, MIX = 1.0, 0.3, 2  # most that sets may differ; MIX in easy, middling or hard calls
DIGIT = 0.001  # last digit of a difficulty in the documents
SHORT = 6  # sets of fewer calls have no halves or thirds


def difficulty_lines(sets: DivisionSets) -> Iterator[Line]:
    """All of a division; nothing where no set is heard in a round."""
    rows = {found.id: [call.difficulty for call in found.calls] for found in sets.heard}
    sums = {key: sum(row) for key, row in rows.items()}
    whole = sum(sums.values())
    if not whole:
        return
    high, low = max(sums, key=lambda key: sums[key]), min(sums, key=lambda key: sums[key])
    percent = 100 * (sums[high] - sums[low]) * len(sums) / whole
    least = 100 * _unshared(list(rows.values())) * len(sums) / whole
    yield _line("difficulty_spread_percent", sets, percent, least, PERCENT, f"{high} over {low}")
    uneven = max(max(calls) - min(calls) for calls in zip(*_bands(sets), strict=True))
    yield Line("difficulty_mix_calls", sets.name, uneven, None, MIX, uneven <= MIX, False)
    if min(map(len, rows.values())) >= SHORT:
        tilts = {key: abs(_mean(row[: len(row) // 2]) - _mean(row[len(row) // 2 :])) for key, row in rows.items()}
        worst = max(tilts, key=lambda key: tilts[key])
        yield _line("difficulty_of_halves_bits", sets, tilts[worst], max(map(least_tilt, rows.values())), BITS, worst)
        parts = zip(*map(_thirds, rows.values()), strict=True)
        # The means of the thirds, weighted by their calls, make the mean of a set: one of them differs as much as that.
        apart = _mean(rows[high]) - _mean(rows[low]) if len(set(map(len, rows.values()))) == 1 else 0
        yield _line("difficulty_of_thirds_bits", sets, max(max(part) - min(part) for part in parts), apart, BITS, "")


def _bands(sets: DivisionSets) -> Iterator[tuple[int, ...]]:
    """Easy, middling and hard calls of each set; each third of the list is heard as often over the day."""
    uses = Counter(call.item for found in sets.heard for call in found.calls)
    band, past, listing = dict[str, int](), 0, sets.listing
    for item in sorted(uses, key=lambda key: (listing.row[key].bits, listing.place[key])):
        band[item] = min(2, 3 * (2 * past + uses[item]) // (2 * uses.total()))
        past += uses[item]
    for found in sets.heard:
        held = [band[call.item] for call in found.calls]
        yield held.count(0), held.count(1), held.count(2)


def _unshared(rows: Sequence[Sequence[float]]) -> float:
    """Bits between two of the sets at least, where so many of the smallest unit can't be shared out evenly."""
    units = [round(bits / DIGIT) for row in rows for bits in row]
    unit = gcd(*units)
    return DIGIT * unit if unit and sum(units) // unit % len(rows) else 0.0


def least_tilt(row: Sequence[float]) -> float:
    """Bits between the means of two halves at least, whatever the order: every sum that some half can have.

    reached[calls] has a bit for each sum of so many calls, in units of the last digit.
    """
    units, half = [round(bits / DIGIT) for bits in row], len(row) // 2
    reached = [1] + [0] * half
    for unit in units:
        for calls in range(half, 0, -1):
            reached[calls] |= reached[calls - 1] << unit
    whole, rest = sum(units), len(row) - half
    level = whole * half // len(row)  # halves are alike when the first has this much
    below, above = (reached[half] & ((2 << level) - 1)).bit_length() - 1, reached[half] >> (level + 1)
    nearest = [below] if below >= 0 else []
    nearest += [level + (above & -above).bit_length()] if above else []
    return min(DIGIT * abs(first / half - (whole - first) / rest) for first in nearest)


def _line(name: str, sets: DivisionSets, value: float, bound: float, limit: float, worst: str) -> Line:
    return Line(name, sets.name, round(value, 3), round(bound, 3), limit, value <= limit, False, worst)


def _mean(row: Sequence[float]) -> float:
    return sum(row) / len(row)


def _thirds(row: Sequence[float]) -> tuple[float, ...]:
    edges = [round(len(row) * part / 3) for part in range(4)]
    return tuple(_mean(row[start:end]) for start, end in pairwise(edges))
