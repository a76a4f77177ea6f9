"""Bounds of the fairness page: no draw of small lists goes below them, and where it can be tried, some reaches them."""

from collections.abc import Sequence
from functools import cache
from itertools import pairwise, permutations, product
from typing import Any

import pytest
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st

from tourney.draw import Draw
from tourney.errors import Refusal
from tourney.planning.calls.draw import draw_call_sets
from tourney.planning.calls.run_supply import fewest_again
from tourney.planning.calls.sequence import halves, runs, thirds
from tourney.verify.call_bounds import least_runs_again
from tourney.verify.difficulty import least_tilt

AT_LEAST = "sets_between_reuse"  # more is better


@cache
def orders(counts: tuple[int, ...], apart: bool) -> list[tuple[int, ...]]:
    """Every order of so many calls a section."""
    calls = [section for section, number in enumerate(counts) for _ in range(number)]
    found = sorted(set(permutations(calls)))
    return [row for row in found if not apart or all(a != b for a, b in pairwise(row))]


def again(rows: Sequence[Sequence[int]]) -> int:
    found = [run for row in rows for run in runs(row)]
    return len(found) - len(set(found))


@settings(max_examples=60)
@given(st.lists(st.tuples(st.integers(0, 4), st.integers(0, 3)), min_size=1, max_size=3), st.booleans())
def test_no_orders_of_two_sections_have_fewer_runs_again(rows: list[tuple[int, int]], apart: bool) -> None:
    """Every order of every set, all together."""
    found = [orders(row, apart) for row in rows]
    if all(found):
        assert fewest_again(rows, apart) <= min(map(again, product(*found)))


@pytest.mark.parametrize(
    ("rows", "apart", "least"),
    [
        ([(4, 3)], True, 1),  # ABABA and BABAB are all the runs there are
        ([(4, 3), (3, 4)], True, 4),
        ([(3, 2), (3, 2)], True, 1),  # one order each
        ([(7, 0)], False, 2),  # AAAAA thrice
        ([(2, 1, 1, 1)] * 3, True, 0),
    ],
)
def test_few_runs_that_some_orders_do_reach(rows: list[tuple[int, ...]], apart: bool, least: int) -> None:
    assert fewest_again(rows, apart) == least == min(map(again, product(*(orders(row, apart) for row in rows))))


@given(st.lists(st.lists(st.integers(0, 9), min_size=4, max_size=4), min_size=1, max_size=40), st.booleans())
def test_the_draw_and_the_re_check_count_runs_alike(rows: list[list[int]], apart: bool) -> None:
    named = [dict(zip("abcd", row, strict=True)) for row in rows]
    assert fewest_again([tuple(row) for row in rows], apart) == least_runs_again(named, 5, not apart)


@pytest.mark.parametrize(("sets", "least"), [(396, 0), (539, 0), (550, 52), (605, 486), (803, 2046)])
def test_sets_of_24_by_size(sets: int, least: int) -> None:
    """11 sets of 264 calls share the 66 books' sections out exactly.

    A linear programme over all 19,208 runs, with the calls of each section as its limits, proves no more:
    52.0, 485.3 and 2045.3 of 550, 605 and 803 sets.
    """
    eleven = [(2, 4, 2, 2, 4, 2, 5, 3)] * 4 + [(2, 5, 2, 1, 4, 2, 5, 3)] + [(2, 4, 1, 2, 5, 2, 5, 3)]
    eleven += [(1, 4, 2, 2, 5, 2, 5, 3), (2, 5, 2, 2, 4, 1, 4, 4), (2, 5, 1, 2, 4, 2, 4, 4)]
    eleven += [(2, 5, 2, 2, 5, 1, 4, 3), (1, 4, 2, 1, 5, 2, 5, 4)]
    assert [sum(column) for column in zip(*eleven, strict=True)] == [20, 48, 20, 20, 48, 20, 52, 36]
    assert fewest_again([eleven[n % 11] for n in range(sets)], apart=True) == least


@settings(max_examples=40)
@given(st.lists(st.integers(1, 60), min_size=6, max_size=9))
def test_the_re_check_knows_the_closest_halves(tenths: list[int]) -> None:
    bits = [number / 10 for number in tenths]
    assert least_tilt(bits) == pytest.approx(min(abs(halves(row)) for row in permutations(bits)))


@settings(max_examples=15)
@given(st.lists(st.integers(1, 30), min_size=6, max_size=6), st.lists(st.integers(1, 30), min_size=6, max_size=6))
def test_thirds_differ_at_least_by_what_sets_differ_a_call(one: list[int], other: list[int]) -> None:
    found = ({thirds(row) for row in permutations(values)} for values in (one, other))
    closest = min(max(abs(a - b) for a, b in zip(mine, yours, strict=True)) for mine, yours in product(*found))
    assert closest >= abs(sum(one) - sum(other)) / 6 - 1e-9


@settings(max_examples=60, suppress_health_check=[HealthCheck.function_scoped_fixture])
@example(sizes=[5, 2, 2], rounds=(1,), calls=7, by_size=False)  # sets with fewest neighbours run out
@given(
    st.lists(st.integers(2, 7), min_size=1, max_size=7),
    st.sampled_from([(1,), (1, 2), (1, 1, 2, 2), (1, 2, 3, 4, 5)]),
    st.integers(1, 14),
    st.booleans(),
)
def test_nothing_measured_is_better_than_its_bound(
    needs: Any, ruled: Any, listed: Any, sizes: list[int], rounds: tuple[int, ...], calls: int, by_size: bool
) -> None:
    division = ruled(calls=calls, sections="by_size" if by_size else "equal")
    try:
        drawn = draw_call_sets(division, needs(rounds), listed(sizes), Draw("words", "salt"))
    except Refusal:
        return
    for line in drawn.fairness:
        if isinstance(line.measured, int | float) and isinstance(line.bound, int | float):
            better = line.measured > line.bound if line.property == AT_LEAST else line.measured < line.bound
            assert not better, line
