"""How single items went: found or not, and how, over all who heard them."""

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from math import sqrt
from statistics import fmean

from tourney.model.heard import Heard
from tourney.review.parts import Part

LEAST = 12  # contestants below whom nothing is said of how well an item tells sure from unsure


@dataclass(frozen=True, slots=True)
class ItemReview:
    """One item. answers: spoken answers that were right, of those asked for.

    telling: correlation of finding it with the part of all other calls that a contestant found; -1 to 1, None where
    too few heard it, or where everybody did alike. Point-biserial, the item itself left out.
    """

    item: str
    section: str
    found: Part
    late: int
    wrong_place: int
    answers: Part
    telling: float | None


def item_reviews(heard: Iterable[Heard]) -> tuple[ItemReview, ...]:
    """Every item that was heard and judged, in the order of ids."""
    known = [one for one in heard if one.found is not None]
    overall: dict[str, list[bool]] = defaultdict(list)
    by_item: dict[str, list[Heard]] = defaultdict(list)
    for one in known:
        overall[one.contestant].append(bool(one.found))
        by_item[one.call.item].append(one)
    made = {child: (sum(found), len(found)) for child, found in overall.items()}
    return tuple(_review(item, own, made) for item, own in sorted(by_item.items()))


def _review(item: str, own: Sequence[Heard], made: Mapping[str, tuple[int, int]]) -> ItemReview:
    words = [one.word or () for one in own]
    pairs = []
    for one in own:
        finds, tries = made[one.contestant]
        if tries > 1:
            pairs.append((float(bool(one.found)), (finds - bool(one.found)) / (tries - 1)))
    return ItemReview(
        item,
        own[0].call.section,
        Part.of(one.found for one in own),
        sum("L" in word for word in words),
        sum("W" in word for word in words),
        Part.of(one.answered for one in own),
        _correlation(pairs) if len(pairs) >= LEAST else None,
    )


def _correlation(pairs: Sequence[tuple[float, float]]) -> float | None:
    first, second = fmean(one for one, _ in pairs), fmean(other for _, other in pairs)
    along = sum((one - first) ** 2 for one, _ in pairs) * sum((other - second) ** 2 for _, other in pairs)
    return sum((one - first) * (other - second) for one, other in pairs) / sqrt(along) if along > 0 else None
