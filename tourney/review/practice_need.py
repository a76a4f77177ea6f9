"""What a child or a group should practise most: rates of misses, drawn toward the division's.

A miss is a call that was late, in the wrong place, or answered wrongly aloud. A rate is the mean of a beta
distribution after the calls that were seen (Gelman and others, Bayesian Data Analysis, section 2.4; from memory). The
group's distribution starts at the division's rate and weighs as much as PRIOR_CALLS calls: with few calls of its own a
group is close to the division, with many it speaks for itself.
"""

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise

from tourney.canon.syllabus import Item
from tourney.model.heard import Heard

PRIOR_CALLS = 12.0  # a choice: about the calls of a section that a child hears in a day, twice over
EVEN, EVEN_CALLS = 0.5, 2.0  # before anything is known: Laplace's rule of succession


@dataclass(frozen=True, slots=True)
class Try:
    """One call of one child, as far as practice looks at it. confused: found in a wrong place, or named wrongly."""

    item: str
    missed: bool
    confused: bool


@dataclass(frozen=True, slots=True)
class SectionNeed:
    """A section: misses among the calls seen, the rate that is believed, and the division's."""

    section: str
    missed: int
    calls: int
    rate: float
    division_rate: float


@dataclass(frozen=True, slots=True)
class PairNeed:
    """Two neighbours: confusions among the calls of either, and the rate that is believed."""

    first: str
    second: str
    confused: int
    calls: int
    rate: float


@dataclass(frozen=True)
class Needs:
    """sections, pairs: the most needed first. weight: of every item, for drawing it; above 0."""

    sections: tuple[SectionNeed, ...]
    pairs: tuple[PairNeed, ...]
    weight: dict[str, float]
    calls: int


def tries(heard: Iterable[Heard]) -> tuple[Try, ...]:
    """The calls whose word is known, without those of absent children."""
    return tuple(
        Try(one.call.item, bool({"L", "W", "S"} & set(one.word)), bool({"W", "S"} & set(one.word)))
        for one in heard
        if one.word is not None and "N" not in one.word
    )


def shrunk(hits: int, calls: int, prior: float, strength: float = PRIOR_CALLS) -> float:
    """The rate that is believed after `hits` of `calls`, when `prior` weighs as much as `strength` calls."""
    return (hits + strength * prior) / (calls + strength)


def needs(items: Sequence[Item], own: Sequence[Try], division: Sequence[Try]) -> Needs:
    """What to practise. items: in their order; tries of others are passed over. division: tries of everyone in it."""
    section_of = {item.id: item.section for item in items}
    own = [one for one in own if one.item in section_of]
    division = [one for one in division if one.item in section_of]
    everyone = shrunk(sum(one.missed for one in division), len(division), EVEN, EVEN_CALLS)
    mixed_up = shrunk(sum(one.confused for one in division), len(division), EVEN, EVEN_CALLS)
    theirs, others = (Counter(section_of[one.item] for one in row) for row in (own, division))
    missed, others_missed = (Counter(section_of[one.item] for one in row if one.missed) for row in (own, division))
    sections = []
    for section in dict.fromkeys(section_of.values()):
        usual = shrunk(others_missed[section], others[section], everyone)
        rate = shrunk(missed[section], theirs[section], usual)
        sections.append(SectionNeed(section, missed[section], theirs[section], rate, usual))
    pairs = _pairs(items, own, division, mixed_up)
    weight = {item.id: next(row.rate for row in sections if row.section == item.section) for item in items}
    confusion: dict[str, float] = {}
    for pair in pairs:
        for item in (pair.first, pair.second):
            confusion[item] = max(confusion.get(item, 0.0), pair.rate)
    return Needs(
        tuple(sorted(sections, key=lambda row: -row.rate)),
        tuple(sorted(pairs, key=lambda row: -row.rate)),
        {item: rate + confusion.get(item, 0.0) for item, rate in weight.items()},
        len(own),
    )


def _pairs(items: Sequence[Item], own: Sequence[Try], division: Sequence[Try], usual: float) -> list[PairNeed]:
    """Every two items that follow each other: a wrong place or a wrong neighbour says something of both sides."""
    theirs, others = (Counter(one.item for one in row) for row in (own, division))
    mixed, others_mixed = (Counter(one.item for one in row if one.confused) for row in (own, division))
    found = []
    for first, second in pairwise(item.id for item in items):
        prior = shrunk(others_mixed[first] + others_mixed[second], others[first] + others[second], usual)
        confused, calls = mixed[first] + mixed[second], theirs[first] + theirs[second]
        found.append(PairNeed(first, second, confused, calls, shrunk(confused, calls, prior)))
    return found
