"""A score sheet that a judge filled in, as it was read: marks by line and call, nothing guessed."""

from dataclasses import dataclass
from typing import Literal

Letter = Literal["L", "W", "S", "H", "N"]
LETTERS: dict[Letter, str] = {
    "L": "late",
    "W": "wrong place",
    "S": "spoken answer wrong",
    "H": "handling",
    "N": "absent",
}
SEPARATORS = " ,;/+.-"  # what people type between two letters
TICKS = ("x", "✓", "✔", "☑", "√", "×", "1", "true", "y", "yes", "ok")  # what people type for a tick, in any case


@dataclass(frozen=True, slots=True)
class Marked:
    """One cell with faults in it. letters: in the order of LETTERS, each once."""

    line: int
    call: int
    letters: tuple[Letter, ...]


@dataclass(frozen=True, slots=True)
class SheetNote:
    """Something to know about a sheet. where: a cell such as "J-R1-1 A!F9"."""

    where: str
    message: str


@dataclass(frozen=True, slots=True)
class FilledSheet:
    """One judge's sheet of one heat.

    judge: 1 for the first judge named in the plan, and so on. judged: calls ticked as judged; a call that is not among
    them is not judged, never clean. open_cells: (line, call) whose entry could not be read: neither clean nor a fault.
    comments: what somebody hung on a cell, word for word.
    """

    code: str
    heat: str
    judge: int
    revision: int
    initials: str
    contestants: tuple[str, ...]
    marks: tuple[Marked, ...]
    judged: tuple[int, ...]
    open_cells: tuple[tuple[int, int], ...] = ()
    notes: tuple[SheetNote, ...] = ()
    comments: tuple[SheetNote, ...] = ()


@dataclass(frozen=True, slots=True)
class SheetEntries:
    """What a judge writes on one sheet, as typed, mistakes included.

    cells: (line, call) -> what was typed there. ticked: call -> what was typed in the judged row.
    """

    code: str
    cells: dict[tuple[int, int], str]
    ticked: dict[int, str]
    initials: str


@dataclass(frozen=True, slots=True)
class SheetReading:
    """What became of one sheet of one file. sheet: its title, empty when the file was refused whole.

    sheet_read: what it says, None when refused. same: all that it says was already in the record.
    """

    file: str
    sheet: str
    code: str
    state: Literal["accepted", "noted", "refused", "same"]
    sheet_read: FilledSheet | None = None
    notes: tuple[SheetNote, ...] = ()
