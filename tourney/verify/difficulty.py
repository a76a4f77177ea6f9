"""Whether every set of the rounds is as hard as every other, as a whole and in its parts. Difficulties in bits."""

from collections.abc import Iterator, Sequence
from itertools import pairwise

from tourney.verify.division_sets import DivisionSets
from tourney.verify.line import Line

PERCENT, BITS = 1.0, 0.3  # most that sets may differ
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
    if min(map(len, rows.values())) >= SHORT:
        tilts = {key: abs(_mean(row[: len(row) // 2]) - _mean(row[len(row) // 2 :])) for key, row in rows.items()}
        worst = max(tilts, key=lambda key: tilts[key])
        yield _line("difficulty_of_halves_bits", sets, tilts[worst], BITS, worst)
        parts = zip(*map(_thirds, rows.values()), strict=True)
        yield _line("difficulty_of_thirds_bits", sets, max(max(part) - min(part) for part in parts), BITS, "")


def _line(name: str, sets: DivisionSets, value: float, limit: float, worst: str) -> Line:
    return Line(name, sets.name, round(value, 3), None, limit, value <= limit, False, worst)


def _mean(row: Sequence[float]) -> float:
    return sum(row) / len(row)


def _thirds(row: Sequence[float]) -> tuple[float, ...]:
    edges = [round(len(row) * part / 3) for part in range(4)]
    return tuple(_mean(row[start:end]) for start, end in pairwise(edges))
