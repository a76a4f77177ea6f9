"""The order in which a short set is called: the best of all orders."""

from collections.abc import Sequence
from random import Random

import numpy as np

from tourney.planning.calls.exact import APART
from tourney.planning.calls.parts import Numbers, orders
from tourney.planning.calls.pool import UNIT, Pool
from tourney.planning.calls.section_order import FRESH, Known, likeness_price, runs_price
from tourney.planning.calls.sequence import SHORT

CLOSE, ALIKE, TWICE, UNEVEN = 40_000, 20_000, 5000, 2000  # prices, as in `ordering`; of a bit, the last
CLUES, FIRM = 1000, 10  # times that a clue weighs more here, and unevenness where items were chosen for even parts
LOOKED = 400  # orders, those without clues and with even parts first, of which runs and likeness are looked at


def short_order(
    pool: Pool, items: Sequence[int], known: Known, random: Random, thirds: Sequence[int] | None
) -> list[int]:
    """These items in calling order. thirds: how hard each is to be, in millionths of a bit, if chosen for that.

    Of the orders with the fewest clues and the most even parts one whose sections earlier sets do not show.
    """
    ways = orders(len(items))
    price = CLUES * _clues(pool, items, ways.place)
    if len(items) >= SHORT:
        parts = np.array([[pool.parts[item] for item in items]], np.int64)
        uneven = ways.unevenness(parts, thirds or [int(parts.sum()) // len(items)] * 3)[0]
        price += (FIRM if thirds else 1) * UNEVEN * uneven // UNIT
    cheap, fair = np.argsort(price, kind="stable"), int((price == price.min()).sum())
    drawn = [*random.sample(range(fair), min(LOOKED, fair)), *range(fair, len(cheap))]
    best, row = np.inf, list(items)
    for way in cheap[drawn[:LOOKED]].tolist():
        if price[way] >= best:
            break
        order = [item for _, item in sorted(zip(ways.place[way].tolist(), items, strict=True))]
        sections = [pool.section[item] for item in order]
        whole = int(price[way]) + FRESH * runs_price(sections, known) + likeness_price(pool, sections, known)
        if whole < best:
            best, row = whole, order
    return row


def _clues(pool: Pool, items: Sequence[int], place: Numbers) -> Numbers:
    """Price of calls that tell about each other in each order: neighbours, names that sound alike, a section twice."""
    price = np.zeros(len(place), np.int64)
    for one, first in enumerate(items):
        for other, second in enumerate(items[:one]):
            apart = np.abs(place[:, one] - place[:, other])
            if clash := CLOSE * (second in pool.near[first]) + ALIKE * (second in pool.alike[first]):
                price += clash * (apart < APART)
            if pool.section[first] == pool.section[second]:
                price += TWICE * (apart == 1)
    return price
