"""The cheapest items for one set: compared with every possibility."""

from itertools import combinations
from random import Random
from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st

from tourney.canon.syllabus import Syllabus
from tourney.planning.calls.pool import Pool, pool_of
from tourney.planning.calls.selection import fewest_neighbours, fewest_of, select


def every_set(pool: Pool, counts: tuple[int, ...]) -> list[tuple[int, ...]]:
    return [c for c in combinations(range(len(pool.items)), sum(counts)) if pool.counts(c) == counts]


@settings(max_examples=80)
@given(st.lists(st.integers(1, 4), min_size=1, max_size=3), st.integers(0, 10**6), st.booleans())
def test_nothing_is_cheaper(listed: Any, ruled: Any, sizes: list[int], seed: int, mixed: bool) -> None:
    random, syllabus = Random(seed), listed(sizes)
    if mixed:  # sections interleaved
        syllabus = Syllabus(tuple(random.sample(syllabus.items, len(syllabus.items))))
    pool = pool_of(syllabus, ruled())
    counts = tuple(random.randint(0, size) for size in pool.size)
    prices = [random.randint(0, 99) / 100 for _ in pool.items]

    def cost(chosen: tuple[int, ...]) -> float:
        return sum(prices[item] for item in chosen) + 0.7 * pool.neighbours(chosen)

    chosen = select(pool, counts, prices, 0.7)
    assert pool.counts(chosen) == counts
    assert abs(cost(chosen) - min(map(cost, every_set(pool, counts)))) < 1e-9
    assert fewest_neighbours(pool, counts) == min(map(pool.neighbours, every_set(pool, counts)))


def test_fewest_unwanted_among_those_with_fewest_neighbours(listed: Any, ruled: Any) -> None:
    """Of three items in a row only the two ends are no neighbours, wanted or not."""
    pool = pool_of(listed([3]), ruled())
    assert fewest_of(pool, (2,), {0, 2}, neighbours=0) == 2
    assert fewest_of(pool, (2,), {0, 2}, neighbours=1) == 1
    assert fewest_of(pool, (1,), {0, 2}, neighbours=0) == 0


@given(st.sets(st.integers(0, 11)))
def test_room_is_the_most_items_without_neighbours(listed: Any, ruled: Any, items: set[int]) -> None:
    pool = pool_of(listed([6, 6]), ruled())
    free = [c for n in range(len(items) + 1) for c in combinations(sorted(items), n) if pool.neighbours(c) == 0]
    assert pool.room(items) == max(map(len, free))
