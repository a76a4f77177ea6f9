"""How often judges of a panel said the same, by letter, and what of that chance alone does not explain."""

from collections import Counter, defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from itertools import combinations

from tourney.model.heard import Heard, Word
from tourney.model.sheet import Letter
from tourney.review.agreement import cohen_kappa, fleiss_kappa, krippendorff_alpha
from tourney.review.judges import FAULTS


@dataclass(frozen=True, slots=True)
class Agreement:
    """One letter of one division, or all of them ("" as letter). looks: calls of contestants with two judges or more.

    alike: in how many of them all said the same; marked: in how many anybody wrote it.
    kappa: Fleiss', None where panels differ in size, or nobody wrote it. alpha: Krippendorff's, nominal.
    """

    division: str
    letter: Letter | str
    looks: int
    marked: int
    alike: int
    kappa: float | None
    alpha: float | None


@dataclass(frozen=True, slots=True)
class Pair:
    """Two judges who sat in one panel. kappa: Cohen's over all their marks, None where both said one thing only."""

    one: str
    other: str
    looks: int
    alike: int
    kappa: float | None


def agreements(heard: Iterable[Heard]) -> tuple[Agreement, ...]:
    """By division in the order in which they come: all marks together, then letter by letter."""
    by_division: dict[str, Counter[tuple[Word, ...]]] = defaultdict(Counter)
    for one in heard:
        marks = _marks(one)
        if len(marks) > 1:
            by_division[one.heat.division][marks] += 1
    return tuple(_agreement(name, letter, units) for name, units in by_division.items() for letter in ("", *FAULTS))


def pairs(heard: Iterable[Heard]) -> tuple[Pair, ...]:
    """Every two judges who judged the same, by their ids."""
    said: dict[tuple[str, str], Counter[tuple[Word, Word]]] = defaultdict(Counter)
    for one in heard:
        known = [(judge, mark) for judge, mark in zip(one.heat.judges, one.marks, strict=True) if mark is not None]
        if _marks(one):
            for (first, mark), (second, other) in combinations(sorted(known), 2):
                said[first, second][mark, other] += 1
    return tuple(
        Pair(*who, both.total(), sum(n for (mark, other), n in both.items() if mark == other), cohen_kappa(both))
        for who, both in sorted(said.items())
    )


def _marks(one: Heard) -> tuple[Word, ...]:
    """What the judges wrote; nothing where the contestant was absent."""
    return () if one.word and "N" in one.word else tuple(mark for mark in one.marks if mark is not None)


def _agreement(division: str, letter: Letter | str, units: Counter[tuple[Word, ...]]) -> Agreement:
    numbers = {word: at for at, word in enumerate(sorted({mark for unit in units for mark in unit}))}
    said: Counter[tuple[float, ...]] = Counter()
    for unit, times in units.items():
        said[tuple(float(letter in mark) if letter else float(numbers[mark]) for mark in unit)] += times
    clean = 0.0 if letter else float(numbers.get((), -1))
    return Agreement(
        division,
        letter,
        said.total(),
        sum(times for unit, times in said.items() if any(value != clean for value in unit)),
        sum(times for unit, times in said.items() if len(set(unit)) == 1),
        fleiss_kappa(said) if len({len(unit) for unit in said}) == 1 else None,
        krippendorff_alpha(said),
    )
