"""The order in which a set is called: no clue from the calls just before, and no part of it harder than another."""

from collections.abc import Collection, Sequence
from itertools import pairwise
from random import Random

from tourney.planning.calls.exact import APART, crowd_limit
from tourney.planning.calls.pool import Pool

CLOSE, TWICE, ALIKE, SAME_RUN, UNEVEN = 1000.0, 100.0, 50.0, 20.0, 10.0  # prices, the dearest first
RUN = 5  # sections in a row that no two sets of a division share
HALVES, THIRDS = 0.28, 0.13  # bits that two halves, or a third and its set, may differ; the limits are 0.3
SHORT = 6  # sets of fewer calls have no halves or thirds worth the name
STARTS = 2  # further searches where the first leaves something amiss
SWAPS, PATIENCE = 400, 60  # changes tried in one search, for each call; the same without anything better

Run = tuple[int, ...]


def order_calls(pool: Pool, chosen: Sequence[int], known_runs: set[Run], random: Random) -> tuple[int, ...]:
    """The items of a set in calling order; known_runs: section runs of earlier sets, gains those of this one.

    Neighbours are never within three calls of each other, if at most `exact.crowd_limit` of the items have one.
    """
    task, items = _Ordering(pool, known_runs), sorted(chosen)
    row = task.search(task.drawn(items, random), random)
    for _ in range(STARTS):
        if task.cost(row):
            row = min(row, task.search(task.drawn(items, random), random), key=task.cost)
    crowded = [item for item in items if any(other in items for other in pool.near[item])]
    if close_by(row, pool.near) and len(crowded) <= crowd_limit(len(items)):
        row = task.search(_far_apart(items, crowded), random)
    known_runs.update(runs(pool, row))
    return tuple(row)


def runs(pool: Pool, row: Sequence[int]) -> list[Run]:
    """Every five sections that follow each other."""
    sections = [pool.section[item] for item in row]
    return [tuple(sections[n : n + RUN]) for n in range(len(row) - RUN + 1)]


def close_by(row: Sequence[int], clashing: Sequence[Collection[int]]) -> int:
    """Pairs of clashing items less than four places apart."""
    return sum(other in clashing[item] for at, item in enumerate(row) for other in row[at + 1 : at + APART])


def twice_running(sections: Sequence[object]) -> int:
    """Calls that follow one of their own section."""
    return sum(before == after for before, after in pairwise(sections))


def least_twice_running(sections: Sequence[object]) -> int:
    """The fewest that these counts allow: the calls of the fullest section less the places between the others."""
    return max((0, *(2 * sections.count(section) - len(sections) - 1 for section in sections)))


def thirds(values: Sequence[float]) -> tuple[float, ...]:
    """Means of the first, the middle and the last third."""
    edges = [round(len(values) * n / 3) for n in range(4)]
    return tuple(mean(values[start:end]) for start, end in pairwise(edges))


def halves(values: Sequence[float]) -> float:
    """Mean of the first half less that of the second."""
    middle = len(values) // 2
    return mean(values[:middle]) - mean(values[middle:])


def mean(values: Sequence[float]) -> float:
    """Mean, 0 of nothing."""
    return sum(values) / len(values) if values else 0.0


class _Ordering:
    """What an order costs. Calls of one set, one search after another."""

    def __init__(self, pool: Pool, known_runs: set[Run]) -> None:
        self.pool, self.known_runs = pool, known_runs

    def drawn(self, items: list[int], random: Random) -> list[int]:
        """A random order with no section twice running, as far as the counts allow."""
        left = {
            section: [item for item in items if self.pool.section[item] == section] for section in self.pool.section
        }
        for row in left.values():
            random.shuffle(row)
        order: list[int] = []
        before = -1
        for still in range(len(items), 0, -1):
            open_ = [section for section, row in left.items() for _ in row if section != before] or [before]
            fullest = max(left, key=lambda section: len(left[section]))
            must = 2 * len(left[fullest]) > still and fullest != before
            before = fullest if must else random.choice(open_)
            order.append(left[before].pop())
        return order

    def cost(self, row: Sequence[int]) -> float:
        """The price of an order; 0 when nothing is amiss."""
        pool, price = self.pool, CLOSE * close_by(row, self.pool.near)
        price += ALIKE * close_by(row, pool.alike)
        sections = [pool.section[item] for item in row]
        price += TWICE * (twice_running(sections) - least_twice_running(sections))
        price += SAME_RUN * sum(run in self.known_runs for run in runs(pool, row))
        if len(row) >= SHORT:
            bits = [pool.bits[item] for item in row]
            middle = mean(bits)
            price += 2 * UNEVEN * max(0.0, abs(halves(bits)) - HALVES)
            price += UNEVEN * sum(max(0.0, abs(third - middle) - THIRDS) for third in thirds(bits))
        return price

    def search(self, row: list[int], random: Random) -> list[int]:
        """Swap two calls at a time as long as it does no harm."""
        price, idle = self.cost(row), 0
        for _ in range(SWAPS * len(row)):
            if not price or idle > PATIENCE * len(row) or len(row) < 2:
                break
            first, second = random.sample(range(len(row)), 2)
            row[first], row[second] = row[second], row[first]
            now = self.cost(row)
            idle = 0 if now < price else idle + 1
            if now <= price:
                price = now
            else:
                row[first], row[second] = row[second], row[first]
        return row


def _far_apart(items: list[int], crowded: list[int]) -> list[int]:
    """Neighbours four places apart: of a chain, odd ones go to the second half and even ones to the first."""
    half = max(APART, len(items) // 2)
    places = [half + n // 2 if n % 2 == 0 else n // 2 for n in range(len(crowded))]
    row = dict(zip(places, crowded, strict=True))
    free = iter([item for item in items if item not in crowded])
    return [row[at] if at in row else next(free) for at in range(len(items))]
