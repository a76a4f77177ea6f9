"""Where to open a closed book to find an item: the nearest of five places, then how many items to the left or right."""

from dataclasses import dataclass
from itertools import accumulate

from tourney.canon.books import BOOKS
from tourney.canon.difficulty import OPENINGS
from tourney.canon.syllabus import Syllabus


@dataclass(frozen=True, slots=True)
class Opening:
    """place: of OPENINGS, from 0 at the front to 4 at the back. lands: id of the item that lies open there.

    steps: items from there to the right, negative to the left, 0 when it lies open already.
    """

    place: int
    lands: str
    steps: int


def by_text(syllabus: Syllabus) -> bool:
    """Whether the list is the 66 books in their order, whose lengths are known; any other list goes by position."""
    return [item.id for item in syllabus.items] == [book.id for book in BOOKS]


def openings(syllabus: Syllabus) -> dict[str, Opening]:
    """Item id -> where to open for it: the place from which fewest items are counted, level ones by length of text.

    The five places are those of the search index (common practice, no source). Which item lies open at each is worked
    out from the lengths of the books.
    """
    sizes = [book.verses for book in BOOKS] if by_text(syllabus) else [1] * len(syllabus.items)
    ends = list(accumulate(sizes))
    lands = [_open_at(opening * ends[-1], ends) for opening in OPENINGS]
    found = {}
    for place, (item, size, end) in enumerate(zip(syllabus.items, sizes, ends, strict=True)):
        centre = (end - size / 2) / ends[-1]
        distances = [(abs(place - land), abs(centre - at)) for land, at in zip(lands, OPENINGS, strict=True)]
        nearest = distances.index(min(distances))
        found[item.id] = Opening(nearest, syllabus.items[lands[nearest]].id, place - lands[nearest])
    return found


def _open_at(position: float, ends: list[int]) -> int:
    """Which item holds this position of the text; the very end belongs to the last one."""
    return next((place for place, end in enumerate(ends) if position < end), len(ends) - 1)
