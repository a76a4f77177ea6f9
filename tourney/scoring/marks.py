"""What one judge says of one call of one contestant: clean, a fault, or nothing yet."""

from collections.abc import Callable, Mapping

from tourney.model.decisions import Cell
from tourney.model.event import Points
from tourney.model.sheet import FilledSheet, Letter

# The letters of one cell, in the order of LETTERS. Empty is clean; not judged is None, and never a Mark.
Mark = tuple[Letter, ...]
Reading = Callable[[int, int], Mark | None]


def reading_of(sheet: FilledSheet | None, corrected: Mapping[Cell, Mark]) -> Reading:
    """(line, call) -> what the sheet says there; None where it is blank without a tick, or could not be read.

    A letter is a fault under any call: who wrote it has judged that cell. A missing sheet says nothing anywhere.
    corrected: (code, line, call) -> what a ruling says stands there instead.
    """
    if sheet is None:
        return lambda _line, _call: None
    faults = {(mark.line, mark.call): mark.letters for mark in sheet.marks}
    judged, unread = frozenset(sheet.judged), frozenset(sheet.open_cells)

    def at(line: int, call: int) -> Mark | None:
        if (sheet.code, line, call) in corrected:
            return corrected[sheet.code, line, call]
        if (line, call) in unread:
            return None
        return faults.get((line, call), () if call in judged else None)

    return at


def points_of(mark: Mark, scale: Points) -> int:
    """Points of one call under one judge's mark: letters add up, never below 0; who is absent scores 0."""
    if "N" in mark:
        return 0
    off: dict[Letter, int] = {"L": scale.late, "W": scale.wrong_place, "S": scale.spoken, "H": scale.handling}
    return max(0, scale.call - sum(off[letter] for letter in mark))
