"""An ordered, sectioned list of what may be called; the 66 books are the built-in one."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from functools import cached_property

from tourney.canon.books import BOOKS, COVERAGE, SECTION_NAMES
from tourney.canon.difficulty import search_indexes
from tourney.canon.sound_alikes import SOUND_ALIKES

NOTHING = "none"  # the right answer where an item has no neighbour
ORDINALS = {"1": ("First", "I"), "2": ("Second", "II"), "3": ("Third", "III")}


@dataclass(frozen=True, slots=True)
class Item:
    """One thing that can be called. difficulty: in bits. divisions: where it may be called; empty means all.

    say: what is called where it is not the name, such as the title of a story. ending: how a text to finish ends.
    """

    id: str
    name: str
    section: str
    difficulty: float
    other_names: tuple[str, ...] = ()
    kind: str = "book"
    divisions: tuple[str, ...] = ()
    say: str = ""
    ending: str = ""


@dataclass(frozen=True)
class Syllabus:
    """Items in order. Neighbours come from that order, so an item of any list has them.

    sound_alikes: groups of item ids that are easily taken for each other; ids that are not in the list do no harm.
    """

    items: tuple[Item, ...]
    section_names: tuple[tuple[str, str], ...] = ()
    sound_alikes: tuple[tuple[str, ...], ...] = SOUND_ALIKES

    @cached_property
    def rank(self) -> dict[str, int]:
        """Item id -> its position, from 0: neighbours differ by one."""
        return {item.id: place for place, item in enumerate(self.items)}

    @cached_property
    def sections(self) -> tuple[str, ...]:
        """Section keys in the order in which they first occur."""
        return tuple(dict.fromkeys(item.section for item in self.items))

    def item(self, key: str) -> Item:
        """The item with this id."""
        return self.items[self.rank[key]]

    def section_name(self, key: str) -> str:
        """A section's name for people."""
        return dict(self.section_names).get(key, key.replace("_", " ").title())

    def allowed(self, division: str, first_last: str = "call") -> tuple[Item, ...]:
        """Items that may be called in a division; first_last = "leave_out" drops both ends of the list."""
        inner = self.items[1:-1] if first_last == "leave_out" else self.items
        return tuple(item for item in inner if not item.divisions or division in item.divisions)

    def measured(self, bits: Mapping[str, float]) -> "Syllabus":
        """The list with these difficulties, by id; one below 0 counts as 0, and items left out keep their own."""
        return replace(
            self,
            items=tuple(replace(one, difficulty=max(0.0, bits.get(one.id, one.difficulty))) for one in self.items),
        )

    def answer(self, key: str) -> tuple[str, str, str]:
        """Names of the item before, the item, and the item after."""
        place = self.rank[key]
        before = self.items[place - 1].name if place else NOTHING
        after = self.items[place + 1].name if place + 1 < len(self.items) else NOTHING
        return before, self.items[place].name, after

    def also(self, key: str) -> tuple[str, ...]:
        """Every further name that counts as right."""
        item = self.item(key)
        return tuple(dict.fromkeys((*item.other_names, *_spoken_ordinals((item.name, *item.other_names)))))


def _spoken_ordinals(names: Iterable[str]) -> list[str]:
    """The forms in which a leading number is spoken or printed: 1 Samuel, First Samuel, I Samuel."""
    split = [name.split(" ", 1) for name in names]
    return [f"{form} {words[1]}" for words in split if len(words) == 2 for form in ORDINALS.get(words[0], ())]


def built_in() -> Syllabus:
    """The 66 books in eight coverage sections, with the search index as difficulty."""
    bits = search_indexes([book.verses for book in BOOKS])
    items = tuple(
        Item(book.id, book.name, COVERAGE[book.section], index, book.other_names)
        for book, index in zip(BOOKS, bits, strict=True)
    )
    return Syllabus(items, tuple(SECTION_NAMES.items()))
