"""The item model of Rasch with normal priors: the chance of a find is logistic in ability less difficulty.

Rasch, Probabilistic Models for Some Intelligence and Attainment Tests (1960). Fitted to its posterior mode by Newton's
method; abilities are eliminated first, so that each step solves one system as large as the list of items.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

STEPS, CLOSE = 100, 1e-6
LONGEST = 2.0  # logits that one step may move anything: far steps overshoot where almost everything was found


@dataclass(frozen=True, slots=True)
class Fit:
    """The mode, in logits. se: of difficulties, with abilities in doubt too. ability_se: with difficulties known."""

    ability: Floats
    difficulty: Floats
    ability_se: Floats
    difficulty_se: Floats


def fit_rasch(
    tries: Floats,
    finds: Floats,
    prior: Floats,
    prior_sd: float,
    ability_sd: float,
    start: Fit | None = None,
    close: float = CLOSE,
) -> Fit:
    """Fit contestants by items. tries, finds: how often each contestant heard each item, and found it.

    prior: mean difficulty of each item in logits. Abilities have mean 0. Wide spreads come to joint maximum likelihood.
    start: where to begin. close: logits; a step that moves nothing further than that is the last.
    """
    ability = start.ability.copy() if start else np.zeros(tries.shape[0])
    difficulty = start.difficulty.copy() if start else prior.astype(float).copy()
    sure, sure_ability = 1 / prior_sd**2, 1 / ability_sd**2
    for _ in range(STEPS):
        chance = 1 / (1 + np.exp(difficulty[None, :] - ability[:, None]))
        told = tries * chance * (1 - chance)
        over = finds - tries * chance
        up = over.sum(axis=1) - sure_ability * ability
        down = -over.sum(axis=0) - sure * (difficulty - prior)
        of_child = told.sum(axis=1) + sure_ability
        whole = np.diag(told.sum(axis=0) + sure) - (told / of_child[:, None]).T @ told
        step = np.linalg.solve(whole, down + (told / of_child[:, None]).T @ up)
        step_ability = (up + told @ step) / of_child
        far = max(float(np.abs(step).max()), float(np.abs(step_ability).max()))
        pace = min(1.0, LONGEST / far) if far else 1.0
        difficulty, ability = difficulty + pace * step, ability + pace * step_ability
        if far < close:
            break
    return Fit(ability, difficulty, 1 / np.sqrt(of_child), np.sqrt(np.diag(np.linalg.inv(whole))))
