"""The sets of a division while they are being made, and the changes that break no rule."""

from collections.abc import Collection, Iterable

from tourney.planning.calls.exact import crowd_limit
from tourney.planning.calls.pool import Pool


class Board:
    """Items of each set in the order heard. Changes keep every set's calls a section.

    A change that `fits` adds no pair of neighbours to a set and brings no item back within `gap` sets.
    """

    def __init__(self, pool: Pool, sets: Iterable[Collection[int]], gap: int) -> None:
        self.pool, self.gap = pool, gap
        self.sets = [set(chosen) for chosen in sets]
        self.windows = [
            tuple(n for n in range(max(0, at - gap), min(len(self.sets), at + gap + 1)) if n != at)
            for at in range(len(self.sets))
        ]

    def fits(self, at: int, leaving: int, coming: int, partner: int = -1) -> bool:
        """Whether set `at` may give up one item for another. partner: a set that gives up the coming item meanwhile."""
        held, near = self.sets[at], self.pool.near
        if coming in held:
            return False
        for other in self.windows[at]:
            if coming in self.sets[other] and other != partner:
                return False
        new = sum(item in held for item in near[coming] if item != leaving)
        return new == 0 or new <= sum(item in held for item in near[leaving])

    def replace(self, at: int, leaving: int, coming: int) -> None:
        """One item for another."""
        self.sets[at].remove(leaving)
        self.sets[at].add(coming)

    def may_exchange(self, first: int, one: int, second: int, other: int) -> bool:
        """Whether the first set may give `one` to the second and take `other`."""
        return self.fits(first, one, other, second) and self.fits(second, other, one, first)

    def exchange(self, first: int, one: int, second: int, other: int) -> None:
        """Each set gives an item to the other one."""
        self.replace(first, one, other)
        self.replace(second, other, one)

    def by_section(self, at: int, without: int) -> list[list[int]]:
        """Items of a set that another set does not hold, section by section."""
        rows: list[list[int]] = [[] for _ in self.pool.sections]
        for item in sorted(self.sets[at] - self.sets[without]):
            rows[self.pool.section[item]].append(item)
        return rows

    def uses(self) -> list[int]:
        """In how many sets each item is."""
        total = [0] * len(self.pool.items)
        for held in self.sets:
            for item in held:
                total[item] += 1
        return total

    def neighbours(self) -> int:
        """Pairs of neighbours in all sets together."""
        return sum(self.pool.neighbours(held) for held in self.sets)

    def repeats(self) -> int:
        """Items that come back too soon, counted once for each pair of sets."""
        return sum(
            len(self.sets[at] & self.sets[other])
            for at, window in enumerate(self.windows)
            for other in window
            if other > at
        )

    @property
    def orderly(self) -> bool:
        """Whether every set can be ordered so that its neighbours are far enough apart."""
        return all(
            sum(any(other in held for other in self.pool.near[item]) for item in held) <= crowd_limit(len(held))
            for held in self.sets
        )

    def use_spread(self, section: int) -> int:
        """Most used item of a section against the least used one."""
        uses = self.uses()
        row = [uses[item] for item in self.pool.members[section]]
        return max(row, default=0) - min(row, default=0)
