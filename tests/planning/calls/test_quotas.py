"""Calls a section, round by round: compared with every possibility on small cases."""

from fractions import Fraction
from itertools import product
from math import ceil, floor
from random import Random
from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st

from tourney.planning.calls.pool import pool_of
from tourney.planning.calls.quotas import Demand, draw_quotas, least_items
from tourney.planning.calls.shares import shares_of


def every_quota(demand: Demand, sizes: list[int]) -> list[Fraction]:
    """Worst deviations of all quotas that keep every rule, by trying everything."""
    exact = [demand.calls * share for share in demand.shares]
    one_round = [row for row in product(*([floor(x), ceil(x)] for x in exact)) if sum(row) == demand.calls]
    found = []
    for rounds in product(sorted(set(one_round)), repeat=max(demand.rounds) + 1):
        heard = [rounds[number] for number in demand.rounds]
        windows = [heard[max(0, n - demand.gap) : n + 1] for n in range(len(heard))]
        room = all(sum(row[s] for row in w) <= size for w in windows for s, size in enumerate(sizes))
        worst = max(
            abs(sum(row[s] for row in rounds[: n + 1]) - (n + 1) * x)
            for n in range(len(rounds))
            for s, x in enumerate(exact)
        )
        if room and worst < 1:
            found.append(worst)
    return found


@settings(max_examples=60)
@given(
    st.lists(st.integers(1, 5), min_size=1, max_size=3),
    st.integers(1, 7),
    st.sampled_from([(0,), (0, 1, 2), (0, 0, 1, 1), (0, 1, 1, 2)]),
    st.integers(0, 2),
    st.sampled_from(["equal", "by_size", {"shelf0": 2}, {"shelf0": 0.3, "shelf1": 0.7}]),
)
def test_least_deviation_or_none(
    listed: Any, ruled: Any, sizes: list[int], calls: int, rounds: tuple[int, ...], gap: int, rule: Any
) -> None:
    if isinstance(rule, dict) and len(sizes) < 2:
        rule = "equal"
    division = ruled(calls=calls, sections=rule)
    pool = pool_of(listed(sizes), division)
    demand = Demand(shares_of(division, pool), calls, rounds, gap)
    expected, quotas = every_quota(demand, sizes), draw_quotas(demand, pool, Random(1))
    if not expected:
        assert quotas is None
        return
    assert quotas is not None
    assert (quotas.deviation, quotas.proven) == (min(expected), True)
    totals = [sum(column) for column in zip(*quotas.rounds, strict=True)]
    assert all(abs(n - len(quotas.rounds) * calls * s) < 1 for n, s in zip(totals, demand.shares, strict=True))


def test_neighbours_forced_by_counts_are_avoided(listed: Any, ruled: Any) -> None:
    """Two sections of five that touch: three calls of each would force neighbours, so they take turns."""
    division = ruled(calls=10)
    pool = pool_of(listed([5, 5, 9, 9]), division)
    for seed in range(10):
        quotas = draw_quotas(Demand(shares_of(division, pool), 10, (0, 1, 2, 3)), pool, Random(seed))
        assert quotas is not None
        assert all(row[0] + row[1] == 5 for row in quotas.rounds)


def test_what_is_open_is_drawn(listed: Any, ruled: Any) -> None:
    division = ruled(calls=9)
    pool = pool_of(listed([9] * 6), division)
    demand = Demand(shares_of(division, pool), 9, (0,))
    drawn = {str(draw_quotas(demand, pool, Random(seed))) for seed in range(12)}
    assert len(drawn) > 4


def test_a_long_day_repeats_its_period(listed: Any, ruled: Any) -> None:
    """Shares of 2/3 come out even after three rounds."""
    division = ruled(calls=2)
    pool = pool_of(listed([4, 4, 4]), division)
    quotas = draw_quotas(Demand(shares_of(division, pool), 2, tuple(range(300))), pool, Random(0))
    assert quotas is not None
    assert len(quotas.rounds) == 300
    assert [sum(column) for column in zip(*quotas.rounds, strict=True)] == [200, 200, 200]


def test_items_needed_for_a_gap(listed: Any, ruled: Any) -> None:
    """Five calls of two sections: 2 and 3 by turns. Two sets in a row hold 5, two sets of one round may hold 6."""
    division = ruled(calls=5)
    pool = pool_of(listed([9, 9]), division)
    shares = shares_of(division, pool)
    assert least_items(Demand(shares, 5, (0, 1), gap=1), 0) == 5
    assert least_items(Demand(shares, 5, (0, 0, 1, 1), gap=1), 0) == 6
    assert least_items(Demand(shares, 5, (0, 1, 2), gap=0), 0) == 3
