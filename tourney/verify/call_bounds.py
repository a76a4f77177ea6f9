"""What the calls a section force on any draw: neighbours in one set, uneven use, early return. By counting alone."""

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import combinations

from tourney.verify.syllabus import Listing, Row

Counts = Mapping[str, int]  # section -> calls
Key = tuple[tuple[str, int], ...]


@dataclass(frozen=True)
class Forced:
    """Least neighbours in one set with such counts; items that every such set holds, and those that none can hold."""

    neighbours: int
    always: frozenset[str] = frozenset()
    never: frozenset[str] = frozenset()


@dataclass(frozen=True)
class CallBounds:
    """Bounds for sets of a division. rows: what it may hear. sets: calls a section of each set, in the order heard."""

    listing: Listing
    rows: tuple[Row, ...]
    sets: tuple[Counts, ...]

    @cached_property
    def forced(self) -> dict[Key, Forced]:
        """What each kind of counts forces."""
        return {key: self._forced(dict(key)) for key in dict.fromkeys(map(_key, self.sets))}

    def neighbours(self, counts: Counts) -> int:
        """Least neighbours in one set with these counts."""
        key = _key(counts)
        return self.forced[key].neighbours if key in self.forced else self._forced(counts).neighbours

    def use_spread(self) -> int:
        """Least difference between the most and the least used item of a section, for the section where it is most."""
        total: Counter[str] = Counter()
        for counts in self.sets:
            total.update(counts)
        at_least: Counter[str] = Counter()
        at_most = Counter({row.id: len(self.sets) for row in self.rows})
        for counts in self.sets:
            forced = self.forced[_key(counts)]
            at_least.update(forced.always)
            at_most.subtract(forced.never)
        spread = 0
        for section in {row.section for row in self.rows}:
            keys = [row.id for row in self.rows if row.section == section]
            parted = max(at_least[key] for key in keys) - min(at_most[key] for key in keys)
            spread = max(spread, parted, int(total[section] % len(keys) > 0))
        return spread

    def gap(self, wanted: int) -> int:
        """Most sets, up to those wanted, that can lie between two uses of every item."""
        return max((gap for gap in range(1, wanted + 1) if self._gap_fits(gap)), default=0)

    def _gap_fits(self, gap: int) -> bool:
        size = Counter(row.section for row in self.rows)
        for first in range(len(self.sets)):
            window = self.sets[first : first + gap + 1]
            calls: Counter[str] = Counter()
            held: Counter[str] = Counter()
            for counts in window:
                calls.update(counts)
                held.update(self.forced[_key(counts)].always)
            if any(number > size[section] for section, number in calls.items()) or max(held.values(), default=0) > 1:
                return False
        return True

    def _forced(self, counts: Counts) -> Forced:
        """Without sections in blocks nothing is claimed: a bound of 0 is always true."""
        if not self._in_blocks:
            return Forced(0)
        least = self._fewest(counts)
        size = Counter(row.section for row in self.rows)
        if not any(2 * calls >= size[section] for section, calls in counts.items()):
            return Forced(least)
        keys = [row.id for row in self.rows]
        return Forced(
            least,
            frozenset(key for key in keys if self._fewest(counts, without=key) > least),
            frozenset(key for key in keys if self._fewest(counts, holding=key) > least),
        )

    @cached_property
    def _in_blocks(self) -> bool:
        starts = [
            row.section
            for before, row in zip((None, *self.listing.ordered), self.listing.ordered, strict=False)
            if before is None or before.section != row.section
        ]
        return len(starts) == len(set(starts))

    def _fewest(self, counts: Counts, without: str = "", holding: str = "") -> int:
        """Least neighbours of a set, found item by item. Beyond the number of items: there is no such set.

        Kept for each number of calls taken from the section at hand, and whether the item before was taken.
        """
        hopeless = len(self.rows) + 1
        allowed = {row.id for row in self.rows} - {without}
        best: dict[tuple[int, bool], int] = {(0, False): 0}
        ordered = self.listing.ordered
        for row, following in zip(ordered, (*ordered[1:], None), strict=True):
            nearer: dict[tuple[int, bool], int] = {}
            for (taken, before), pairs in best.items():
                if row.id != holding:
                    _keep(nearer, (taken, False), pairs)
                if row.id in allowed:
                    _keep(nearer, (taken + 1, True), pairs + before)
            if following is None or following.section != row.section:
                wanted = counts.get(row.section, 0)
                ended = {(0, before): pairs for (taken, before), pairs in nearer.items() if taken == wanted}
                nearer = ended
            best = nearer
        return min(best.values(), default=hopeless)


def _keep(best: dict[tuple[int, bool], int], state: tuple[int, bool], pairs: int) -> None:
    best[state] = min(pairs, best.get(state, pairs))


def _key(counts: Counts) -> Key:
    return tuple(sorted((section, calls) for section, calls in counts.items() if calls))


def least_twice_running(sections: Sequence[str]) -> int:
    """Calls of the fullest section that the others are too few to keep apart."""
    most = max(Counter(sections).values(), default=0)
    return max(0, most - (len(sections) - most) - 1)


def least_runs_again(sets: Sequence[Counts], length: int, twice: bool) -> int:
    """Of all runs of so many sections, those that must have been called before. twice: a section may follow itself.

    There are few runs that hold few calls of the rarest sections, and every call is in `length` runs at most.
    """
    long = [counts for counts in sets if sum(counts.values()) >= length]
    needed = sum(sum(counts.values()) - length + 1 for counts in long)
    room: Counter[str] = Counter()
    for counts in long:
        within = min(length, sum(counts.values()) - length + 1)
        room.update({section: within * calls for section, calls in counts.items() if calls})
    sections, worst = sorted(room, key=lambda section: (room[section], section)), 0
    for rare in range(len(sections) + 1):
        left, found = sum(room[section] for section in sections[:rare]), 0
        for held in range(length + 1):
            there = _runs_with(held, length, rare, len(sections) - rare, twice)
            for _ in range(min(there, needed - found)):
                if left < held:
                    break
                left, found = left - held, found + 1
        worst = max(worst, needed - found)
    return worst


def _runs_with(held: int, length: int, rare: int, others: int, twice: bool) -> int:
    """Runs with so many calls of rare sections: every way to place these, then every way to name them all."""
    total = 0
    for places in combinations(range(length), held):
        ways, before = 1, None
        for at in range(length):
            is_rare = at in places
            ways *= max(0, (rare if is_rare else others) - (before == is_rare and not twice))
            before = is_rare
        total += ways
    return total


def counted(sections: Iterable[str]) -> Counts:
    """Calls a section."""
    return Counter(sections)
