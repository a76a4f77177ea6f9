"""A set more, once the others are sealed: for heats that move after their set was heard, or for a set that leaked.

The sealed sets stay as they are, so the new one is fitted among them: calls a section as its round has them, no item
back too soon, the items of a section used as evenly as can be, as hard as the others.
"""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, replace

from tourney.canon.syllabus import Syllabus
from tourney.draw import Draw
from tourney.errors import Refusal
from tourney.model.calls import CallSet
from tourney.model.event import Division
from tourney.planning.calls.assembly import NEIGHBOUR, REPEAT, USE
from tourney.planning.calls.balance import Balance, profile_of
from tourney.planning.calls.board import Board
from tourney.planning.calls.draw import call_set_of
from tourney.planning.calls.need import Row, SetNeed
from tourney.planning.calls.ordering import close_by, order_calls, runs
from tourney.planning.calls.pool import pool_of
from tourney.planning.calls.reserves import draw_reserves
from tourney.planning.calls.selection import fewest_neighbours, select
from tourney.planning.calls.terms import DEFAULT_GAP

STARTS = 24  # drawn choices among the items that fit equally well; the one as hard as the others is kept
KNOWN = 100.0  # price of an item of a set that leaked, against what is drawn


@dataclass(frozen=True)
class Sealed:
    """The sets of one division that are sealed already, among which new ones are fitted."""

    division: Division
    syllabus: Syllabus
    sets: tuple[CallSet, ...]

    def further(self, need: SetNeed, like: CallSet, leaked: Sequence[CallSet], draw: Draw) -> CallSet:
        """One more set, with the calls a section of `like`. leaked: sets that it shares as little with as it can.

        Refusal when none is found that keeps neighbours apart and differs from every other set.
        """
        pool = pool_of(self.syllabus, self.division)
        place = {item.id: number for number, item in enumerate(pool.items)}

        def items(found: CallSet) -> tuple[int, ...]:
            return tuple(place[call.item] for call in found.calls if call.item in place)

        stream = draw.stream("calls", self.division.name, "further", need.id)
        beside = [frozenset(items(found)) for found in self._beside(need)]
        heard = frozenset[int]().union(*beside)
        uses = Counter(item for found in self._rotation() for item in items(found))
        known = {item for found in leaked for item in items(found)}
        prices = [REPEAT * (n in heard) + USE * uses[n] + KNOWN * (n in known) for n in range(len(pool.items))]
        taken = {frozenset(items(found)) for found in (*self.sets, *leaked)}
        counts = pool.counts(items(like))
        others = [items(found) for found in self._rotation()] or [items(like)]
        profile = profile_of(Board(pool, others, 0))
        choices = []
        for _ in range(STARTS if pool.in_blocks else 1):
            chosen = select(pool, counts, [price + stream.random() for price in prices], NEIGHBOUR)
            board = Board(pool, [chosen], 0)
            if frozenset(chosen) not in taken and board.orderly:
                choices.append((Balance(board, profile).cost(0), chosen))
        if not choices:
            raise Refusal(
                f"No further call set was found for {self.division.name} that keeps neighbours apart "
                "and differs from every other set.",
                cures=("Ask for fewer calls in that round.",),
                proven=False,
            )
        known_runs = {run for found in self.sets for run in runs(pool, items(found))}
        row = Row(need, order_calls(pool, min(choices)[1], known_runs, stream), tuple(beside))
        return call_set_of(self.division, self.syllabus, pool, row, draw_reserves(pool, row.items, heard, stream))

    def fits(self, sealed: CallSet, need: SetNeed, like: CallSet) -> bool:
        """May a sealed set that nobody heard step in here: the sections of its round, no item too soon, even use."""
        pool = pool_of(self.syllabus, self.division)
        place = {item.id: number for number, item in enumerate(pool.items)}
        if any(call.item not in place for found in (*self.sets, sealed) for call in found.calls):
            return False
        items = {found.id: frozenset(place[call.item] for call in found.calls) for found in (*self.sets, sealed)}
        row = [place[call.item] for call in sealed.calls]
        others = Board(pool, [items[found.id] for found in self._rotation() if found.id != sealed.id], 0)
        after = Board(pool, [*others.sets, items[sealed.id]], 0)
        sections = range(len(pool.sections))
        return (
            pool.counts(row) == pool.counts([place[call.item] for call in like.calls])
            and not any(items[sealed.id] & items[found.id] for found in self._beside(need) if found.id != sealed.id)
            and all(after.use_spread(n) <= max(1, others.use_spread(n)) for n in sections)
            and pool.neighbours(row) <= fewest_neighbours(pool, pool.counts(row))
            and not close_by(row, pool.near)
        )

    def _rotation(self) -> list[CallSet]:
        """Sets of the rotation in the order in which they are heard."""
        return sorted((found for found in self.sets if found.use == "rotation"), key=lambda found: found.order or 0)

    def _beside(self, need: SetNeed) -> list[CallSet]:
        """Sets that are heard so shortly before or after that no item may be in both."""
        gap = DEFAULT_GAP if self.division.no_repeat_gap is None else self.division.no_repeat_gap
        if need.order is None or not gap:
            return []
        before = [found for found in self._rotation() if (found.order or 0) < need.order]
        after = [found for found in self._rotation() if (found.order or 0) > need.order]
        return [*before[-gap:], *after[:gap]]


def stepping_in(sealed: CallSet, need: SetNeed) -> CallSet:
    """A sealed set under the id and in the place of the one that it stands in for; its calls stay as they are."""
    return replace(sealed, id=need.id, use=need.use, round=need.round, order=need.order)
