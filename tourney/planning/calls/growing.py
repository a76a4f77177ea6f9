"""How many items more a list would need, where someone writes the list herself: the last of the cures."""

from collections.abc import Callable, Mapping
from dataclasses import replace
from math import ceil

from tourney.canon.books import BOOKS
from tourney.canon.syllabus import Item, Syllabus
from tourney.model.event import Division

BUILT_IN = {book.id for book in BOOKS}
MOST = 4  # times the calls that are heard without an item twice: a list that is so long and still too short stays so

Works = Callable[[Division, Syllabus], bool]


def growth(division: Division, syllabus: Syllabus, works: Works) -> str | None:
    """Items to be added to sections, in words, each number as small as the others let it be; None when none help.

    Tried with items of middling difficulty at the end of each section.
    """
    rule = division.sections
    if rule == "by_size" or all(item.id in BUILT_IN for item in syllabus.items):
        return None
    there = [item.section for item in syllabus.allowed(division.name, division.first_last)]
    weight = {key: 1.0 if rule == "equal" else rule.get(key, 0.0) for key in syllabus.sections}
    whole = sum(weight.values()) or 1.0

    def enough(more: Mapping[str, int]) -> bool:
        return works(division, _longer(syllabus, more))

    def shared_out(items: int) -> dict[str, int]:
        """What sections lack of their shares of so many items."""
        return {key: max(0, ceil(items * part / whole) - there.count(key)) for key, part in weight.items()}

    most = MOST * division.calls * (1 + (division.no_repeat_gap or 0))
    if not there or not enough(shared_out(most)):
        return None
    more = shared_out(_least(0, most, lambda items: enough(shared_out(items))))
    for key in more:
        more[key] = _least(0, more[key], lambda few, key=key: enough(more | {key: few}))  # type: ignore[misc]
    parts = [f"{few} to {syllabus.section_name(key)} (now {there.count(key)})" for key, few in more.items() if few]
    return f"Add items to the list: {', '.join(parts)}."


def _least(low: int, high: int, enough: Callable[[int], bool]) -> int:
    """The smallest number that is enough, by halving; high is enough."""
    while low < high:
        middle = (low + high) // 2
        low, high = (low, middle) if enough(middle) else (middle + 1, high)
    return high


def _longer(syllabus: Syllabus, more: Mapping[str, int]) -> Syllabus:
    """The list with so many items more at the end of each section."""
    bits = sorted(item.difficulty for item in syllabus.items)[len(syllabus.items) // 2]
    last = {item.section: item.id for item in syllabus.items}
    items: list[Item] = []
    for item in syllabus.items:
        items.append(item)
        if item.id == last[item.section]:
            names = (f"{item.section} {number}" for number in range(more.get(item.section, 0)))
            items += [Item(name, name, item.section, bits) for name in names]
    return replace(syllabus, items=tuple(items))
