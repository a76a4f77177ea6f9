"""Spare calls for a set: when a call goes wrong, like replaces like."""

from collections.abc import Collection, Sequence
from random import Random

from tourney.planning.calls.pool import Pool

RESERVES = 3


def draw_reserves(pool: Pool, chosen: Sequence[int], heard: Collection[int], random: Random) -> tuple[int, ...]:
    """Three items that are not in the set, of the sections with most calls, where a mishap is likeliest.

    Each is as hard as some call of its section in the set; neighbours of the set's calls, and items of the sets heard
    just before or after (`heard`), are taken only where nothing else is left. Fewer where the sections are used up.
    """
    wanted = pool.counts(chosen)
    sections = [n for n, calls in enumerate(wanted) if calls]
    random.shuffle(sections)
    sections.sort(key=lambda section: -wanted[section])
    spare: list[int] = []
    for _ in range(RESERVES):
        for section in sections:
            free = [item for item in pool.members[section] if item not in chosen and item not in spare]
            if free:
                like = [pool.bits[item] for item in chosen if pool.section[item] == section]
                spare.append(min(free, key=lambda item: _price(pool, item, {*chosen, *spare}, heard, like)))
                sections.remove(section)
                sections.append(section)  # the others have their turn first
                break
    return tuple(spare)


def _price(
    pool: Pool, item: int, chosen: Collection[int], heard: Collection[int], like: Sequence[float]
) -> tuple[bool, bool, float, int]:
    """Neighbour of the set, heard lately, distance in bits from the most similar call."""
    near = any(other in chosen for other in pool.near[item])
    return near, item in heard, min(abs(pool.bits[item] - bits) for bits in like), item
