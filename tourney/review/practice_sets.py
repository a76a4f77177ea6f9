"""Sets of calls for practice, from streams that have nothing to do with the day's sealed calls."""

from collections.abc import Callable, Collection, Iterable, Mapping, Sequence
from itertools import pairwise
from random import Random
from typing import TypeVar

from tourney.canon.syllabus import Item, Syllabus
from tourney.errors import Refusal

APART = 4  # places between two calls that are neighbours in the syllabus, as on the day
ORDERS = 200  # orders tried
REDRAWS = 20
Rows = tuple[str, ...]
T = TypeVar("T")


def weighted(syllabus: Syllabus, weight: Mapping[str, float], calls: int, random: Random) -> Rows:
    """So many items, the heavier the likelier, in calling order; all there are when there are fewer.

    Drawn without putting back by Efraimidis and Spirakis, Information Processing Letters 97 (2006) 181-185 (from
    memory). Neighbours share a set only when there are not enough others: one's answer names the other.
    """
    drawn = by_weight(weight, random)
    chosen: list[str] = []
    for alone in (True, False):
        for item in drawn:
            near = any(abs(syllabus.rank[item] - syllabus.rank[other]) == 1 for other in chosen)
            if len(chosen) < calls and item not in chosen and not (alone and near):
                chosen.append(item)
    return in_order(syllabus, chosen, random)


def by_weight(weight: Mapping[str, float], random: Random) -> Rows:
    """All items in a random order in which the heavier tend to come first. Weights are above 0."""
    keys = {item: random.random() ** (1 / heavy) for item, heavy in weight.items()}
    return tuple(sorted(keys, key=lambda item: -keys[item]))


def third(items: Sequence[Item], hard: bool) -> dict[str, float]:
    """The easiest or the hardest third of these items by difficulty, all of one weight."""
    ranked = sorted(items, key=lambda item: (item.difficulty, item.id), reverse=hard)
    return {item.id: 1.0 for item in ranked[: -(-len(ranked) // 3)]}


def in_order(syllabus: Syllabus, chosen: Sequence[str], random: Random) -> Rows:
    """The best of many random orders: neighbours far apart, then no section twice running."""
    best, price = tuple(chosen), float("inf")
    for _ in range(ORDERS):
        row = random.sample(list(chosen), len(chosen))
        cost = _cost(syllabus, row)
        if cost < price:
            best, price = tuple(row), cost
        if not price:
            break
    return best


def _cost(syllabus: Syllabus, row: Sequence[str]) -> int:
    places = [syllabus.rank[item] for item in row]
    close = sum(abs(place - other) == 1 for at, place in enumerate(places) for other in places[at + 1 : at + APART])
    twice = sum(one == other for one, other in pairwise(syllabus.item(item).section for item in row))
    return len(row) * close + twice


def unlike(sealed: Collection[frozenset[str]], draw: Callable[[int], T], rows: Callable[[T], Iterable[Rows]]) -> T:
    """The first draw of which no set has the very items of a sealed one. draw: number of the try, from 0 -> a draw.

    rows: the sets of a draw. Refusal when every try has such a set: a list so short leaves no other.
    """
    for attempt in range(REDRAWS):
        drawn = draw(attempt)
        if all(frozenset(row) not in sealed for row in rows(drawn)):
            return drawn
    raise Refusal(
        "Every practice set came out with the very calls of a set that is sealed for the day.",
        cures=("Ask for fewer calls, or wait until the results are final.",),
        proven=False,
    )
