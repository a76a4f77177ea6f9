"""How hard a book is to find before any result is known."""

from math import log2

OPENINGS = (0.0, 0.25, 0.5, 0.75, 1.0)


def search_index(distance: float, width: float) -> float:
    """Fitts' index of difficulty in Shannon's form, log2(D/W + 1), in bits.

    distance, width: in one unit, width above 0. MacKenzie, Journal of Motor Behavior 21 (1989) 323-330.
    """
    return log2(distance / width + 1)


def search_indexes(sizes: list[int]) -> list[float]:
    """Index in bits of each stretch of a text, from the stretches' sizes in order (verses of each book).

    Width is a stretch's share of the whole; distance runs from its centre to the nearest of the places where a closed
    book is opened: its ends, the middle, and the middle of each half (common practice, no source).
    """
    whole, before, found = sum(sizes), 0, []
    for size in sizes:
        centre = (before + size / 2) / whole
        found.append(search_index(min(abs(centre - opening) for opening in OPENINGS), size / whole))
        before += size
    return found
