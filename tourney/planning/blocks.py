"""How many heats of each round stand in each wave: earliest finish, then fewest call sets, then most rest.

Counts only; which heats these are is decided in `spread`. Rounds are placed one after the other, each in one of a few
ways; a search over the order and the ways keeps the best day (random local search over a list decoder).
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations, pairwise, product
from random import Random

from tourney.model.event import Day
from tourney.planning.clock import gap_after

TRIES, PATIENCE = 1000, 250  # days that are laid out; how many of them without gain
EFFORT = 12_000  # rounds that the search places in all of them
Counts = list[list[int]]  # block -> wave -> heats
Price = tuple[int, int, int, int]  # minutes to the finish, call sets, rounds close to each other, late less early heats


@dataclass(frozen=True, slots=True)
class Block:
    """Heats of one round that are alike. rooms: how many rooms are wide enough for their lines.

    waits: the round is drawn when the one before is in, so that all its heats come after all of that one's.
    """

    division: str
    round: int
    minutes: int
    rooms: int
    waits: bool
    heats: int


@dataclass(frozen=True, slots=True)
class Way:
    """How one round is placed.

    rested: no earlier than its teams have rested. even: not into a wave that it would make longer. whole: into waves
    that take all of it at once, as far as rooms allow. by_length: long heats and short heats each for themselves.
    """

    rested: bool
    even: bool
    whole: bool
    by_length: bool


WAYS = [Way(*choice) for choice in product((True, False), repeat=4)]


def lay_blocks(blocks: Sequence[Block], rooms: int, day: Day, bound: int, random: Random, *, cautious: bool) -> Counts:
    """Heats of each block in each wave. bound: minutes before which no timetable ends, so that the search can stop.

    A wave holds one round of a division, and rounds come in order. Where two rounds of one division follow each other
    too closely for every team to rest, the later wave is put off, unless so few heats are concerned that other teams
    can take them; if cautious, or if the later round waits, even then.
    """
    rounds: dict[tuple[str, int], list[int]] = {}
    for number in sorted(range(len(blocks)), key=lambda n: (blocks[n].round, blocks[n].division, -blocks[n].minutes)):
        rounds.setdefault((blocks[number].division, blocks[number].round), []).append(number)
    fewest_sets = sum(-(-sum(blocks[n].heats for n in part) // rooms) for part in rounds.values())

    alike = len({block.minutes for block in blocks}) == 1  # then only `rested` and `whole` make a difference
    known: dict[tuple[tuple[str, Way], ...], tuple[Price, Counts]] = {}
    prices: dict[tuple[tuple[int, ...], ...], Price] = {}

    def placed(order: Sequence[str], ways: Sequence[Way]) -> tuple[Price, Counts]:
        plain = [Way(way.rested, even=False, whole=way.whole, by_length=False) for way in ways] if alike else ways
        key = tuple(zip(order, plain, strict=True))
        if key not in known:
            counts = laid(key)
            rows = tuple(map(tuple, counts))
            if rows not in prices:
                prices[rows] = price(blocks, counts, day, cautious=cautious)
            known[key] = prices[rows], counts
        return known[key]

    def laid(choice: Sequence[tuple[str, Way]]) -> Counts:
        filling = _Filling(blocks, rooms, day)
        count = dict.fromkeys((division for division, _ in choice), 0)
        for division, way in choice:
            count[division] += 1
            filling.place(rounds[division, count[division]], way)
        return filling.counts()

    order = [division for division, _ in rounds]
    ways = [WAYS[0]] * len(order)
    best, counts = placed(order, ways)
    since = 0
    for attempt in range(min(TRIES, EFFORT // len(order))):
        if best == (bound, fewest_sets, 0, 0) or attempt - since > PATIENCE:
            break
        if attempt < len(WAYS):
            new_order, new_ways = order, [WAYS[attempt]] * len(order)
        else:
            new_order, new_ways = _neighbour(order, ways, random)
        found, new_counts = placed(new_order, new_ways)
        if found < best:
            since = attempt
        if found <= best:
            best, counts, order, ways = found, new_counts, new_order, new_ways
    return _turned(blocks, counts, day, cautious)


def _turned(blocks: Sequence[Block], counts: Counts, day: Day, cautious: bool) -> Counts:
    """Stretches of waves turned round as long as that helps: who was early in a round is late in another."""
    best = price(blocks, counts, day, cautious=cautious)
    stretches = list(combinations(range(len(counts[0]) + 1), 2))
    better = best[3] > 0 and len(stretches) <= TRIES
    while better:
        better = False
        for start, end in stretches:
            turned = [row[:start] + row[start:end][::-1] + row[end:] for row in counts]
            if _in_order(blocks, turned) and (found := price(blocks, turned, day, cautious=cautious)) < best:
                best, counts, better = found, turned, True
    return counts


def _in_order(blocks: Sequence[Block], counts: Counts) -> bool:
    """Does every round of a division come after the one before."""
    held: dict[str, list[tuple[int, int]]] = {}
    for block, row in zip(blocks, counts, strict=True):
        held.setdefault(block.division, []).extend((wave, block.round) for wave, heats in enumerate(row) if heats)
    rounds = ([number for _, number in sorted(mine)] for mine in held.values())
    return all(before <= after for row in rounds for before, after in pairwise(row))


def _neighbour(order: Sequence[str], ways: Sequence[Way], random: Random) -> tuple[list[str], list[Way]]:
    """A day near this one: a few rounds changed about and placed in other ways."""
    new_order, new_ways = list(order), list(ways)
    for _ in range(random.randint(1, 3)):
        here, there = random.randrange(len(order)), random.randrange(len(order))
        new_order[here], new_order[there] = new_order[there], new_order[here]
        new_ways[random.randrange(len(order))] = random.choice(WAYS)
    return new_order, new_ways


def price(blocks: Sequence[Block], counts: Counts, day: Day, *, cautious: bool) -> Price:
    """What these counts are worth; less is better. cautious: as in lay_blocks."""
    waves = range(len(counts[0]))
    held: dict[str, dict[int, list[int]]] = {}  # division -> wave -> round, heats
    lengths = [0 for _ in waves]
    heats_of: dict[tuple[str, int], int] = {}
    for block, row in zip(blocks, counts, strict=True):
        heats_of[block.division, block.round] = heats_of.get((block.division, block.round), 0) + block.heats
        for wave, heats in enumerate(row):
            if heats:
                lengths[wave] = max(lengths[wave], block.minutes)
                held.setdefault(block.division, {}).setdefault(wave, [block.round, 0])[1] += heats
    ends: list[int] = []
    for wave in waves:
        start = ends[-1] + gap_after(wave, day) if ends else 0
        ends.append(start + lengths[wave])
    waiting = {(block.division, block.round) for block in blocks if block.waits}
    put_off, close = [0 for _ in waves], 0
    for division, mine in held.items():
        for before, after in pairwise(sorted(mine)):
            lack = day.rest - (ends[after] - lengths[after] - ends[before])
            if mine[before][0] != mine[after][0] and lack > 0:
                close += 1
                certain = cautious or (division, mine[after][0]) in waiting
                if certain or mine[before][1] + mine[after][1] >= heats_of[division, mine[before][0]]:
                    put_off[after] = max(put_off[after], lack)
    sets = sum(len(mine) for mine in held.values())
    return ends[-1] + sum(put_off), sets, close, sum(_tilt(mine) for mine in held.values())


def _tilt(held: Mapping[int, Sequence[int]]) -> int:
    """Heats in late waves of their rounds less heats in early ones. held: wave -> (round, heats) of one division."""
    rounds: dict[int, list[int]] = {}
    for wave in sorted(held):
        rounds.setdefault(held[wave][0], []).append(held[wave][1])
    return abs(sum(sum(row[(len(row) + 1) // 2 :]) - sum(row[: len(row) // 2]) for row in rounds.values()))


class _Filling:
    """Waves while rounds are placed in them."""

    def __init__(self, blocks: Sequence[Block], rooms: int, day: Day) -> None:
        self.blocks, self.rooms, self.day = blocks, rooms, day
        self.limits = sorted({block.rooms for block in blocks} | {rooms})
        self.put: list[dict[int, int]] = []  # wave -> block -> heats
        self.length: list[int] = []
        self.last: dict[str, int] = {}  # the last wave of each division

    def place(self, part: Sequence[int], way: Way) -> None:
        """Place one round, all after the division's last wave."""
        division = self.blocks[part[0]].division
        first = self.last.get(division, -1) + 1
        if way.rested and division in self.last and gap_after(first, self.day) < self.day.rest:
            first += 1
        for piece in self._pieces(part, way):
            put = self._place_whole if way.whole else self._pour
            put(piece, first, way)
        waves = reversed(range(len(self.put)))
        self.last[division] = next(wave for wave in waves if not self.put[wave].keys().isdisjoint(part))

    def _pieces(self, part: Sequence[int], way: Way) -> Iterator[dict[int, int]]:
        """What is placed together: block -> heats, no more than a wave takes."""
        groups = [[n for n in part if self.blocks[n].minutes == minutes] for minutes in self._lengths(part)]
        for group in groups if way.by_length else [part]:
            heats = [n for n in group for _ in range(self.blocks[n].heats)]
            for start in range(0, len(heats), self.rooms):
                chunk = heats[start : start + self.rooms]
                yield {n: chunk.count(n) for n in dict.fromkeys(chunk)}

    def _lengths(self, part: Sequence[int]) -> list[int]:
        return sorted({self.blocks[n].minutes for n in part}, reverse=True)

    def _place_whole(self, piece: dict[int, int], first: int, way: Way) -> None:
        total = sum(piece.values())
        for wave in range(first, len(self.put)):
            if all(self._free(wave, n) >= total and self._may(wave, n, way) for n in piece):
                self._add(wave, piece)
                return
        self._pour(piece, max(first, len(self.put)), way)

    def _pour(self, piece: dict[int, int], first: int, way: Way) -> None:
        for number, heats in piece.items():
            left, wave = heats, first
            while left:
                fits = min(left, self._free(wave, number)) if self._may(wave, number, way) else 0
                if fits > 0:
                    self._add(wave, {number: fits})
                    left -= fits
                wave += 1

    def _free(self, wave: int, number: int) -> int:
        """How many more heats of this block the wave's rooms take: narrow rooms can't help long lines."""
        if wave >= len(self.put):
            return self.blocks[number].rooms
        if len(self.limits) == 1:
            return self.rooms - sum(self.put[wave].values())
        return min(
            limit - sum(heats for n, heats in self.put[wave].items() if self.blocks[n].rooms <= limit)
            for limit in self.limits
            if limit >= self.blocks[number].rooms
        )

    def _may(self, wave: int, number: int, way: Way) -> bool:
        length = self.length[wave] if wave < len(self.length) else 0
        return not way.even or not length or length >= self.blocks[number].minutes

    def _add(self, wave: int, piece: dict[int, int]) -> None:
        while len(self.put) <= wave:
            self.put.append({})
            self.length.append(0)
        for number, heats in piece.items():
            self.put[wave][number] = self.put[wave].get(number, 0) + heats
            self.length[wave] = max(self.length[wave], self.blocks[number].minutes)

    def counts(self) -> Counts:
        """The counts of waves that hold anything."""
        held = [put for put in self.put if put]
        return [[put.get(number, 0) for put in held] for number in range(len(self.blocks))]
