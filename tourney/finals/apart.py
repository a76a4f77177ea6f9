"""Teams of one club, then of one pool, kept apart for as long as can be, with the fewest moves of seeds.

Small drawings are tried one by one. Larger ones are halved again and again: each time a cheapest flow shares every club
out over both halves as evenly as can be, and each tier of seeds as the drawing asks; so who belongs together meets as
late as possible. (In heats of more than two it is spread over the heats of each half instead: who moves on is mixed
anew. An equitable colouring of the bipartite graph of clubs and tiers, de Werra 1971; networks as in Ahuja, Magnanti &
Orlin 1993, ch. 9.) Of halves that are alike the flow knows not which leaves better quarters, and it looks at clubs
alone or at pools alone: last, seeds of one tier are exchanged two by two as long as that helps, and in drawings that
are not large two exchanges at once.
"""

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import chain, combinations, permutations, product
from math import factorial, prod

from ortools.graph.python.min_cost_flow import SimpleMinCostFlow

from tourney.finals.deal import groups, seed_order

Cell = tuple[int, ...]  # places, by their seeds, that meet at once: one place in a drawing of pairs

MOVE = 1000  # price of a seed that leaves its place, besides one for each place that it moves
MOST_TRIED = 1152  # drawings that are tried one by one: all of 12 entries in pairs
TWO_AT_ONCE = 24  # entries up to which two exchanges are tried together


@dataclass(frozen=True, slots=True)
class Drawing:
    """Where seeds may stand.

    cells: in the order of the drawing. tier: place -> its tier; seeds move within theirs. halves: whether the two
    halves meet last, and so on down; else only who is in one cell is sure to meet.
    """

    cells: tuple[Cell, ...]
    tier: Mapping[int, int]
    halves: bool


def drawing(entries: int, size: int) -> Drawing:
    """A drawing of pairs, whose tiers are 1, 2, 3-4, 5-8 and so on; or of heats of more, with a tier a row of the deal.

    The best seeds, 1 and 2 or the first of each heat, have a tier of their own and stay where they are.
    """
    if size > 2:
        dealt = groups(entries, size)
        heats = len(dealt)
        tier = {seed: -seed if seed <= heats else (seed - 1) // heats for seed in range(1, entries + 1)}
        return Drawing(tuple(map(tuple, dealt)), tier, halves=False)
    order = seed_order(1 << (entries - 1).bit_length())
    tier = {seed: (seed - 1).bit_length() for seed in range(1, entries + 1)}
    return Drawing(tuple((seed,) if seed <= entries else () for seed in order), tier, halves=True)


def keep_apart(drawn: Drawing, *parties: Sequence[str]) -> tuple[int, ...]:
    """The seed that stands in the place of seed 1, of seed 2 and so on.

    parties: each has whom seed 1, seed 2 and so on belongs to, such as its club; the first of them goes before all.
    """
    tried = _every(drawn) if prod(map(factorial, Counter(drawn.tier.values()).values())) <= MOST_TRIED else ()
    found = [_Blocks(drawn, parties, placed) for placed in tried]
    for party in parties if not found else ():
        placed: dict[int, int] = {}
        _share_out(drawn, drawn.cells, list(range(1, len(party) + 1)), party, placed)
        found.append(_exchanged(_Blocks(drawn, parties, placed)))
    best = min(found, key=lambda blocks: blocks.worth)
    return tuple(best.placed[place] for place in sorted(best.placed))


def _every(drawn: Drawing) -> Iterator[dict[int, int]]:
    """Place -> seed, for every drawing in which seeds stay in their tiers."""
    tiers = [list(places) for places in _by_tier(drawn, drawn.cells).values()]
    for orders in product(*map(permutations, tiers)):
        seeds = chain.from_iterable(orders)
        yield dict(zip(chain.from_iterable(tiers), seeds, strict=True))


def _share_out(
    drawn: Drawing, cells: Sequence[Cell], seeds: list[int], clubs: Sequence[str], placed: dict[int, int]
) -> None:
    """Give these seeds places in these cells."""
    if len(cells) == 1:
        place = {drawn.tier[place]: place for place in cells[0]}
        placed |= {place[drawn.tier[seed]]: seed for seed in seeds}
        return
    if not seeds:
        return
    half = len(cells) // 2
    first, second = cells[:half], cells[half:]
    chosen = _first_half(drawn, first, second, seeds, clubs)
    _share_out(drawn, first, [seed for seed in seeds if seed in chosen], clubs, placed)
    _share_out(drawn, second, [seed for seed in seeds if seed not in chosen], clubs, placed)


def _first_half(
    drawn: Drawing, first: Sequence[Cell], second: Sequence[Cell], seeds: Sequence[int], clubs: Sequence[str]
) -> set[int]:
    """The seeds that go into the first half: fewest of a club who meet there, then fewest and shortest moves."""
    own = {place for cell in first for place in cell}
    members: dict[str, list[int]] = {}
    for seed in seeds:
        members.setdefault(clubs[seed - 1], []).append(seed)
    here, there = (_by_tier(drawn, half) for half in (first, second))
    shares = (1, 1) if drawn.halves else (len(first), len(second))  # in how many parts each half is spread
    pair = 2 * (MOVE + len(clubs)) * len(seeds)  # dearer than all moves together
    nodes = {("source", 0): 0, ("sink", 0): 1}
    flow = SimpleMinCostFlow()

    def node(kind: str, key: int) -> int:
        return nodes.setdefault((kind, key), len(nodes))

    arcs: dict[int, int] = {}
    for number, (_, team) in enumerate(sorted(members.items())):
        for nth in range(1, len(team) + 1):  # whom it meets in the first half, less whom it would meet in the second
            price = pair * ((nth - 1) // shares[0] - (len(team) - nth) // shares[1])
            flow.add_arc_with_capacity_and_unit_cost(0, node("club", number), 1, price)
        for seed in team:
            tier = drawn.tier[seed]
            price = _price(seed, here.get(tier, ())) - _price(seed, there.get(tier, ()))
            arc = flow.add_arc_with_capacity_and_unit_cost(node("club", number), node("tier", tier), 1, price)
            arcs[arc] = seed
    for tier, places in sorted(here.items()):
        flow.add_arc_with_capacity_and_unit_cost(node("tier", tier), 1, len(places), 0)
    flow.set_node_supply(0, len(own))
    flow.set_node_supply(1, -len(own))
    status = flow.solve()
    assert status == flow.OPTIMAL, "every tier has as many seeds as places"
    return {seed for arc, seed in arcs.items() if flow.flow(arc)}


def _by_tier(drawn: Drawing, cells: Sequence[Cell]) -> dict[int, list[int]]:
    found: dict[int, list[int]] = {}
    for cell in cells:
        for place in cell:
            found.setdefault(drawn.tier[place], []).append(place)
    return found


def _price(seed: int, places: Sequence[int]) -> int:
    """Of standing in one of these places; more than all else where there is none."""
    if not places:
        return 10 * MOVE
    return min(_move(seed, place) for place in places)


def _exchanged(blocks: "_Blocks") -> "_Blocks":
    """Two seeds of a tier change places wherever parties then meet later, or as late and fewer seeds move less far."""
    tiers: dict[int, list[int]] = {}
    for place in sorted(blocks.drawn.tier):
        tiers.setdefault(blocks.drawn.tier[place], []).append(place)
    pairs = [pair for places in tiers.values() for pair in combinations(places, 2)]
    while any(blocks.several):
        better = False
        for one, other in pairs:
            if blocks.concern(one, other) and _helps(blocks.change(one, other)):
                blocks.exchange(one, other)
                better = True
        if not better and not (len(blocks.placed) <= TWO_AT_ONCE and _two_exchanged(blocks, pairs)):
            break
    return blocks


def _two_exchanged(blocks: "_Blocks", pairs: Sequence[tuple[int, int]]) -> bool:
    """Make the first two exchanges that help together, where none helps alone."""
    for first in pairs:
        change = list(blocks.change(*first))
        blocks.exchange(*first)
        for second in pairs:
            if _helps(a + b for a, b in zip(change, blocks.change(*second), strict=True)):
                blocks.exchange(*second)
                return True
        blocks.exchange(*first)
    return False


def _helps(change: Iterable[int]) -> bool:
    """What comes first decides, so the rest is not worked out."""
    return next((step for step in change if step), 0) < 0


class _Blocks:
    """How many of each party stand in each half, quarter and so on, or in each heat."""

    def __init__(self, drawn: Drawing, parties: Sequence[Sequence[str]], placed: dict[int, int]) -> None:
        self.drawn, self.parties, self.placed = drawn, parties, placed
        self.blocks = {place: _blocks(drawn, at) for at, cell in enumerate(drawn.cells) for place in cell}
        self.several = [{name for name, times in Counter(party).items() if times > 1} for party in parties]
        self.held = [Counter[tuple[tuple[int, int], str]]() for _ in parties]
        for place in placed:
            self._note(place, 1)

    @property
    def worth(self) -> list[int]:
        """Pairs of the first party in the halves, in the quarters and so on, then of the next one; then the moves."""
        levels = []
        for held in self.held:
            pairs = Counter[int]()
            for ((level, _), _), number in held.items():
                pairs[level] += number * (number - 1)
            levels += [pairs[level] for level in sorted(pairs)]
        return [*levels, sum(_move(seed, place) for place, seed in self.placed.items())]

    def concern(self, *places: int) -> bool:
        """Whether anybody there has others of a party in the drawing."""
        return any(
            party[self.placed[place] - 1] in several
            for party, several in zip(self.parties, self.several, strict=True)
            for place in places
        )

    def change(self, one: int, other: int) -> Iterator[int]:
        """What an exchange adds to half the worth of each level, then to the moves."""
        for party, held in zip(self.parties, self.held, strict=True):
            own, theirs = party[self.placed[one] - 1], party[self.placed[other] - 1]
            for here, there in zip(self.blocks[one], self.blocks[other], strict=True):
                apart = here != there and own != theirs  # pairs in the blocks that are left and that are come to
                left = 1 - held[here, own] + 1 - held[there, theirs]
                yield left + held[there, own] + held[here, theirs] if apart else 0
        first, second = self.placed[one], self.placed[other]
        yield _move(first, other) + _move(second, one) - _move(first, one) - _move(second, other)

    def exchange(self, one: int, other: int) -> None:
        """Do it."""
        for place in (one, other):
            self._note(place, -1)
        self.placed[one], self.placed[other] = self.placed[other], self.placed[one]
        for place in (one, other):
            self._note(place, 1)

    def _note(self, place: int, times: int) -> None:
        for party, held in zip(self.parties, self.held, strict=True):
            for block in self.blocks[place]:
                held[block, party[self.placed[place] - 1]] += times


def _move(seed: int, place: int) -> int:
    return MOVE + abs(seed - place) if seed != place else 0


def _blocks(drawn: Drawing, at: int) -> list[tuple[int, int]]:
    """Where the cell at this place meets others: its half, its quarter and so on as (level, first cell), or itself."""
    found, start, size = [], 0, len(drawn.cells)
    for level in range((size - 1).bit_length()):
        half = size // 2
        start, size = (start, half) if at < start + half else (start + half, size - half)
        found.append((level, start))
    return found if drawn.halves else [(0, at)]
