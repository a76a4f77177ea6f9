"""In which order a set calls its sections: what earlier sets have shown is not shown again.

A contestant who knows runs of sections by heart must not be able to go on from the first few. Runs that many sets
would come upon by chance are soon used up, and then late sets would find none left; so these are kept back and come
free one after another, evenly over all sets.
"""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, field
from itertools import pairwise
from math import inf
from random import Random

import numpy as np

from tourney.planning.calls.pool import Pool
from tourney.planning.calls.sequence import A_DAY, RUN, SHORT, Run, Standing, likeness, runs, standing

SAME_RUN, SAME_ORDER = 20, 4000  # prices; of a whole correlation beyond what may be, the second
PARTS, LIKE = 1000, 0.48  # rank correlation of sections between two sets; the limit is 0.5
FEW, DRAWN = 4, 24  # orders drawn where none is known; at most, the first half of them without what is kept back

FRESH = 10  # times that a run that comes again weighs more when an order is drawn
LOOKS = 4  # sections looked at, for each call, before a drawn order may have a known run
FREE_BY = 0.9  # part of the sets after which nothing is kept back


@dataclass
class Supply:
    """Runs that chance would bring more than once are kept back until so many sets are ordered.

    shares: part of all calls that each section has. sets, runs: how many will be ordered, and their runs in all.
    """

    shares: tuple[float, ...]
    sets: int
    runs: int
    random: Random
    since: dict[Run, int] = field(default_factory=dict)

    def free_from(self, run: Run) -> int:
        """Number of the first set that may have it, drawn when it is first asked for."""
        if run not in self.since:
            often = self.runs * self._chance(run) > 1
            self.since[run] = self.random.randrange(1 + int(FREE_BY * self.sets)) if often else 0
        return self.since[run]

    def _chance(self, run: Run) -> float:
        """Of a run in a long row of sections drawn by their shares, none twice running."""
        chance = self.shares[run[0]]
        for before, section in pairwise(run):
            if before == section:
                return 0.0
            chance *= self.shares[section] / (1 - self.shares[before])
        return chance


def supply_of(pool: Pool, rows: Sequence[Sequence[int]], random: Random) -> Supply:
    """What a division has of runs, for these sets (items of each)."""
    counts = np.bincount([pool.section[item] for row in rows for item in row], minlength=len(pool.sections)).tolist()
    shares = tuple(calls / max(1, sum(counts)) for calls in counts)
    return Supply(shares, len(rows), sum(max(0, len(row) - RUN + 1) for row in rows), random)


@dataclass
class Known:
    """What other sets show. runs: of sections. standings: of the sections, in sets that one contestant may hear too.

    supply: what is kept back, none where a few sets are ordered anew. ordered: sets so far. crowded: one of them found
    no order without a run that comes again; later ones do not look for long.
    """

    runs: set[Run] = field(default_factory=set)
    standings: list[Standing] = field(default_factory=list)
    supply: Supply | None = None
    ordered: int = 0
    crowded: bool = False

    def add(self, pool: Pool, row: Sequence[int]) -> None:
        """One more set, in calling order; those heard more than a day before it are left behind."""
        sections = [pool.section[item] for item in row]
        self.ordered += 1
        self.crowded |= not self.runs.isdisjoint(runs(sections))
        self.runs.update(runs(sections))
        if len(row) >= SHORT:
            self.standings = [*self.standings, standing(pool, sections)][-A_DAY:]

    def fresh(self, run: Run, patient: bool = False) -> bool:
        """Whether no set has it. patient: nor is it kept back for a later one."""
        if run in self.runs:
            return False
        return not patient or self.supply is None or self.supply.free_from(run) <= self.ordered


def section_order(pool: Pool, sections: Sequence[int], known: Known, random: Random) -> list[int]:
    """A drawn order of these sections without a known run; of a few such the one most unlike other sets."""
    best = inf, list[int]()
    for attempt in range(DRAWN):
        order = _drawn(sections, known, 2 * attempt < DRAWN, random)
        price = FRESH * runs_price(order, known)
        if price < best[0]:
            best = min(best, (price + likeness_price(pool, order, known), order), key=lambda found: found[0])
        if not best[0] or (best[0] < FRESH * SAME_RUN and attempt + 1 >= FEW):
            break
    return best[1]


def runs_price(sections: Sequence[int], known: Known) -> int:
    """Price of runs that come again in this order."""
    own = runs(sections)
    return SAME_RUN * (len(own) - len(set(own) - known.runs))


def likeness_price(pool: Pool, sections: Sequence[int], known: Known) -> float:
    """Price of sections that come in much the same order as in other sets."""
    if not known.standings or len(sections) < SHORT:
        return 0.0
    found = likeness(standing(pool, sections), np.array(known.standings))
    over = np.maximum(np.floor(PARTS * found).astype(np.int64) - round(PARTS * LIKE), 0)
    return SAME_ORDER * int(over.sum()) / PARTS


def _drawn(sections: Sequence[int], known: Known, patient: bool, random: Random) -> list[int]:
    """Sections in a random order, none twice running if their counts allow, and no known run if one is soon found.

    Section after section is drawn; where every one left would end a known run, the last ones are taken back. When that
    takes too long, the rest is drawn with as few known runs as may be.
    """
    left, order, steps = Counter(sections), list[int](), LOOKS * len(sections)
    choices = [_next(left, order, known, patient, random)]
    while steps and len(order) < len(sections):
        steps -= 1
        if choices[-1]:
            order.append(choices[-1].pop())
            left[order[-1]] -= 1
            choices.append(_next(left, order, known, patient, random))
        elif order:
            choices.pop()
            left[order.pop()] += 1
        else:  # there is no order without a known run
            break
    while len(order) < len(sections):
        free, last = _free(left, order), tuple(order[1 - RUN :])
        fresh = [section for section in free if known.fresh((*last, section))] or free
        order.append(max(fresh, key=lambda section: left[section] * random.random()))
        left[order[-1]] -= 1
    return order


def _next(left: Counter[int], order: Sequence[int], known: Known, patient: bool, random: Random) -> list[int]:
    """Sections that may be called next, in random order, those with most calls left likely last."""
    free, last = _free(left, order), tuple(order[1 - RUN :])
    if len(last) == RUN - 1:
        free = [section for section in free if known.fresh((*last, section), patient)]
    return sorted(free, key=lambda section: left[section] * random.random())


def _free(left: Counter[int], order: Sequence[int]) -> list[int]:
    """Sections that may be called next without one coming twice running, now or later, if their counts allow."""
    still, fullest, before = left.total(), max(left, key=left.__getitem__), order[-1] if order else -1
    if 2 * left[fullest] > still and fullest != before:
        return [fullest]
    return [section for section, calls in left.items() if calls and section != before] or [before] * (still > 0)
