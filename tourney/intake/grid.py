"""A sheet as it came back: values by row and column, and which of them can't be taken at their word."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace

# Places beyond these are refused; a whole day's entries in one table have some 10,000 rows.
MOST_ROWS, MOST_COLUMNS = 20_000, 1_000
MOST_BYTES = 20_000_000  # of a file
MOST_SHEETS = 1_000  # of a workbook; a room has some 100 in a long day
MOST_CELLS = 2_000_000  # of a workbook; a score sheet has some 800
SAVE_AGAIN = "Open it in a spreadsheet program, save it once more and hand that in."

Place = tuple[int, int]  # row and column, both from 0


class Unreadable(Exception):
    """Why a file or a sheet can't be read. message goes on from its name, "is empty."; hint says what would help."""

    def __init__(self, message: str, hint: str = SAVE_AGAIN) -> None:
        super().__init__(message, hint)
        self.message = message
        self.hint = hint


@dataclass(frozen=True)
class Grid:
    """One sheet. rows: values from A1 on, "" where nothing is. trouble: why the sheet can't be read, else None.

    doubts: what is odd about a cell, such as "holds a formula". merged: first and last cell of joined cells.
    comments: what somebody hung on a cell. formulas_known: False where a value may be a formula's and nobody can tell.
    """

    name: str
    rows: Sequence[Sequence[object]] = ()
    doubts: Mapping[Place, str] = field(default_factory=dict)
    merged: Sequence[tuple[Place, Place]] = ()
    comments: Mapping[Place, str] = field(default_factory=dict)
    visible: bool = True
    trouble: Unreadable | None = None
    formulas_known: bool = True

    def at(self, place: Place) -> object:
        """The value of a cell, "" outside of what is filled."""
        row, column = place
        return self.rows[row][column] if row < len(self.rows) and column < len(self.rows[row]) else ""

    def near(self, rows: Iterable[int], columns: Iterable[int]) -> "Grid":
        """The same, without joined cells that lie all above, below or beside these rows and columns."""
        top, bottom, left, right = min(rows), max(rows), min(columns), max(columns)
        touching = [
            ((up, start), (down, end))
            for (up, start), (down, end) in self.merged
            if up <= bottom and down >= top and start <= right and end >= left
        ]
        return replace(self, merged=touching)

    def doubt(self, place: Place) -> str:
        """What is odd about a cell; empty for an ordinary one."""
        row, column = place
        for (top, left), (bottom, right) in self.merged:
            if top <= row <= bottom and left <= column <= right:
                return "is joined with other cells"
        return self.doubts.get(place, "")


FORMULA, ERROR = "holds a formula", "shows an error"  # the doubts there are, beside joined cells
TYPED = (
    "TRUE()",
    "FALSE()",
)  # no formulas to anybody: what free office programs make of the typed words when they save


def cell_name(place: Place) -> str:
    """Such as F9."""
    row, column = place
    return f"{column_letters(column + 1)}{row + 1}"


def column_letters(number: int) -> str:
    """A for 1, AA for 27."""
    letters = ""
    while number:
        number, rest = divmod(number - 1, 26)
        letters = chr(ord("A") + rest) + letters
    return letters


def column_number(letters: str) -> int:
    """1 for A, 27 for AA."""
    number = 0
    for letter in letters:
        number = number * 26 + ord(letter) - ord("A") + 1
    return number


def check_near(place: Place) -> None:
    """Unreadable when something stands far outside of any table."""
    if place[0] >= MOST_ROWS or place[1] >= MOST_COLUMNS:
        raise Unreadable(
            f"has something far away from the rest, in cell {cell_name(place)}.", "Delete it there and save again."
        )


def damaged() -> Unreadable:
    """The reason for whatever is broken."""
    return Unreadable("is damaged or cut short.")


def locked() -> Unreadable:
    """The reason for a workbook under a password."""
    return Unreadable("has a password.", "Open it, take the password off, save it and hand that in.")


def too_large() -> Unreadable:
    """The reason for whatever would take too much time or memory."""
    return Unreadable("is far larger than it should be.", "Is it the right one? If it is, fill a fresh copy.")
