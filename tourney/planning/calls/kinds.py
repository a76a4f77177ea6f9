"""Kinds of call: what is said aloud, and what is answered."""

from collections.abc import Callable

from tourney.canon.syllabus import Syllabus

Answer = Callable[[Syllabus, str], tuple[str, ...]]  # of an item, part by part


def between_neighbours(syllabus: Syllabus, item: str) -> tuple[str, ...]:
    """The item before, the item, the item after."""
    return syllabus.answer(item)


def name_alone(syllabus: Syllabus, item: str) -> tuple[str, ...]:
    """The item's own name."""
    return (syllabus.item(item).name,)


ANSWERS: dict[str, Answer] = {
    "book": between_neighbours,
    "reference": name_alone,
    "story": name_alone,
    "finish": name_alone,
}
