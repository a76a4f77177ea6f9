"""The additive model, value = subject + level + error, from subjects that were seen at several levels of a factor.

Levels are drawn to their mean by as much as the values themselves ask for, and the doubt about that is included.
"""

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from statistics import fmean

import numpy as np
from numpy.typing import NDArray

from tourney.review.intervals import Z95

Floats = NDArray[np.float64]
Whole = NDArray[np.int64]

_RATIOS = np.geomspace(1e-3, 1e4, 281)  # spread of levels in spreads of errors: from none to errors that vanish
_TINY = 1e-9  # of the largest: what rounding leaves of an eigenvalue that is none


@dataclass(frozen=True, slots=True)
class Row:
    """One value of one subject at one level."""

    subject: str
    level: str
    value: float


@dataclass(frozen=True, slots=True)
class Effect:
    """What a level adds to values, against the mean of the levels of its group. se: standard deviation left in doubt.

    group: levels of different groups have no subject in common, not even through others, and can't be compared.
    rows: values at this level that say something, because their subject was seen at other levels too.
    """

    level: str
    group: int
    value: float
    se: float
    rows: int

    @property
    def interval(self) -> tuple[float, float]:
        """95 % of what it may be."""
        return self.value - Z95 * self.se, self.value + Z95 * self.se


def effects(rows: Sequence[Row]) -> tuple[Effect, ...]:
    """Every level's effect, in the order of levels' names. rows: in any order.

    Levels are normal around their mean, errors normal around 0. The ratio of the two spreads is averaged over its
    restricted likelihood with a half-Cauchy prior of scale 1, so that few rows do not make all levels look alike:
    Gelman, Bayesian Analysis 1 (2006) 515-534; the likelihood as in Patterson and Thompson, Biometrika 58 (1971)
    545-554 (both from memory). Where the errors vanish, effects are those of least squares.
    """
    levels = sorted({row.level for row in rows})
    place = {level: number for number, level in enumerate(levels)}
    of_subject: dict[str, list[Row]] = defaultdict(list)
    for row in rows:
        of_subject[row.subject].append(row)
    normal, sums, told = np.zeros((len(levels), len(levels))), np.zeros(len(levels)), np.zeros(len(levels), int)
    squares = 0.0
    for _, own in sorted(of_subject.items()):
        at = [place[row.level] for row in own]
        here, times = np.unique(at, return_counts=True)
        over = np.array([row.value for row in own]) - fmean(row.value for row in own)
        normal[np.ix_(here, here)] += np.diag(times) - np.outer(times, times) / len(own)
        np.add.at(sums, at, over)
        squares += float(over @ over)
        told[here] += times if len(here) > 1 else 0
    groups = _groups(normal)
    mean, covariance = _posterior(normal, sums, squares, len(rows) - len(of_subject), groups)
    doubt = np.sqrt(np.maximum(0.0, np.diag(covariance)))
    return tuple(
        Effect(level, int(groups[at]), float(mean[at]), float(doubt[at]), int(told[at])) for level, at in place.items()
    )


def _posterior(normal: Floats, sums: Floats, squares: float, freedom: int, groups: Whole) -> tuple[Floats, Floats]:
    """Means and covariances of the levels, each less the mean of its group. freedom: rows less subjects."""
    weights, vectors = np.linalg.eigh(normal)
    kept = weights > _TINY * max(1.0, float(weights.max(initial=0.0)))
    weights, vectors = weights[kept], vectors[:, kept]
    if not len(weights):
        return np.zeros(len(groups)), np.zeros((len(groups), len(groups)))
    shown = (vectors.T @ sums) / weights
    left = max(0.0, squares - float(shown**2 @ weights))
    # Along each eigenvector the estimate is normal: variance of levels plus variance of errors by its weight.
    spread = _RATIOS[:, None] ** 2 + 1 / weights
    error = np.maximum(left + (shown**2 / spread).sum(axis=1), 1e-300) / max(1, freedom)
    likelihood = -0.5 * (freedom * np.log(error) + np.log(spread).sum(axis=1))
    prior = np.log(_RATIOS) - np.log1p(_RATIOS**2)  # half-Cauchy, on a grid that is even in logarithms
    chance = np.exp(likelihood + prior - (likelihood + prior).max())
    chance /= chance.sum()
    kept_part = _RATIOS[:, None] ** 2 / spread
    means = kept_part * shown
    mean = chance @ means
    apart = means - mean
    covariance = np.diag(chance @ (error[:, None] * kept_part / weights)) + (apart * chance[:, None]).T @ apart
    turn = _less_group_mean(groups) @ vectors
    return turn @ mean, turn @ covariance @ turn.T


def _less_group_mean(groups: Whole) -> Floats:
    alike = (groups[:, None] == groups[None, :]).astype(float)
    less: Floats = np.eye(len(groups)) - alike / alike.sum(axis=1, keepdims=True)
    return less


def _groups(normal: Floats) -> Whole:
    """Number of the group of each level, from 0, in the order in which their first levels come."""
    found = np.full(len(normal), -1)
    for level in range(len(normal)):
        if found[level] >= 0:
            continue
        reached, ahead = {level}, [level]
        while ahead:
            new = set(np.flatnonzero(normal[ahead.pop()] < -_TINY).tolist()) - reached
            reached |= new
            ahead += sorted(new)
        found[sorted(reached)] = found.max() + 1
    return found
