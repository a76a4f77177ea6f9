"""The frame of a score sheet, by its hidden tags: whose it is, which row is which line, which column which call."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

from tourney.intake.grid import Grid, Place
from tourney.intake.marks import plain
from tourney.model.sheet import LETTERS
from tourney.model.sheet_layout import (
    IDENTITY_PREFIX,
    INITIALS_TAG,
    JUDGED_TAG,
    POINTS,
    SheetIdentity,
    parse_identity,
    total_tag,
)

_FRESH = "Copy the marks onto a fresh sheet."


class Refused(Exception):
    """Why a sheet can't be taken, in a sentence or two for the person who handed it in."""


@dataclass(frozen=True)
class Frame:
    """Where everything is. lines: number -> row; calls: number -> column; both by number from 1 without a gap.

    tags: column of the hidden tags. judged: row of the ticks. initials: the cell for them, None when it is gone.
    contestants: ids by line number. totals: row of a line -> a letter or POINTS -> the cell for its total.
    gone: row -> id of a contestant who was in the line when the sheet was printed, and has left it since.
    """

    identity: SheetIdentity
    tags: int
    lines: dict[int, int]
    calls: dict[int, int]
    judged: int
    initials: Place | None
    contestants: tuple[str, ...]
    totals: dict[int, dict[str, Place]]
    gone: dict[int, str] = field(default_factory=dict)

    def strays(self, grid: Grid) -> Iterator[Place]:
        """Cells with something in them in rows or columns that were put in between the lines and calls."""
        rows, columns = sorted(self.lines.values()), sorted(self.calls.values())
        for row in (row for row in range(rows[0], rows[-1] + 1) if row not in self.gone):
            for column in range(columns[0], columns[-1] + 1):
                known = row in (*rows, self.judged) and column in columns
                if not known and plain(grid.at((row, column))):
                    yield row, column


def find_frame(grid: Grid) -> Frame | None:
    """The frame of a sheet, None for a sheet of another kind. Refused when it is a score sheet out of joint."""
    if grid.trouble:
        raise Refused(f"This sheet {grid.trouble.message} {grid.trouble.hint}")
    corners = [
        (row, column)
        for row, values in enumerate(grid.rows)
        for column, value in enumerate(values)
        if isinstance(value, str) and value.startswith(IDENTITY_PREFIX)
    ]
    if not corners:
        return None
    identity = parse_identity(grid.at(corners[0]))
    if identity is None:
        raise Refused(f"The hidden first cell of this sheet was changed, so nobody can tell whose it is. {_FRESH}")
    if len(corners) > 1:
        raise Refused("Two score sheets were put into one. Fill each on a sheet of its own.")
    top, left = corners[0]
    columns = {column: plain(value) for column, value in enumerate(grid.rows[top]) if column != left}
    rows = {row: plain(grid.at((row, left))) for row in range(len(grid.rows)) if row != top}
    calls = _numbered(columns, "call")
    lines = _numbered(rows, "line")
    judged = _only(rows, JUDGED_TAG)
    if judged is None:
        raise Refused(f"The row for the ticks is gone from this sheet. {_FRESH}")
    _agrees(grid, top, left, lines, calls)
    signed, beside = _only(rows, INITIALS_TAG), _only(columns, INITIALS_TAG)
    return Frame(
        identity,
        left,
        {number: row for number, (row, _) in lines.items()},
        {number: column for number, (column, _) in calls.items()},
        judged,
        None if signed is None or beside is None else (signed, beside),
        tuple(contestant for _, contestant in lines.values()),
        _totals(rows, columns, lines, calls),
    )


def _totals(
    rows: dict[int, str], columns: dict[int, str], lines: dict[int, tuple[int, str]], calls: dict[int, tuple[int, str]]
) -> dict[int, dict[str, Place]]:
    """The cells for totals: beside the boxes in columns of their own, or beneath them, line 1 under call 1."""
    found: dict[int, dict[str, Place]] = {}
    for what in (*LETTERS, POINTS):
        column, row = _only(columns, total_tag(what)), _only(rows, total_tag(what))
        for number, (line_row, _) in lines.items():
            if column is not None:
                found.setdefault(line_row, {})[what] = line_row, column
            elif row is not None and number in calls:
                found.setdefault(line_row, {})[what] = row, calls[number][0]
    return found


def _numbered(tags: dict[int, str], word: str) -> dict[int, tuple[int, str]]:
    """Number -> index and the rest of the tag, in order. Refused unless each of 1, 2, 3 ... is there once."""
    found: dict[int, tuple[int, str]] = {}
    for index, tag in tags.items():
        first, _, rest = tag.partition(" ")
        number, _, further = rest.partition(" ")
        if first != word or not (number.isdecimal() and number.isascii()):
            continue
        if int(number) in found:
            raise Refused(f"{word.capitalize()} {int(number)} stands on this sheet twice. {_FRESH}")
        found[int(number)] = index, further
    missing = next(number for number in range(1, len(found) + 2) if number not in found)
    if missing <= max(found, default=1):
        raise Refused(f"{word.capitalize()} {missing} is gone from this sheet. {_FRESH}")
    return dict(sorted(found.items()))


def _only(tags: dict[int, str], wanted: str) -> int | None:
    places = [index for index, tag in tags.items() if tag == wanted]
    if len(places) > 1:
        raise Refused(f"A row or column of this sheet was copied. {_FRESH}")
    return places[0] if places else None


def _agrees(
    grid: Grid, top: int, left: int, lines: dict[int, tuple[int, str]], calls: dict[int, tuple[int, str]]
) -> None:
    """Refused where the numbers that people see stand beside other hidden tags than theirs.

    That happens when the visible part alone was sorted or moved: each mark would then go to somebody else.
    """
    rows, columns = [row for row, _ in lines.values()], [column for column, _ in calls.values()]
    by_line = ([grid.at((row, column)) for row in rows] for column in range(left + 1, min(columns)))
    by_call = ([grid.at((row, column)) for column in columns] for row in range(top + 1, min(rows)))
    if any(map(_displaced, (*by_line, *by_call))):
        raise displaced()


def displaced() -> Refused:
    """The reason for a sheet whose visible part does not stand where its hidden tags say."""
    return Refused(f"A part of this sheet was sorted or moved without the rest. Undo that, or else: {_FRESH}")


def _displaced(values: Sequence[object]) -> bool:
    """Are most of these the numbers from 1 on, and one of them not in its place."""
    own = {str(number): number for number in range(1, len(values) + 1)}
    numbers = [own.get(plain(value)) if value != "" else None for value in values]
    seen = [number for number in numbers if number]
    if len(set(seen)) * 2 <= len(values):
        return False
    return any(number and number != place for place, number in enumerate(numbers, 1))
