"""Where seeds stand in a drawing, by their numbers alone."""


def seed_order(places: int) -> list[int]:
    """Seeds from one end of the drawing to the other, so that the best meet as late as can be. places: a power of 2.

    Each seed is followed by the one that makes a whole of it: 1 8 4 5 2 7 3 6. 1 and 2 meet in the last heat alone.
    """
    order = [1]
    while len(order) < places:
        order = [seed for old in order for seed in (old, 2 * len(order) + 1 - old)]
    return order


def groups(entries: int, size: int) -> list[list[int]]:
    """Seeds of the heats where more than two meet: as even as can be, dealt out to and fro, short lines first."""
    heats = -(-entries // size)
    dealt: list[list[int]] = [[] for _ in range(heats)]
    for row, first in enumerate(range(1, entries + 1, heats)):
        seeds = list(range(first, min(first + heats, entries + 1)))
        back = row % 2 or len(seeds) < heats
        order = range(heats - 1, heats - 1 - len(seeds), -1) if back else range(heats)
        for at, seed in zip(order, seeds, strict=True):
            dealt[at].append(seed)
    return dealt
