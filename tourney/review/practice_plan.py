"""Ten minutes a day: what is new, what comes back, and which section is said in order.

What was new comes back after one, three and seven days. Spread over days, learning lasts longer than at one go
(Cepeda and others, Psychological Bulletin 132 (2006) 354-380, from memory); that gaps should grow is common practice,
no source.
"""

from collections.abc import Callable
from dataclasses import dataclass
from random import Random

from tourney.canon.syllabus import Syllabus
from tourney.review.practice_need import Needs, PairNeed
from tourney.review.practice_sets import Rows, by_weight, in_order

NEW, CALLS, PAIRS = 3, 12, 3  # a day: 12 calls of half a minute leave four minutes for the rest
AGAIN_AFTER = (1, 3, 7)  # days


@dataclass(frozen=True, slots=True)
class PracticeDay:
    """One day. day: from 1. calls: in calling order; new, again: those of them that come first and come back.

    section: to be said in order. pairs: neighbours to be told apart.
    """

    day: int
    section: str
    calls: Rows
    new: frozenset[str]
    again: frozenset[str]
    pairs: tuple[PairNeed, ...]


def practice_days(
    syllabus: Syllabus, found: Needs, weeks: int, stream: Callable[..., Random]
) -> tuple[PracticeDay, ...]:
    """Day by day for so many weeks, the most needed early. stream: names of a purpose -> its random stream."""
    days = 7 * weeks
    order = by_weight(found.weight, stream("order"))
    lists = [order[start : start + NEW] for start in range(0, len(order), NEW)]
    made = []
    for day in range(days):
        new = lists[day % len(lists)]
        again = [item for gap in AGAIN_AFTER if gap <= day for item in lists[(day - gap) % len(lists)]]
        back = tuple(dict.fromkeys(item for item in again if item not in new))
        rest = {item: heavy for item, heavy in found.weight.items() if item not in (*new, *back)}
        mixed = by_weight(rest, stream("mixed", str(day)))[: max(0, CALLS - len(new) - len(back))]
        calls = in_order(syllabus, (*new, *back, *mixed), stream("calls", str(day)))
        places = [(PAIRS * day + place) % len(found.pairs) for place in range(min(PAIRS, len(found.pairs)))]
        section = found.sections[day % len(found.sections)].section
        pairs = tuple(found.pairs[place] for place in places)
        made.append(PracticeDay(day + 1, section, calls, frozenset(new), frozenset(back), pairs))
    return tuple(made)
