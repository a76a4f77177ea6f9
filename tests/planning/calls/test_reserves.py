"""Spare calls: like replaces like."""

from collections.abc import Callable, Sequence
from dataclasses import replace
from random import Random
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tourney.canon.syllabus import Syllabus, built_in
from tourney.draw import Draw
from tourney.model.calls import BAND
from tourney.planning.calls.draw import draw_call_sets
from tourney.planning.calls.pool import Pool, pool_of
from tourney.planning.calls.reserves import RESERVES, draw_reserves

BOOKS = built_in()


def fits(pool: Pool, spare: int, called: int) -> bool:
    one, other = pool.items[spare], pool.items[called]
    return (one.section, one.kind) == (other.section, other.kind) and abs(one.difficulty - other.difficulty) <= BAND


def test_every_reserve_call_of_a_day_can_replace_one_of_its_set(measured: Callable[..., Any]) -> None:
    day = measured(BOOKS, (1, 1, 2, 2, 3, 3, 4, 4), calls=16)
    for found in day.sets:
        assert len(found.reserves) == RESERVES
        assert all(found.replaceable(call) for call in found.reserves)


@settings(max_examples=40, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.lists(st.integers(1, 6), min_size=1, max_size=4), st.data())
def test_any_set_has_the_fittest_spares_that_there_are(
    listed: Callable[[Sequence[int]], Syllabus], ruled: Callable[..., Any], sizes: list[int], data: st.DataObject
) -> None:
    kinds = data.draw(st.lists(st.sampled_from(["book", "story"]), min_size=sum(sizes), max_size=sum(sizes)))
    items = tuple(replace(item, kind=kind) for item, kind in zip(listed(sizes).items, kinds, strict=True))
    pool = pool_of(Syllabus(items), ruled())
    chosen = data.draw(st.lists(st.sampled_from(range(len(items))), min_size=1, unique=True))
    spare = draw_reserves(pool, chosen, (), Random(1))
    there = {pool.section[item] for item in chosen}
    free = [n for n in range(len(items)) if pool.section[n] in there and n not in chosen]
    assert len(spare) == len(set(spare)) == min(RESERVES, len(free)) and set(spare) <= set(free)
    able = [n for n in free if any(fits(pool, n, called) for called in chosen)]
    assert sum(n in able for n in spare) == min(RESERVES, len(able))


def test_neighbours_and_what_was_just_heard_are_left_for_last(ruled: Callable[..., Any]) -> None:
    pool = pool_of(BOOKS, ruled())
    place = {item.id: n for n, item in enumerate(pool.items)}
    chosen = [place[key] for key in ("JOS", "1KI", "AMO", "HAB", "PHP", "TIT")]
    spare = draw_reserves(pool, chosen, {place["EZR"]}, Random(2))
    keys = {pool.items[n].id for n in spare}
    assert keys.isdisjoint({"JDG", "2SA", "2KI", "JOL", "OBA", "NAM", "ZEP", "EPH", "COL", "2TI", "PHM", "EZR"})
    assert len({pool.section[n] for n in spare}) == RESERVES


@pytest.mark.parametrize("secret", ["salt", "pepper"])
def test_reserves_repeat_with_the_secret(needs: Callable[..., Any], ruled: Callable[..., Any], secret: str) -> None:
    first, again = (draw_call_sets(ruled(), needs((1, 2)), BOOKS, Draw("words", secret)).sets for _ in range(2))
    assert [found.reserves for found in first] == [found.reserves for found in again]
