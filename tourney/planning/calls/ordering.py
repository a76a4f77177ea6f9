"""The order in which a set is called: no clue from the calls just before, and no part of it harder than another."""

from collections.abc import Sequence
from itertools import pairwise
from random import Random

from tourney.planning.calls.exact import APART
from tourney.planning.calls.parts import FEW
from tourney.planning.calls.pool import UNIT, Pool
from tourney.planning.calls.section_order import Known, likeness_price, runs_price, section_order
from tourney.planning.calls.sequence import close_by, edges, least_twice_running
from tourney.planning.calls.short_order import ALIKE, CLOSE, TWICE, UNEVEN, short_order

HALVES, THIRDS = 0.28, 0.13  # bits that two halves, or a third and its set, may differ; the limits are 0.3
STARTS = 6  # further searches where the first leaves something amiss
SWAPS, PATIENCE = 400, 40  # changes tried in one search, for each call; in vain
AT_TROUBLE = 0.8  # part of the changes that begin where something is amiss
LIKE_FOR_LIKE = 0.5  # part of the changes within a section


def order_calls(
    pool: Pool, chosen: Sequence[int], known: Known, random: Random, thirds: Sequence[int] | None = None
) -> tuple[int, ...]:
    """The items of a set in calling order; known: the sets ordered before, gains this one.

    thirds: how hard the first, the middle and the last third of a short set are to be (see `parting`); left out, and in
    longer sets, they are as alike as can be. Neighbours are never within three calls of each other, if at most
    `exact.crowd_limit` of the items have one.
    """
    items = sorted(chosen)
    if len(items) <= FEW:
        row = short_order(pool, items, known, random, thirds)
    else:
        row = _long_order(pool, items, known, random)
    known.add(pool, row)
    return tuple(row)


def _long_order(pool: Pool, items: list[int], known: Known, random: Random) -> list[int]:
    best = _searched(_Order(pool, known, _start(pool, items, known, random)), random)
    for _ in range(STARTS):
        if best.unfair and not (known.crowded and best.again):
            other = _searched(_Order(pool, known, _start(pool, items, known, random)), random)
            best = min(best, other, key=lambda order: order.price)
    if best.unfair:
        best.keeps_runs = False
        best = _searched(best, random)
    if close_by(best.row, pool.near):
        crowded = [item for item in items if any(other in items for other in pool.near[item])]
        best = _searched(_Order(pool, known, _far_apart(items, crowded)), random)
    return best.row


class _Order:
    """Calls in an order, and what is amiss with it, kept up to date swap by swap.

    amiss: prices of what begins at each place: clashes with the next calls, a section twice.
    grave: price of these, and of parts that are harder than others. again, alike: prices of the order of the sections.
    keeps_runs: whether no further run may come again for the sake of all else.
    """

    def __init__(self, pool: Pool, known: Known, row: list[int]) -> None:
        self.pool, self.known, self.row = pool, known, row
        self.sections = [pool.section[item] for item in row]
        self.clashes = {
            item: dict.fromkeys(pool.alike[item], ALIKE) | dict.fromkeys(pool.near[item], CLOSE) for item in row
        }
        self.forced = TWICE * least_twice_running(self.sections)
        self.parts, self.thirds = pool.parts, list(pairwise(edges(len(row))))
        self.amiss = [self._from(place) for place in range(len(row))]
        self.grave = sum(self.amiss) - self.forced + self._unevenness()
        self.again, self.alike = runs_price(self.sections, known), likeness_price(pool, self.sections, known)
        self.keeps_runs = True

    @property
    def unfair(self) -> float:
        """Price of what has to be mended; runs that come again only until some set has found no others."""
        return self.grave + self.alike + (0 if self.known.crowded else self.again)

    @property
    def price(self) -> float:
        """Of all that is amiss."""
        return self.grave + self.alike + self.again

    def swap(self, first: int, second: int) -> bool:
        """Exchange two calls unless that makes things worse. Whether it made them better."""
        within, amiss = self.sections[first] == self.sections[second], self.amiss
        self._exchange(first, second)
        # The places next to the calls come first: most changes are no use because a section comes twice running.
        places = [place - back for back in range(APART) for place in (first, second)]
        old = {at: amiss[at] for at in places if at >= 0}
        grave: float = sum(amiss) - sum(old.values()) - self.forced
        for at in old:
            amiss[at] = self._from(at)
            grave += amiss[at]
            if grave > self.grave:
                break
        else:
            grave += self._unevenness()
            if grave <= self.grave and (better := self._take(grave, within)) is not None:
                return better
        self._exchange(first, second)
        for at, price_before in old.items():
            amiss[at] = price_before
        return False

    def _take(self, grave: float, within: bool) -> bool | None:
        """Keep a change that leaves the order of the sections no worse: whether it is better, None if it is worse.

        within: it left that order as it was.
        """
        again = self.again if within else runs_price(self.sections, self.known)
        before = self.price
        if grave + again > before or (self.keeps_runs and again > self.again):
            return None
        alike = self.alike if within else likeness_price(self.pool, self.sections, self.known)
        price = grave + again + alike
        if price > before or (self.keeps_runs and again + alike > self.again + self.alike):
            return None
        self.grave, self.again, self.alike = grave, again, alike
        return price < before

    def _exchange(self, first: int, second: int) -> None:
        for row in (self.row, self.sections):
            row[first], row[second] = row[second], row[first]

    def _from(self, place: int) -> int:
        clashes, sections = self.clashes[self.row[place]], self.sections
        price = 0
        for other in self.row[place + 1 : place + APART]:
            price += clashes.get(other, 0)
        if place + 1 < len(sections) and sections[place] == sections[place + 1]:
            price += TWICE
        return price

    def _unevenness(self) -> float:
        """Halves and thirds that are not as hard as each other."""
        bits, calls = [self.parts[item] for item in self.row], len(self.row)
        half = calls // 2
        whole, first = sum(bits), sum(bits[:half])
        tilt = abs(first / half - (whole - first) / (calls - half)) / UNIT
        price = 2 * max(0.0, tilt - HALVES)
        for start, end in self.thirds:
            off = abs(sum(bits[start:end]) / (end - start) - whole / calls) / UNIT
            price += max(0.0, off - THIRDS)
        return UNEVEN * price


def _start(pool: Pool, items: Sequence[int], known: Known, random: Random) -> list[int]:
    """These items, those of a section in random order, where a drawn order of the sections calls them."""
    left: dict[int, list[int]] = {}
    for item in items:
        left.setdefault(pool.section[item], []).append(item)
    for row in left.values():
        random.shuffle(row)
    return [
        left[section].pop() for section in section_order(pool, [pool.section[item] for item in items], known, random)
    ]


def _searched(order: _Order, random: Random) -> _Order:
    """Swap two calls at a time as long as it does no harm, mostly one where something is amiss."""
    calls, idle = len(order.row), 0
    for _ in range(SWAPS * calls):
        if not order.unfair or idle > PATIENCE * calls:
            break
        troubled = [place for place, price in enumerate(order.amiss) if price]
        if troubled and random.random() < AT_TROUBLE:
            first = min(calls - 1, random.choice(troubled) + random.randrange(APART))
        else:
            first = random.randrange(calls)
        second = random.randrange(calls - 1)
        second += second >= first
        if order.grave and random.random() < LIKE_FOR_LIKE:  # which leaves the order of the sections as it is
            second = random.choice([place for place in range(calls) if order.sections[place] == order.sections[first]])
        idle = 0 if order.swap(first, second) else idle + 1
    return order


def _far_apart(items: list[int], crowded: list[int]) -> list[int]:
    """Neighbours four places apart: of a chain, odd ones go to the second half and even ones to the first."""
    half = max(APART, len(items) // 2)
    places = [half + n // 2 if n % 2 == 0 else n // 2 for n in range(len(crowded))]
    row = dict(zip(places, crowded, strict=True))
    free = iter([item for item in items if item not in crowded])
    return [row[at] if at in row else next(free) for at in range(len(items))]
