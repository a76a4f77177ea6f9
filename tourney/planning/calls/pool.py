"""What a division may hear, as numbers: an item is its place among those allowed, a section its place in the list."""

from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property

from tourney.canon.syllabus import Item, Syllabus
from tourney.model.event import Division

UNIT = 10**6  # parts of a bit: whole numbers add up to the same on any machine

Counts = tuple[int, ...]  # calls a section, in the order of the pool's sections


@dataclass(frozen=True)
class Pool:
    """Items in the syllabus's order. rank: their places in it, so that neighbours differ by one.

    sound_alikes: groups of ids, as the syllabus has them.
    """

    items: tuple[Item, ...]
    rank: tuple[int, ...]
    sections: tuple[str, ...]
    sound_alikes: tuple[tuple[str, ...], ...] = ()

    @cached_property
    def section(self) -> tuple[int, ...]:
        """Section of each item."""
        place = {key: number for number, key in enumerate(self.sections)}
        return tuple(place[item.section] for item in self.items)

    @cached_property
    def members(self) -> tuple[tuple[int, ...], ...]:
        """Items of each section; none where a division may hear nothing of it."""
        return tuple(
            tuple(item for item, section in enumerate(self.section) if section == number)
            for number in range(len(self.sections))
        )

    @cached_property
    def size(self) -> Counts:
        """Number of items of each section."""
        return tuple(map(len, self.members))

    @cached_property
    def bits(self) -> tuple[float, ...]:
        """Difficulty of each item."""
        return tuple(item.difficulty for item in self.items)

    @cached_property
    def parts(self) -> tuple[int, ...]:
        """Difficulty of each item in millionths of a bit."""
        return tuple(round(UNIT * bits) for bits in self.bits)

    @cached_property
    def joined(self) -> tuple[bool, ...]:
        """Whether an item is the neighbour of the one before it in the pool."""
        return (False, *(after - before == 1 for before, after in zip(self.rank, self.rank[1:], strict=False)))

    @cached_property
    def near(self) -> tuple[tuple[int, ...], ...]:
        """Neighbours of each item: in their answers each gives the other away."""
        last = len(self.items) - 1
        return tuple(
            (
                *((item - 1,) if self.joined[item] else ()),
                *((item + 1,) if item < last and self.joined[item + 1] else ()),
            )
            for item in range(len(self.items))
        )

    @cached_property
    def alike(self) -> tuple[frozenset[int], ...]:
        """Items that sound like each item."""
        place = {item.id: number for number, item in enumerate(self.items)}
        groups = [[place[key] for key in group if key in place] for group in self.sound_alikes]
        return tuple(
            frozenset(other for group in groups if item in group for other in group if other != item)
            for item in range(len(self.items))
        )

    @cached_property
    def runs(self) -> tuple[tuple[tuple[int, ...], int], ...]:
        """Runs of sections that follow each other, and the most calls that each can give without neighbours."""
        found = []
        for first in range(len(self.sections)):
            for last in range(first, len(self.sections)):
                run = tuple(range(first, last + 1))
                found.append((run, self.room([item for number in run for item in self.members[number]])))
        return tuple(found)

    @cached_property
    def in_blocks(self) -> bool:
        """Whether every section is one unbroken stretch of the list."""
        starts = [s for n, s in enumerate(self.section) if n == 0 or s != self.section[n - 1]]
        return len(starts) == len(set(starts))

    def room(self, items: Iterable[int]) -> int:
        """Most of these items that can be called without two neighbours: every second one of each stretch."""
        total, stretch, before = 0, 0, -2
        for item in sorted(items):
            stretch = stretch + 1 if item == before + 1 and self.joined[item] else 1
            total, before = total + stretch % 2, item
        return total

    def neighbours(self, chosen: Iterable[int]) -> int:
        """Pairs of neighbours among these items."""
        held = set(chosen)
        return sum(self.joined[item] and item - 1 in held for item in held)

    def counts(self, chosen: Iterable[int]) -> Counts:
        """Calls a section of these items."""
        sections = [self.section[item] for item in chosen]
        return tuple(sections.count(number) for number in range(len(self.sections)))

    def total(self, chosen: Iterable[int]) -> float:
        """Sum of the difficulties of these items, in bits."""
        return sum(self.bits[item] for item in sorted(chosen))


def pool_of(syllabus: Syllabus, division: Division) -> Pool:
    """The items that the division may hear; the first and last item of the list only if its rules call them."""
    items = syllabus.allowed(division.name, division.first_last)
    ranks = tuple(syllabus.rank[item.id] for item in items)
    return Pool(items, ranks, syllabus.sections, syllabus.sound_alikes)
