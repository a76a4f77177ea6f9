"""The list of what may be called, as the re-check sees it: rows, and what follows from their order alone."""

from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property
from typing import NamedTuple


class Row(NamedTuple):
    """One item. position: neighbours have the next lower and the next higher one. divisions: empty means all.

    names: the first is its own. say: what is called. ending: of a text to finish. bits: how hard it is to find.
    """

    id: str
    section: str
    position: int
    names: tuple[str, ...]
    kind: str
    divisions: tuple[str, ...]
    say: str
    ending: str
    bits: float


@dataclass(frozen=True)
class Listing:
    """All rows, and the groups of ids that sound alike."""

    rows: tuple[Row, ...]
    alike: tuple[tuple[str, ...], ...] = ()

    @cached_property
    def ordered(self) -> tuple[Row, ...]:
        """Rows by position."""
        return tuple(sorted(self.rows, key=lambda row: row.position))

    @cached_property
    def place(self) -> dict[str, int]:
        """Id -> place in the order, from 0."""
        return {row.id: place for place, row in enumerate(self.ordered)}

    @cached_property
    def row(self) -> dict[str, Row]:
        """Rows by id."""
        return {row.id: row for row in self.rows}

    @cached_property
    def sections(self) -> tuple[str, ...]:
        """Sections in the order in which they first come."""
        return tuple(dict.fromkeys(row.section for row in self.ordered))

    def beside(self, key: str) -> tuple[Row | None, Row | None]:
        """The rows before and after an item."""
        at = self.place[key]
        return (
            self.ordered[at - 1] if at else None,
            self.ordered[at + 1] if at + 1 < len(self.ordered) else None,
        )

    def neighbours(self, one: str, other: str) -> bool:
        """Whether two items give each other's answer away."""
        return abs(self.place[one] - self.place[other]) == 1

    def callable(self, division: str, first_last: str) -> tuple[Row, ...]:
        """Rows that a division may hear; first_last = "leave_out": neither end of the list."""
        inner = self.ordered[1:-1] if first_last == "leave_out" else self.ordered
        return tuple(row for row in inner if not row.divisions or division in row.divisions)

    def sound_alike(self, one: str, other: str) -> bool:
        """Whether two items are in one group of names that sound alike."""
        return any(one in group and other in group for group in self.alike)


def names_of(rows: Iterable[Row]) -> set[str]:
    """Every name of these rows, without capitals and doubled blanks."""
    return {plain(name) for row in rows for name in row.names}


def plain(name: str) -> str:
    """A name for comparing."""
    return " ".join(name.casefold().split())
