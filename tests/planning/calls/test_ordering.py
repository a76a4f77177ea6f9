"""The order of a set's calls."""

from collections.abc import Sequence
from itertools import permutations
from random import Random
from statistics import mean
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.stats import spearmanr

from tourney.canon.syllabus import built_in
from tourney.planning.calls.exact import crowd_limit
from tourney.planning.calls.ordering import order_calls
from tourney.planning.calls.pool import pool_of
from tourney.planning.calls.section_order import Known
from tourney.planning.calls.sequence import (
    SHORT,
    close_by,
    halves,
    least_twice_running,
    likeness,
    runs,
    standing,
    thirds,
    twice_running,
)


@pytest.mark.parametrize("calls", range(1, 8))
def test_sets_of_few_calls_can_be_ordered_exactly_up_to_the_crowd_limit(calls: int) -> None:
    """Every way in which `calls` items can be neighbours of each other, every order: some order keeps them four apart
    just when at most `crowd_limit` of them have a neighbour."""
    for joined in range(2 ** (calls - 1)):  # bit n: items n and n + 1 are neighbours
        pairs = [(n, n + 1) for n in range(calls - 1) if joined >> n & 1]
        crowded = len({item for pair in pairs for item in pair})
        possible = any(all(abs(p[a] - p[b]) >= 4 for a, b in pairs) for p in permutations(range(calls)))
        assert possible == (crowded <= crowd_limit(calls))


@settings(max_examples=20)
@given(st.integers(1, 30), st.integers(0, 10**6))
def test_neighbours_are_far_apart_whenever_they_can_be(listed: Any, ruled: Any, calls: int, seed: int) -> None:
    random = Random(seed)
    pool = pool_of(listed([14, 14, 14]), ruled())
    chosen = random.sample(range(42), calls)
    crowded = sum(any(other in chosen for other in pool.near[item]) for item in chosen)
    row = order_calls(pool, chosen, Known(), random)
    assert sorted(row) == sorted(chosen)
    if crowded <= crowd_limit(calls):
        assert close_by(row, pool.near) == 0


@given(st.lists(st.integers(0, 3), max_size=6))
def test_the_least_of_a_section_twice_running(sections: list[int]) -> None:
    assert least_twice_running(sections) == min(map(twice_running, permutations(sections)))


def test_sixteen_books_in_a_fair_order(ruled: Any) -> None:
    """Two of each section: none twice running, sound-alikes apart, no part harder than another."""
    pool = pool_of(built_in(), ruled())
    keys = [
        "GEN",
        "NUM",
        "JDG",
        "EST",
        "JOB",
        "PRO",
        "JER",
        "EZK",
        "JOL",
        "MAL",
        "MRK",
        "ACT",
        "EPH",
        "PHM",
        "HEB",
        "JUD",
    ]
    place = {item.id: n for n, item in enumerate(pool.items)}
    known = Known()
    drawn = [order_calls(pool, [place[key] for key in keys], known, Random(seed)) for seed in range(8)]
    for row in drawn:
        bits = [pool.bits[item] for item in row]
        assert close_by(row, pool.alike) == twice_running([pool.section[item] for item in row]) == 0
        assert abs(halves(bits)) <= 0.3
        assert max(thirds(bits)) - min(thirds(bits)) <= 0.3
    every_run = [run for row in drawn for run in runs([pool.section[item] for item in row])]
    assert len(every_run) == len(set(every_run)) == len(known.runs)
    orders = known.standings
    assert max(likeness(one, np.array(orders[:n])).max() for n, one in enumerate(orders) if n) < 0.5


def test_halves_and_thirds() -> None:
    """Worked by hand."""
    values: Sequence[float] = [1, 2, 3, 4, 5, 6, 7]
    assert halves(values) == 2 - 5.5
    assert thirds(values) == (1.5, 4, 6.5)


@given(st.lists(st.integers(0, 4), min_size=SHORT, max_size=24), st.randoms(use_true_random=False))
def test_likeness_of_section_orders_is_spearmans_correlation(
    listed: Any, ruled: Any, row: list[int], random: Any
) -> None:
    """Beside scipy's, over the sections that are called."""
    pool = pool_of(listed([3] * 5), ruled())
    other = row.copy()
    random.shuffle(other)
    called = sorted(set(row))
    one, two = (
        [mean(at for at, section in enumerate(sections) if section == number) for number in called]
        for sections in (row, other)
    )
    ours = likeness(standing(pool, row), np.array([standing(pool, other)]))[0]
    if len(set(one)) == 1 or len(set(two)) == 1:
        assert ours == 0
    else:
        assert ours == pytest.approx(spearmanr(one, two).statistic)
