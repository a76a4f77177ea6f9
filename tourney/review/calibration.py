"""How hard items turned out to be, in the bits of the search index, so that the next event can draw by it."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

import numpy as np

from tourney.model.heard import Heard
from tourney.review.rasch import Fit, Floats, fit_rasch

LOGITS_A_BIT, LOGITS_A_BIT_SD = 0.6, 0.2  # an assumption, no source: a bit more makes a find about half as likely
BITS_SD, ABILITY_SD = 1.0, 1.0  # where the search for both spreads begins; so far they are trusted as if seen once
TRUST = 4.0  # contestants or items as which the first guess of a spread counts
ROUNDS, CLOSE = 200, 5e-4
ROUGHLY = 0.05  # logits: near enough to the mode while the spreads still move, since each step squares what is left


@dataclass(frozen=True, slots=True)
class Calibrated:
    """One item. prior, difficulty, se: bits, before and after the day, with the doubt that is left.

    heard, found: by how many contestants, each time counted.
    """

    item: str
    prior: float
    difficulty: float
    se: float
    heard: int
    found: int


@dataclass(frozen=True, slots=True)
class Calibration:
    """All items, in the order given. logits_a_bit: what a bit is worth. bits_sd: spread of items around their prior.

    ability_sd: spread of contestants, in logits.
    """

    items: tuple[Calibrated, ...]
    logits_a_bit: float
    bits_sd: float
    ability_sd: float


def calibrate(heard: Iterable[Heard], prior: Mapping[str, float]) -> Calibration:
    """Difficulties from all that was heard and judged. prior: bits of each item that may be called, in its order.

    Finds of items that are not in the list are passed over. The less an item was heard, the more its prior counts.
    """
    known = [one for one in heard if one.found is not None and one.call.item in prior]
    child = {key: number for number, key in enumerate(sorted({one.contestant for one in known}))}
    item = {key: number for number, key in enumerate(prior)}
    tries, finds = np.zeros((len(child), len(item))), np.zeros((len(child), len(item)))
    for one in known:
        tries[child[one.contestant], item[one.call.item]] += 1
        finds[child[one.contestant], item[one.call.item]] += bool(one.found)
    bits = np.array(list(prior.values()), float)
    fitted = fit_bits(tries, finds, bits)
    return Calibration(
        tuple(
            Calibrated(
                key,
                prior[key],
                float(fitted.bits[at]),
                float(fitted.se[at]),
                int(tries[:, at].sum()),
                int(finds[:, at].sum()),
            )
            for key, at in item.items()
        ),
        fitted.logits_a_bit,
        fitted.bits_sd,
        fitted.ability_sd,
    )


@dataclass(frozen=True, slots=True)
class BitsFit:
    """Difficulties in bits with what is left in doubt, and the spreads that were found."""

    bits: Floats
    se: Floats
    logits_a_bit: float
    bits_sd: float
    ability_sd: float


def fit_bits(tries: Floats, finds: Floats, bits: Floats) -> BitsFit:
    """The item model with difficulty = ease + slope x bits + what an item adds, all three and both spreads found.

    tries, finds: contestants by items. bits: each item's prior. Spreads and slope by expectation and maximisation with
    Laplace's approximation, each held a little by a first guess. An item that nobody heard keeps its prior.
    """
    told = tries.sum(axis=0) > 0
    slope, item_sd, ability_sd = LOGITS_A_BIT, BITS_SD * LOGITS_A_BIT, ABILITY_SD
    found, doubt = bits.astype(float).copy(), np.full(len(bits), BITS_SD)
    if not told.any():
        return BitsFit(found, doubt, slope, BITS_SD, ability_sd)
    tries, finds, middle = tries[:, told], finds[:, told], float(bits[told].mean())
    line = np.stack([np.ones(tries.shape[1]), bits[told] - middle])
    share = (finds.sum() + 1) / (tries.sum() + 2)
    ease, fit = float(np.log((1 - share) / share)), None
    for _ in range(ROUNDS):
        fit = fit_rasch(tries, finds, ease + slope * line[1], item_sd, ability_sd, fit, ROUGHLY)
        before = slope, item_sd, ability_sd
        ease, slope = _line(fit, line, item_sd)
        item_sd = _spread(fit.difficulty - ease - slope * line[1], fit.difficulty_se, BITS_SD * LOGITS_A_BIT)
        ability_sd = _spread(fit.ability, fit.ability_se, ABILITY_SD)
        found[told], doubt[:] = middle + (fit.difficulty - ease) / slope, item_sd / slope
        doubt[told] = fit.difficulty_se / slope
        if max(abs(new - old) for new, old in zip((slope, item_sd, ability_sd), before, strict=True)) < CLOSE:
            break
    return BitsFit(found, doubt, slope, item_sd / slope, ability_sd)


def _line(fit: Fit, line: Floats, item_sd: float) -> tuple[float, float]:
    """Ease and slope that fit the difficulties best, the slope with its prior."""
    sure = np.diag([0.0, (item_sd / LOGITS_A_BIT_SD) ** 2])
    ease, slope = np.linalg.solve(line @ line.T + sure, line @ fit.difficulty + sure @ [0.0, LOGITS_A_BIT])
    return float(ease), max(float(slope), LOGITS_A_BIT / 4)


def _spread(values: Floats, doubt: Floats, guess: float) -> float:
    """The spread of normal values known with doubt, with a first guess counted as so many values."""
    return float(np.sqrt(((values**2 + doubt**2).sum() + TRUST * guess**2) / (len(values) + TRUST)))
