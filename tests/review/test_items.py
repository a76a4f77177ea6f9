"""Items: counts, how well they tell sure from unsure, and difficulty drawn to what was expected."""

import numpy as np
import pytest

from tests.review.day_of_marks import heard, heat
from tourney.model.heard import Word
from tourney.review.calibration import BITS_SD, calibrate, fit_bits
from tourney.review.items import LEAST, item_reviews

CLEAN: tuple[Word, ...] = ((),)
LATE: tuple[Word, ...] = (("L",),)
WRONG: tuple[Word, ...] = (("W",),)
SPOKEN: tuple[Word, ...] = (("S",),)


def test_counts_of_an_item() -> None:
    where = heat("J-R1-1", ("T1-1", "T1-2", "T2-1", "T2-2"), ("O1",))
    marks = (CLEAN, LATE, WRONG, SPOKEN)
    calls = [heard(where, line, 1, said, asked=line in (1, 4)) for line, said in enumerate(marks, start=1)]
    calls.append(heard(where, 1, 2, (("N",),)))
    (one,) = item_reviews(calls)
    assert (one.item, one.found.hits, one.found.calls, one.late, one.wrong_place) == ("G1", 2, 4, 1, 1)
    assert (one.answers.hits, one.answers.calls, one.telling) == (1, 2, None)


def test_an_item_that_only_the_sure_find_tells_most() -> None:
    children = tuple(f"T{n}-1" for n in range(1, LEAST + 1))
    where = heat("J-R1-1", children, ("O1",))
    calls = []
    for line in range(1, LEAST + 1):
        calls += [heard(where, line, no, CLEAN if line > no else LATE) for no in range(2, 11)]
        calls.append(heard(where, line, 11, CLEAN if line % 2 else LATE, "H1"))
    of = {one.item: one.telling for one in item_reviews(calls)}
    assert of["G6"] and of["H1"] is not None and of["G6"] > 0.7 > of["H1"]


def test_what_nobody_heard_keeps_its_prior() -> None:
    where = heat("J-R1-1", ("T1-1", "T1-2"), ("O1",))
    calls = [heard(where, line, 1, CLEAN) for line in (1, 2)]
    found = {one.item: one for one in calibrate(calls, {"G1": 2.0, "G2": 3.5}).items}
    assert (found["G2"].difficulty, found["G2"].heard) == (3.5, 0) and found["G2"].se > found["G1"].se > 0
    nothing = calibrate([], {"G1": 2.0})
    assert (nothing.items[0].difficulty, nothing.items[0].se) == (2.0, BITS_SD)


def test_the_more_it_was_heard_the_less_the_prior_counts() -> None:
    chance = np.random.default_rng(11)
    bits = np.linspace(0.5, 5.5, 40)
    tries = np.ones((120, 40))
    tries[:, 0] = 0
    tries[:3, 0] = 1  # three children heard the first item, all of them the second; nobody found either
    finds = (chance.random((120, 40)) < 0.85).astype(float) * tries
    finds[:, :2] = 0
    fit = fit_bits(tries, finds, bits)
    moved = fit.bits - bits
    assert moved[1] > moved[0] > 0 and fit.se[1] < fit.se[0]


def test_planted_difficulties_come_back_on_their_own_scale() -> None:
    """Mean error near 0 bits, and 95 % intervals that hold nearly all: the model's own world, with fixed chance."""
    chance = np.random.default_rng(5)
    bits = chance.uniform(0.2, 5.5, 66)
    true = bits + chance.normal(0, 0.7, 66)
    ability = chance.normal(0, 0.9, 144)
    tries = (chance.random((144, 66)) < 0.9).astype(float)
    finds = tries * (chance.random((144, 66)) < 1 / (1 + np.exp(-(4.1 + ability[:, None] - 0.6 * true))))
    fit = fit_bits(tries, finds, bits)
    off = fit.bits - true
    off -= off.mean()  # ease, common to all, belongs to the day and not to the items
    assert off.std() < 0.8 * (bits - true).std()
    assert np.mean(np.abs(off) < 1.96 * fit.se) > 0.88
    assert fit.ability_sd == pytest.approx(0.9, abs=0.15) and fit.bits_sd == pytest.approx(0.7, abs=0.2)
