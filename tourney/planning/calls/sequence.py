"""What can be said of the order in which a set is called."""

from collections.abc import Collection, Sequence
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from tourney.planning.calls.exact import APART
from tourney.planning.calls.pool import Pool

RUN = 5  # sections in a row that no two sets of a division share
SHORT = 6  # sets of fewer calls have no halves, thirds or section order worth the name
A_DAY = 12  # sets heard one after another whose section orders are compared: as many as a team may hear in a day

Run = tuple[int, ...]
Standing = NDArray[np.int64]


def runs(sections: Sequence[int]) -> list[Run]:
    """Every five sections that follow each other."""
    return [tuple(sections[n : n + RUN]) for n in range(len(sections) - RUN + 1)]


def close_by(row: Sequence[int], clashing: Sequence[Collection[int]]) -> int:
    """Pairs of clashing items less than four places apart."""
    return sum(other in clashing[item] for at, item in enumerate(row) for other in row[at + 1 : at + APART])


def twice_running(sections: Sequence[object]) -> int:
    """Calls that follow one of their own section."""
    return sum(before == after for before, after in pairwise(sections))


def least_twice_running(sections: Sequence[object]) -> int:
    """The fewest that these counts allow: the calls of the fullest section less the places between the others."""
    return max((0, *(2 * sections.count(section) - len(sections) - 1 for section in sections)))


def edges(calls: int) -> tuple[int, ...]:
    """Where the thirds of so many calls begin and end."""
    return tuple(round(calls * n / 3) for n in range(4))


def thirds(values: Sequence[float]) -> tuple[float, ...]:
    """Means of the first, the middle and the last third."""
    return tuple(mean(values[start:end]) for start, end in pairwise(edges(len(values))))


def halves(values: Sequence[float]) -> float:
    """Mean of the first half less that of the second."""
    middle = len(values) // 2
    return mean(values[:middle]) - mean(values[middle:])


def mean(values: Sequence[float]) -> float:
    """Mean, 0 of nothing."""
    return sum(values) / len(values) if values else 0.0


def standing(pool: Pool, sections: Sequence[int]) -> Standing:
    """For each section of the pool, how many sections are called before it less how many after it, in the mean.

    These are ranks about their middle, doubled. A section without calls has none: it is in the middle.
    """
    number = len(pool.sections)
    calls = np.bincount(sections, minlength=number)
    means = np.bincount(sections, np.arange(len(sections)), number) / np.maximum(calls, 1)
    before = np.sign(np.subtract.outer(means, means)) * np.outer(calls > 0, calls > 0)
    return np.asarray(before.sum(1), np.int64)


def likeness(one: Standing, others: NDArray[np.int64]) -> NDArray[np.float64]:
    """Spearman's rank correlation of one standing with each of others (rows); 0 where all sections stand level.

    Spearman, American Journal of Psychology 15 (1904) 72-101.
    """
    sizes = np.sqrt((one * one).sum() * (others * others).sum(1))
    return np.asarray(np.where(sizes > 0, (others @ one) / np.maximum(sizes, 1), 0.0))
