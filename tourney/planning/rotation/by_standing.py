"""One round by standing: teams that are level meet, whom they have not met, and nobody of their own club."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations
from random import Random

import networkx as nx
import numpy as np

from tourney.planning.rotation.search import Whole, Wishes, improve

SIDE = 1  # price of two teams that have both stood more often on the same side; that of one place between them is 1
EFFORT = 30_000_000  # pair prices that the search for larger heats may look at


@dataclass(frozen=True, slots=True)
class Entrant:
    """A team as it stands. place: 1 for the best, shared by all that are level.

    byes: rounds that it sat out; for heats of more than two, how often it was in a smaller heat. tilt: heats at the
    left end of the line less heats at the right end.
    """

    team: str
    club: str
    place: int
    byes: int
    tilt: int


def draw_by_standing(
    entrants: Iterable[Entrant], met: Mapping[frozenset[str], int], size: int, random: Random, loose: int = 0
) -> tuple[list[tuple[str, ...]], tuple[str, ...]]:
    """(heats, teams with a bye) of one round. met: pair of teams -> times they met. size: of the largest heat.

    Wanted in this order: own club apart, fewest pairs that meet again, places close together (squared distance), sides
    of the line. Pairs: the lowest of those with fewest byes has one when the number is odd; then a maximum-weight
    matching (Edmonds 1965, by networkx), which nothing can better. Larger heats: dealt by place, then bettered by
    swaps. loose: a chance amount, up to this many places, by which distances are changed, for a draw that differs.
    """
    order = sorted(entrants, key=lambda entrant: entrant.team)
    random.shuffle(order)
    order.sort(key=lambda entrant: entrant.place)
    heats = -(-len(order) // size)
    if heats <= 1 or size == 1:
        together = [tuple(entrant.team for entrant in order)] if order else []
        return [(entrant.team,) for entrant in order] if size == 1 else together, ()
    even = -(-len(order) // heats)
    away: tuple[str, ...] = ()
    if even == 2 and len(order) % 2:
        fewest = min(entrant.byes for entrant in order)
        resting = [entrant for entrant in order if entrant.byes == fewest][-1]
        away = (resting.team,)
        order.remove(resting)
    prices = _prices(order, met, random, loose)
    groups = _matched(prices) if even == 2 else _dealt(order, prices, heats, even, random)
    return [tuple(order[number].team for number in group) for group in groups], away


def _prices(order: Sequence[Entrant], met: Mapping[frozenset[str], int], random: Random, loose: int) -> Whole:
    """(entrants, entrants) what it costs when two meet; one more wish of a rank outweighs all below it together."""
    count = len(order)
    place, tilt = (np.array(row) for row in zip(*((one.place, np.sign(one.tilt)) for one in order), strict=True))
    club = np.array([one.club for one in order])
    again = np.array([[met.get(frozenset((one.team, other.team)), 0) for other in order] for one in order])
    chance = np.array([[random.randint(0, loose) ** 2 for _ in order] for _ in order])
    prices = np.subtract.outer(place, place) ** 2 + SIDE * (np.multiply.outer(tilt, tilt) > 0) + chance
    step = int(prices.max()) * count + 1
    dear = step * (int(again.max()) * count + 1)
    upper = np.triu(prices + again * step + (club[:, None] == club) * dear, 1)
    whole: Whole = (upper + upper.T).astype(np.int64)
    return whole


def _matched(prices: Whole) -> list[list[int]]:
    """The cheapest perfect matching."""
    most = int(prices.max(initial=0)) + 1
    graph: nx.Graph[int] = nx.Graph()
    for one, other in combinations(range(len(prices)), 2):
        graph.add_edge(one, other, weight=most - int(prices[one, other]))
    return sorted(sorted(pair) for pair in nx.max_weight_matching(graph, maxcardinality=True))


def _dealt(order: Sequence[Entrant], prices: Whole, heats: int, size: int, random: Random) -> list[list[int]]:
    """Heats of teams next to each other in the standing, the last ones smaller, then swaps as long as they help.

    Empty seats are members too: never two in one heat, and dearer to those who were in a smaller heat before.
    """
    count, empty = len(order), heats * size - len(order)
    before = np.zeros((count + empty, count + empty), dtype=np.int64)
    before[:count, :count] = prices
    dear = int(prices.max(initial=0)) * size + 1
    again = np.array([entrant.byes for entrant in order], dtype=np.int64)[:, None]
    before[:count, count:] = again
    before[count:, :count] = again.T
    before[count:, count:] = dear * count
    np.fill_diagonal(before, 0)
    full = heats - empty
    deal = [number // size for number in range(full * size)]
    deal += [full + number // (size - 1) for number in range(count - full * size)]
    deal += list(range(full, heats))
    steps = max(1, min(2000, EFFORT // len(before) ** 2))
    found = improve(np.array([deal]), heats, Wishes(before), 0, steps, random)[0]
    return [[int(n) for n in np.flatnonzero(found[:count] == heat)] for heat in range(heats)]
