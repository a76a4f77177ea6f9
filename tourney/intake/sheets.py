"""Files as sheets of cells, before anything is known of their columns: workbooks and CSV alike."""

import math
from dataclasses import dataclass
from datetime import date as Date
from datetime import datetime, time
from pathlib import Path

from tourney.errors import FileTrouble
from tourney.files import read_bytes
from tourney.intake.cells import Value, clean
from tourney.intake.csv_text import SEPARATORS, decoded, numbered_rows
from tourney.intake.grid import ERROR, Grid, Unreadable, column_letters
from tourney.intake.reader import open_workbook


@dataclass(frozen=True, slots=True)
class Sheet:
    """One sheet of a workbook, or one CSV file. lines: (row or line number from 1, its cells from column A)."""

    file: str
    name: str
    lines: tuple[tuple[int, tuple[Value, ...]], ...]
    visible: bool = True

    def where(self, number: int, column: int = 0) -> str:
        """The place of a cell: "Entries!C7", or "line 7" in CSV. column: from 0."""
        return f"{self.name}!{column_letters(column + 1)}{number}" if self.name else f"line {number}"


def read_file(path: Path) -> bytes:
    """All bytes of a file that was handed in. Unreadable when it is locked."""
    try:
        return read_bytes(path)
    except FileTrouble as trouble:
        raise Unreadable("can't be read.", trouble.hint or "Copy it to a folder of your own.") from trouble


def workbook_sheets(file: str, content: bytes) -> tuple[Sheet, ...]:
    """The worksheets of a workbook in their order. Unreadable when it is none, or when one of them is damaged."""
    grids = open_workbook(content)
    for grid in grids:
        if grid.trouble:
            raise Unreadable(f'holds the sheet "{grid.name}", which {grid.trouble.message}', grid.trouble.hint)
    return tuple(Sheet(file, grid.name, _lines(grid), grid.visible) for grid in grids)


def _lines(grid: Grid) -> tuple[tuple[int, tuple[Value, ...]], ...]:
    errors = {place for place, doubt in grid.doubts.items() if doubt == ERROR}
    return tuple(
        (number + 1, tuple("#ERROR" if (number, at) in errors else _plain(value) for at, value in enumerate(row)))
        for number, row in enumerate(grid.rows)
    )


def csv_sheets(file: str, content: bytes) -> tuple[Sheet, ...]:
    """The file read with each separator in turn: whose header is known decides which one it was."""
    text = decoded(content)
    return tuple(
        Sheet(
            file,
            "",
            tuple((number, tuple(map(clean, row))) for number, row in numbered_rows(text, separator)),
        )
        for separator in SEPARATORS
    )


def _plain(value: object) -> Value:
    """A workbook's cell: whole numbers as int, midnights as days, texts cleaned."""
    if isinstance(value, float):
        return int(value) if math.isfinite(value) and value == int(value) else value
    if isinstance(value, datetime):
        return value.date() if value.time() == time() else value.isoformat(" ")
    return value if isinstance(value, bool | int | Date | time) else clean(str(value))
