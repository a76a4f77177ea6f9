"""Spare calls for a set: when a call goes wrong, like replaces like."""

from collections.abc import Collection, Sequence
from random import Random

from tourney.model.calls import BAND
from tourney.planning.calls.pool import Pool

RESERVES = 3


def draw_reserves(pool: Pool, chosen: Sequence[int], heard: Collection[int], random: Random) -> tuple[int, ...]:
    """Three items that are not in the set, each fit to replace some call of it: of its section and kind, about as hard.

    Of these, first those of sections without a spare, then those that are no neighbours of the set's calls and not
    heard just before or after (`heard`), then those that can replace most calls. Fewer where the sections are used up.
    """
    sections = {pool.section[item] for item in chosen}
    free = [item for item in range(len(pool.items)) if pool.section[item] in sections and item not in chosen]
    random.shuffle(free)
    spare: list[int] = []
    while free and len(spare) < RESERVES:
        spare.append(min(free, key=lambda item: _price(pool, item, chosen, heard, spare)))
        free.remove(spare[-1])
    return tuple(spare)


def _price(
    pool: Pool, item: int, chosen: Sequence[int], heard: Collection[int], spare: Sequence[int]
) -> tuple[bool, bool, bool, bool, int]:
    """Fit for nothing; of a section that has a spare; a neighbour of what may be called; heard lately; fit for few."""
    fit = sum(_like(pool, item, other) for other in chosen)
    near = any(other in chosen or other in spare for other in pool.near[item])
    again = pool.section[item] in {pool.section[other] for other in spare}
    return not fit, again, near, item in heard, -fit


def _like(pool: Pool, one: int, other: int) -> bool:
    same = (pool.section[one], pool.items[one].kind) == (pool.section[other], pool.items[other].kind)
    return same and abs(pool.bits[one] - pool.bits[other]) <= BAND
