"""Whether every set of the rounds is as hard as every other, as a whole and in its parts. Difficulties in bits."""

from collections import Counter
from collections.abc import Iterator, Sequence
from itertools import pairwise

from tourney.verify.division_sets import DivisionSets
from tourney.verify.line import Line

PERCENT, BITS, MIX = 1.0, 0.3, 2  # most that sets may differ; MIX in easy, middling or hard calls
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
    yield _line("difficulty_spread_percent", sets, percent, PERCENT, f"{high} over {low}")
    uneven = max(max(calls) - min(calls) for calls in zip(*_bands(sets), strict=True))
    yield Line("difficulty_mix_calls", sets.name, uneven, None, MIX, uneven <= MIX, False)
    if min(map(len, rows.values())) >= SHORT:
        tilts = {key: abs(_mean(row[: len(row) // 2]) - _mean(row[len(row) // 2 :])) for key, row in rows.items()}
        worst = max(tilts, key=lambda key: tilts[key])
        yield _line("difficulty_of_halves_bits", sets, tilts[worst], BITS, worst)
        parts = zip(*map(_thirds, rows.values()), strict=True)
        yield _line("difficulty_of_thirds_bits", sets, max(max(part) - min(part) for part in parts), BITS, "")


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


def _line(name: str, sets: DivisionSets, value: float, limit: float, worst: str) -> Line:
    return Line(name, sets.name, round(value, 3), None, limit, value <= limit, False, worst)


def _mean(row: Sequence[float]) -> float:
    return sum(row) / len(row)


def _thirds(row: Sequence[float]) -> tuple[float, ...]:
    edges = [round(len(row) * part / 3) for part in range(4)]
    return tuple(_mean(row[start:end]) for start, end in pairwise(edges))
