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
    held: dict[int, list[int]] = {}
    for item in chosen:
        held.setdefault(pool.section[item], []).append(item)
    free = [item for section in sorted(held) for item in pool.members[section] if item not in held[section]]
    random.shuffle(free)
    fit = {item: sum(_like(pool, item, other) for other in held[pool.section[item]]) for item in free}
    spare: list[int] = []
    while free and len(spare) < RESERVES:
        called, spared = {*chosen, *spare}, {pool.section[other] for other in spare}
        # Fit for nothing; of a section that has a spare; a neighbour of what may be called; heard lately; fit for few.
        prices = [
            (
                not fit[item],
                pool.section[item] in spared,
                not called.isdisjoint(pool.near[item]),
                item in heard,
                -fit[item],
            )
            for item in free
        ]
        spare.append(free.pop(prices.index(min(prices))))
    return tuple(spare)


def _like(pool: Pool, one: int, other: int) -> bool:
    """Of the same kind and about as hard."""
    return pool.items[one].kind == pool.items[other].kind and abs(pool.bits[one] - pool.bits[other]) <= BAND
