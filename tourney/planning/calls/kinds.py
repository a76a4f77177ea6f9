"""Kinds of call: what is said aloud, and what is answered, part by part.

A kind is a function of the syllabus and an item. Neighbours come from the list, places and texts from its own rows:
no verse text is part of this program.
"""

from collections.abc import Callable

from tourney.canon.syllabus import Syllabus
from tourney.model.calls import Call

Answer = Callable[[Syllabus, str], tuple[str, ...]]


def between_neighbours(syllabus: Syllabus, item: str) -> tuple[str, ...]:
    """The item before, the item, the item after."""
    return syllabus.answer(item)


def place(syllabus: Syllabus, item: str) -> tuple[str, ...]:
    """Where it was found: the item's name."""
    return (syllabus.item(item).name,)


def ending_and_place(syllabus: Syllabus, item: str) -> tuple[str, ...]:
    """How the text goes on, and where it was found."""
    return (syllabus.item(item).ending, *place(syllabus, item))


ANSWERS: dict[str, Answer] = {
    "book": between_neighbours,
    "reference": place,
    "story": place,
    "finish": ending_and_place,
}


def call_of(syllabus: Syllabus, number: int, key: str) -> Call:
    """An item as a call. What is said is its own words where it has some, else its name."""
    item = syllabus.item(key)
    return Call(
        no=number,
        kind=item.kind,
        item=key,
        section=item.section,
        difficulty=round(item.difficulty, 3),
        say=item.say or item.name,
        answer=ANSWERS[item.kind](syllabus, key),
        also=syllabus.also(key),
    )
