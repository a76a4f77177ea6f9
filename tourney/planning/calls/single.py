"""One more set beside those of the rotation: for finals, a drill-off, a reserve or practice."""

from collections.abc import Collection, Iterator, Sequence
from random import Random

import numpy as np

from tourney.planning.calls.assembly import NEIGHBOUR, NoRoom
from tourney.planning.calls.balance import Balance
from tourney.planning.calls.board import Board
from tourney.planning.calls.exact import APART, another_set
from tourney.planning.calls.pool import Counts, Pool
from tourney.planning.calls.profile import Profile
from tourney.planning.calls.selection import select
from tourney.planning.calls.sequence import close_by

STARTS = 8
HEARD = 1e3  # price of an item that was heard just before, against what is drawn


def draw_single(
    pool: Pool,
    counts: Counts,
    heard: Sequence[Collection[int]],
    taken: Collection[frozenset[int]],
    profile: Profile,
    random: Random,
) -> tuple[int, ...]:
    """Items with these calls a section, as few neighbours as can be, then as little of `heard` as can be.

    taken: sets of items that it must not equal. Of a few drawn starts the one closest to the profile is kept; where
    these lead to none, CP-SAT finds one or proves that there is none. NoRoom: then.
    """
    prices = [HEARD * any(item in held for held in heard) for item in range(len(pool.items))]
    found: list[tuple[int, float, tuple[int, ...]]] = []
    alike_now: set[int] = set()  # of what was found: to be avoided even for what was heard
    for _ in range(STARTS):
        drawn = [price + random.random() + 2 * HEARD * (item in alike_now) for item, price in enumerate(prices)]
        start = select(pool, counts, drawn, NEIGHBOUR)
        # The sets heard stand beside it, so that no change brings one of their items in.
        state = Balance(Board(pool, [start, *heard], len(heard)), profile)
        for chosen in _nearer_and_nearer(state):
            if frozenset(chosen) not in taken and Board(pool, [chosen], 0).orderly:
                # Of few calls no two can be far apart, so none may sound alike.
                alike = close_by(chosen, pool.alike) if len(chosen) <= APART else 0
                found.append((alike, float(state.costs[0]), chosen))
        if found and not min(found)[0] and not state.off[0]:
            break
        if found and min(found)[0]:
            chosen = min(found)[2]
            alike_now.add(random.choice([item for item in chosen if not pool.alike[item].isdisjoint(chosen)]))
    if found:
        return min(found)[2]
    answer = another_set(pool, counts, prices, taken, random.randrange(2**31))
    if answer.sets is None:
        raise NoRoom(answer.proven)
    return answer.sets[0]


def _nearer_and_nearer(state: Balance) -> Iterator[tuple[int, ...]]:
    """The items of a board's first set, and again after each replacement that brings it nearer to the profile."""
    held = state.board.sets[0]
    state.uses = state.held[0].astype(np.int64)  # those that it holds are to give way to any other
    while True:
        yield tuple(sorted(held))
        move = state.bench(0)
        if move.gain <= 0:
            return
        state.carry_out(0, move)
