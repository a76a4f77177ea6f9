"""How far judges agree beyond chance. Units are judged things; a coefficient is None where all said one thing."""

from collections import Counter
from collections.abc import Callable, Hashable, Sequence

Distance = Callable[[float, float], float]


def fleiss_kappa(units: Sequence[Sequence[Hashable]]) -> float | None:
    """Fleiss' kappa of units that were each judged by the same number of judges, two at least.

    Fleiss, Psychological Bulletin 76 (1971) 378-382. ValueError when the numbers differ.
    """
    judges = len(units[0]) if units else 0
    if judges < 2 or any(len(unit) != judges for unit in units):
        raise ValueError("every unit needs the same number of judges, two at least")
    counts = [Counter(unit) for unit in units]
    whole = len(units) * judges
    said = sum(counts, Counter[Hashable]())
    agreed = sum(n * (n - 1) for count in counts for n in count.values()) / (whole * (judges - 1))
    return _beyond(agreed, sum((n / whole) ** 2 for n in said.values()))


def cohen_kappa(pairs: Sequence[tuple[Hashable, Hashable]]) -> float | None:
    """Cohen's kappa of two judges, unweighted. Cohen, Educational and Psychological Measurement 20 (1960) 37-46.

    ValueError for no pairs.
    """
    if not pairs:
        raise ValueError("needs at least one thing that both have judged")
    first, second = Counter(one for one, _ in pairs), Counter(other for _, other in pairs)
    agreed = sum(one == other for one, other in pairs) / len(pairs)
    return _beyond(agreed, sum(first[key] * second[key] for key in first) / len(pairs) ** 2)


def nominal(one: float, other: float) -> float:
    """Distance of categories without order."""
    return float(one != other)


def interval(one: float, other: float) -> float:
    """Distance of values on a scale: the square of their difference."""
    return (one - other) ** 2


def krippendorff_alpha(units: Sequence[Sequence[float]], distance: Distance = nominal) -> float | None:
    """Krippendorff's alpha of units judged by any number of judges; those with fewer than two are left out.

    Krippendorff, Content Analysis: An Introduction to Its Methodology, chapter 11; by the matrix of coincidences.
    """
    weights: dict[tuple[float, float], float] = {}
    for unit in units:
        if len(unit) < 2:
            continue
        counts = Counter(unit)
        for one, n in counts.items():
            for other, m in counts.items():
                pair = one, other
                weights[pair] = weights.get(pair, 0.0) + n * (m - (one == other)) / (len(unit) - 1)
    totals: dict[float, float] = {}
    for (one, _), weight in weights.items():
        totals[one] = totals.get(one, 0.0) + weight
    whole = sum(totals.values())
    seen = sum(weight * distance(*pair) for pair, weight in weights.items())
    chance = sum(n * m * distance(one, other) for one, n in totals.items() for other, m in totals.items())
    return 1 - (whole - 1) * seen / chance if chance else None


def _beyond(agreed: float, chance: float) -> float | None:
    """Agreement beyond chance, as a part of what could be; None where chance alone explains all."""
    return None if chance >= 1 else (agreed - chance) / (1 - chance)
