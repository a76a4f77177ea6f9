"""A sheet as it came back: values by row and column, and which of them can't be taken at their word."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

MOST_ROWS, MOST_COLUMNS = 500, 200  # a score sheet has at most some 80 of each
DAMAGED = "This workbook is damaged or cut short. Open it, save it once more and hand that in."

Place = tuple[int, int]  # row and column, both from 0


class Unreadable(Exception):
    """Why a file or a sheet can't be read, in a sentence or two for the person who handed it in."""


@dataclass(frozen=True)
class Grid:
    """One sheet. rows: values from A1 on, "" where nothing is. trouble: why the sheet can't be read, else empty.

    doubts: what is odd about a cell, such as "holds a formula". merged: first and last cell of joined cells.
    """

    name: str
    rows: Sequence[Sequence[object]] = ()
    doubts: Mapping[Place, str] = field(default_factory=dict)
    merged: Sequence[tuple[Place, Place]] = ()
    trouble: str = ""

    def at(self, place: Place) -> object:
        """The value of a cell, "" outside of what is filled."""
        row, column = place
        return self.rows[row][column] if row < len(self.rows) and column < len(self.rows[row]) else ""

    def doubt(self, place: Place) -> str:
        """What is odd about a cell; empty for an ordinary one."""
        row, column = place
        for (top, left), (bottom, right) in self.merged:
            if top <= row <= bottom and left <= column <= right:
                return "is joined with other cells"
        return self.doubts.get(place, "")


def cell_name(place: Place) -> str:
    """Such as F9."""
    row, column = place
    letters = ""
    column += 1
    while column:
        column, rest = divmod(column - 1, 26)
        letters = chr(ord("A") + rest) + letters
    return f"{letters}{row + 1}"


def far_away(place: Place) -> str:
    """The sentence for something that lies outside of any score sheet."""
    return (
        f"Something stands far outside of the score sheet, in cell {cell_name(place)}. Delete it there and save again."
    )
