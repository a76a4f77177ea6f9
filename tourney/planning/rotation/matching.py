"""Rounds of pairs drawn one after the other, each the cheapest perfect matching (Edmonds 1965, by networkx)."""

from collections.abc import Sequence
from itertools import combinations
from random import Random

import networkx as nx
from numpy import int64
from numpy.typing import NDArray


def matched_rounds(members: int, rounds: int, before: NDArray[int64], random: Random) -> list[list[list[int]]]:
    """Rounds of pairs of members 0..members-1; with an odd number one is alone in each round, all in turn.

    before: (members, members) counts with which pairs start, so that clubs and past meetings are passed over.
    """
    price = before.copy()
    turns = list(range(members))
    random.shuffle(turns)
    drawn = []
    for number in range(rounds):
        alone = [[turns[number % members]]] if members % 2 else []
        playing = [member for member in turns if [member] not in alone]
        pairs = sorted(_cheapest(playing, price))
        for one, other in pairs:
            price[one, other] += 1
            price[other, one] += 1
        drawn.append([*alone, *(list(pair) for pair in pairs)])
    return drawn


def _cheapest(members: Sequence[int], price: NDArray[int64]) -> list[tuple[int, int]]:
    graph: nx.Graph[int] = nx.Graph()
    for one, other in combinations(members, 2):
        graph.add_edge(one, other, weight=int(price[one, other]) ** 2)
    return [(min(pair), max(pair)) for pair in nx.min_weight_matching(graph)]
