"""How far judges agree beyond chance.

units: what the judges of one thing said, with how many things they said just that of. A coefficient is None where all
said one and the same.
"""

from collections import Counter
from collections.abc import Callable, Hashable, Mapping
from typing import TypeVar

Value = TypeVar("Value", bound=Hashable)
Distance = Callable[[float, float], float]


def fleiss_kappa(units: Mapping[tuple[Value, ...], int]) -> float | None:
    """Fleiss' kappa of things that were each judged by the same number of judges, two at least.

    Fleiss, Psychological Bulletin 76 (1971) 378-382. ValueError when the numbers differ.
    """
    sizes = {len(unit) for unit in units}
    if len(sizes) != 1 or min(sizes) < 2:
        raise ValueError("everything needs the same number of judges, two at least")
    (judges,) = sizes
    said: Counter[Value] = Counter()
    agreed = 0
    for unit, times in units.items():
        for value, n in Counter(unit).items():
            said[value] += n * times
            agreed += n * (n - 1) * times
    whole = sum(said.values())
    return _beyond(agreed / (whole * (judges - 1)), sum((n / whole) ** 2 for n in said.values()))


def cohen_kappa(pairs: Mapping[tuple[Value, Value], int]) -> float | None:
    """Cohen's kappa of two judges, unweighted. Cohen, Educational and Psychological Measurement 20 (1960) 37-46.

    ValueError for no pairs.
    """
    if not pairs:
        raise ValueError("needs at least one thing that both have judged")
    first: Counter[Value] = Counter()
    second: Counter[Value] = Counter()
    for (one, other), times in pairs.items():
        first[one] += times
        second[other] += times
    whole = sum(first.values())
    agreed = sum(times for (one, other), times in pairs.items() if one == other)
    return _beyond(agreed / whole, sum(first[key] * second[key] for key in first) / whole**2)


def nominal(one: float, other: float) -> float:
    """Distance of categories without order."""
    return float(one != other)


def interval(one: float, other: float) -> float:
    """Distance of values on a scale: the square of their difference."""
    return (one - other) ** 2


def krippendorff_alpha(units: Mapping[tuple[float, ...], int], distance: Distance = nominal) -> float | None:
    """Krippendorff's alpha of things judged by any number of judges; those with fewer than two are left out.

    Krippendorff, Content Analysis: An Introduction to Its Methodology, chapter 11; by the matrix of coincidences.
    """
    coincidences: dict[tuple[float, float], float] = {}
    for unit, times in units.items():
        if len(unit) < 2:
            continue
        counts = Counter(unit)
        for one, n in counts.items():
            for other, m in counts.items():
                seen = times * n * (m - (one == other)) / (len(unit) - 1)
                coincidences[one, other] = coincidences.get((one, other), 0.0) + seen
    totals: dict[float, float] = {}
    for (one, _), seen in coincidences.items():
        totals[one] = totals.get(one, 0.0) + seen
    apart = sum(seen * distance(*pair) for pair, seen in coincidences.items())
    chance = sum(n * m * distance(one, other) for one, n in totals.items() for other, m in totals.items())
    return 1 - (sum(totals.values()) - 1) * apart / chance if chance else None


def _beyond(agreed: float, chance: float) -> float | None:
    """Agreement beyond chance, as a part of what could be; None where chance alone explains all."""
    return None if chance >= 1 else (agreed - chance) / (1 - chance)
