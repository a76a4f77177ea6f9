"""The order in which a set is called: no clue from the calls just before, and no part of it harder than another."""

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from itertools import pairwise
from math import inf
from random import Random

import numpy as np
from numpy.typing import NDArray

from tourney.planning.calls.exact import APART, crowd_limit
from tourney.planning.calls.pool import UNIT, Pool
from tourney.planning.calls.sequence import (
    A_DAY,
    RUN,
    SHORT,
    Run,
    Standing,
    close_by,
    edges,
    least_twice_running,
    likeness,
    runs,
    standing,
)

CLOSE, TWICE, ALIKE, UNEVEN, SAME_RUN, SAME_ORDER = 4000, 500, 200, 100, 20, 5  # prices; of a bit, the fourth
HALVES, THIRDS = 0.28, 0.13  # bits that two halves, or a third and its set, may differ; the limits are 0.3
PARTS, LIKE = 1000, 0.48  # rank correlation of sections between two sets; the limit is 0.5
DRAWN, FEW = 30, 3  # orders drawn to start from, at most; and where runs of sections have to be shared
LOOKS = 20  # sections looked at, for each call, before a drawn order may have a known run
STARTS = 2  # further searches where the first leaves something amiss
SWAPS, PATIENCE, LIGHT = 400, 40, 40  # changes tried in one search, for each call; in vain; in vain for likeness alone
AT_TROUBLE = 0.8  # part of the changes that begin where something is amiss
LIKE_FOR_LIKE = 0.5  # part of the changes within a section

Standings = NDArray[np.int64]  # a row for each set


@dataclass
class Known:
    """What other sets show. runs: of sections. standings: of the sections, in sets that one contestant may hear too.

    crowded: some set had to share a run with another; later ones are not searched for long to avoid it.
    """

    runs: set[Run] = field(default_factory=set)
    standings: list[Standing] = field(default_factory=list)
    crowded: bool = False

    def add(self, pool: Pool, row: Sequence[int]) -> None:
        """One more set, in calling order; those heard more than a day before it are left behind."""
        sections = [pool.section[item] for item in row]
        self.crowded |= not self.runs.isdisjoint(runs(sections))
        self.runs.update(runs(sections))
        if len(row) >= SHORT:
            self.standings = [*self.standings, standing(pool, sections)][-A_DAY:]

    def others(self, calls: int) -> Standings | None:
        """Standings that those of a set with so many calls are compared with, row by row."""
        return np.array(self.standings) if self.standings and calls >= SHORT else None


def order_calls(pool: Pool, chosen: Sequence[int], known: Known, random: Random) -> tuple[int, ...]:
    """The items of a set in calling order; known: the sets ordered before, gains this one.

    Neighbours are never within three calls of each other, if at most `exact.crowd_limit` of the items have one.
    """
    items = sorted(chosen)
    best = _searched(_Order(pool, known, _start(pool, items, known, random)), random)
    for _ in range(0 if known.crowded else STARTS):
        if best.price:
            other = _searched(_Order(pool, known, _start(pool, items, known, random)), random)
            best = min(best, other, key=lambda order: order.price)
    crowded = [item for item in items if any(other in items for other in pool.near[item])]
    if close_by(best.row, pool.near) and len(crowded) <= crowd_limit(len(items)):
        best = _searched(_Order(pool, known, _far_apart(items, crowded)), random)
    known.add(pool, best.row)
    return tuple(best.row)


class _Order:
    """Calls in an order, and what is amiss with it, kept up to date swap by swap.

    amiss: prices of what begins at each place: clashes with the next calls, a section twice, a run that is known.
    grave: price of all that is amiss but the order of the sections as a whole. price: of all.
    """

    def __init__(self, pool: Pool, known: Known, row: list[int]) -> None:
        self.pool, self.known, self.row = pool, known, row
        self.sections = [pool.section[item] for item in row]
        self.clashes = {
            item: dict.fromkeys(pool.alike[item], ALIKE) | dict.fromkeys(pool.near[item], CLOSE) for item in row
        }
        self.forced = TWICE * least_twice_running(self.sections)
        self.others = known.others(len(row))
        self.parts, self.thirds = pool.parts, list(pairwise(edges(len(row))))
        self.amiss = [self._from(place) for place in range(len(row))]
        self.grave = sum(self.amiss) - self.forced + self._unevenness()
        self.price = self.grave + _likeness(self.pool, self.sections, self.others)

    def swap(self, first: int, second: int) -> bool:
        """Exchange two calls unless that makes things worse. Whether it made them better."""
        self._exchange(first, second)
        amiss = self.amiss
        # The places next to the calls come first: most changes are no use because a section comes twice running.
        places = [place - back for back in range(RUN) for place in (first, second)]
        old = {at: amiss[at] for at in places if at >= 0}
        grave: float = sum(amiss) - sum(old.values()) - self.forced
        for at in old:
            amiss[at] = self._from(at)
            grave += amiss[at]
            if grave > self.price:
                break
        else:
            grave += self._unevenness()
            if (
                grave <= self.price
                and (price := grave + _likeness(self.pool, self.sections, self.others)) <= self.price
            ):
                better, self.grave, self.price = price < self.price, grave, price
                return better
        self._exchange(first, second)
        for at, price_before in old.items():
            amiss[at] = price_before
        return False

    def _exchange(self, first: int, second: int) -> None:
        for row in (self.row, self.sections):
            row[first], row[second] = row[second], row[first]

    def _from(self, place: int) -> int:
        clashes, sections = self.clashes[self.row[place]], self.sections
        price = 0
        for other in self.row[place + 1 : place + APART]:
            price += clashes.get(other, 0)
        run = tuple(sections[place : place + RUN])
        if len(run) > 1 and run[0] == run[1]:
            price += TWICE
        return price + SAME_RUN * (run in self.known.runs)

    def _unevenness(self) -> float:
        """Halves and thirds that are not as hard as each other."""
        calls = len(self.row)
        if calls < SHORT:
            return 0.0
        bits, half = [self.parts[item] for item in self.row], calls // 2
        whole, first = sum(bits), sum(bits[:half])
        tilt = abs(first / half - (whole - first) / (calls - half)) / UNIT
        price = 2 * max(0.0, tilt - HALVES)
        for start, end in self.thirds:
            off = abs(sum(bits[start:end]) / (end - start) - whole / calls) / UNIT
            price += max(0.0, off - THIRDS)
        return UNEVEN * price


def _start(pool: Pool, items: Sequence[int], known: Known, random: Random) -> list[int]:
    """A drawn order without a known run, its sections not in the order of another set; the closest to that of a few."""
    best, others = (inf, list[int]()), known.others(len(items))
    for _ in range(FEW if known.crowded else DRAWN):
        sections = _drawn([pool.section[item] for item in items], known, random)
        stale = sum(run in known.runs for run in runs(sections))
        best = min(best, (SAME_RUN * stale + _likeness(pool, sections, others), sections), key=lambda found: found[0])
        if not best[0]:
            break
    left: dict[int, list[int]] = {}
    for item in items:
        left.setdefault(pool.section[item], []).append(item)
    for row in left.values():
        random.shuffle(row)
    return [left[section].pop() for section in best[1]]


def _likeness(pool: Pool, sections: Sequence[int], others: Standings | None) -> float:
    """Price of sections that come in much the same order as in other sets."""
    if others is None:
        return 0.0
    found = likeness(standing(pool, sections), others)
    over = np.maximum(np.floor(PARTS * found).astype(np.int64) - round(PARTS * LIKE), 0)
    return SAME_ORDER * int(over.sum()) / PARTS


def _drawn(sections: Sequence[int], known: Known, random: Random) -> list[int]:
    """Sections in a random order, none twice running if their counts allow, and no known run if one is soon found.

    Section after section is drawn; where every one left would end a known run, the last ones are taken back.
    """
    left, order, steps = Counter(sections), list[int](), 0
    choices = [_next(left, order, known, random)]
    while len(order) < len(sections):
        steps += 1
        section = next(choices[-1], None)
        if section is not None:
            order.append(section)
            left[section] -= 1
        else:
            choices.pop()
            if order:
                left[order.pop()] += 1
                continue
            steps = LOOKS * len(sections)  # there is no order without a known run
        choices.append(_next(left, order, known if steps < LOOKS * len(sections) else None, random))
    return order


def _next(left: Counter[int], order: Sequence[int], known: Known | None, random: Random) -> Iterator[int]:
    """Sections that may be called next, in random order, those with most calls left likely first."""
    still, fullest, before = sum(left.values()), max(left, key=left.__getitem__), order[-1] if order else -1
    last = tuple(order[1 - RUN :])
    if 2 * left[fullest] > still and fullest != before:
        free = [fullest]
    else:
        free = [section for section in left if left[section] and section != before] or [before] * (still > 0)
    fresh = [section for section in free if known is None or (*last, section) not in known.runs]
    return iter(sorted(fresh, key=lambda section: left[section] * random.random(), reverse=True))


def _searched(order: _Order, random: Random) -> _Order:
    """Swap two calls at a time as long as it does no harm, mostly one where something is amiss."""
    calls, idle = len(order.row), 0
    for _ in range(SWAPS * calls):
        if not order.price or idle > (PATIENCE if order.grave else LIGHT) * calls or calls < 2:
            break
        troubled = [place for place, price in enumerate(order.amiss) if price]
        if troubled and random.random() < AT_TROUBLE:
            first = min(calls - 1, random.choice(troubled) + random.randrange(RUN))
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
