"""Questions on neighbours, the pairs that are confused most before the others."""

from collections.abc import Sequence
from dataclasses import dataclass
from random import Random
from typing import Literal

from tourney.canon.syllabus import Syllabus
from tourney.review.practice_need import PairNeed

QUESTIONS = 16  # as many as one printed page holds
Kind = Literal["after", "before", "between"]


@dataclass(frozen=True, slots=True)
class Asked:
    """One question: what comes after `first`, before `last`, or between both. answer: an item's id."""

    kind: Kind
    first: str
    last: str
    answer: str


def neighbour_questions(syllabus: Syllabus, pairs: Sequence[PairNeed], random: Random) -> tuple[Asked, ...]:
    """At most QUESTIONS, a pair each, in a random order."""
    found = [_about(syllabus, pair, random) for pair in pairs[:QUESTIONS]]
    random.shuffle(found)
    return tuple(found)


def _about(syllabus: Syllabus, pair: PairNeed, random: Random) -> Asked:
    third = syllabus.rank[pair.second] + 1
    kinds: list[Kind] = ["after", "before"]
    if third < len(syllabus.items):
        kinds.append("between")
    kind = random.choice(kinds)
    if kind == "between":
        return Asked(kind, pair.first, syllabus.items[third].id, pair.second)
    return Asked(kind, pair.first, pair.second, pair.second if kind == "after" else pair.first)
