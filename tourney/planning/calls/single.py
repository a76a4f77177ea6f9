"""One more set beside those of the rotation: for finals, a drill-off, a reserve or practice."""

from collections.abc import Collection, Sequence
from random import Random

from tourney.planning.calls.assembly import NEIGHBOUR, NoRoom
from tourney.planning.calls.balance import LEAST_GAIN, Balance, Profile
from tourney.planning.calls.board import Board
from tourney.planning.calls.exact import APART
from tourney.planning.calls.ordering import close_by
from tourney.planning.calls.pool import Counts, Pool
from tourney.planning.calls.selection import select

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

    taken: sets of items that it must not equal. Of a few drawn starts the one closest to the profile is kept.
    NoRoom: none found.
    """
    weight = [sum(item in held for held in heard) for item in range(len(pool.items))]
    found: list[tuple[int, float, tuple[int, ...]]] = []
    for _ in range(STARTS):
        prices = [HEARD * times + random.random() for times in weight]
        start = select(pool, counts, prices, NEIGHBOUR)
        # The sets heard stand beside it, so that no change brings one of their items in.
        board = Board(pool, [start, *heard], len(heard))
        state = Balance(board, profile)
        state.uses = [int(item in start) for item in range(len(pool.items))]
        while (best := state.bench(0))[0] > LEAST_GAIN:
            state.carry_out(0, best[1], best[2])
        chosen = tuple(sorted(board.sets[0]))
        if frozenset(chosen) not in taken and Board(pool, [chosen], 0).orderly:
            # Of few calls no two can be far apart, so none may sound alike.
            alike = close_by(chosen, pool.alike) if len(chosen) <= APART else 0
            found.append((alike, state.cost(0), chosen))
            if not alike and not state.off(0):
                break
    if not found:
        raise NoRoom(proven=False)
    return min(found)[2]
