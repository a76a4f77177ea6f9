"""What was dropped into returned/: score sheets in any kind of file, or a table of totals. Their bytes tell which."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from tourney.intake.csv_text import is_text
from tourney.intake.grid import Grid, Unreadable
from tourney.intake.score_sheets import open_sheets, read_sheets
from tourney.intake.totals import TotalLine, read_totals, totals_in
from tourney.model.people import Contestant
from tourney.model.plan import Plan
from tourney.model.sheet import SheetReading
from tourney.model.totals import HeatTotal


@dataclass(frozen=True, slots=True)
class Returned:
    """What a file says. readings: its score sheets, and all that can't be taken."""

    readings: tuple[SheetReading, ...]
    totals: tuple[HeatTotal, ...] = ()


@dataclass(frozen=True, slots=True)
class Opened:
    """A file that was opened, and not read yet. totals: the lines of a table of totals; None where it is none."""

    totals: Sequence[TotalLine] | None
    sheets: Sequence[Grid] | Unreadable


def open_returned(content: bytes) -> Opened:
    """Open a file, whatever it is. Raises nothing."""
    lines = totals_in(content) if is_text(content) else None
    return Opened(lines, open_sheets(content) if lines is None else ())


def read_returned(file: str, opened: Opened, plan: Plan, people: Mapping[str, Contestant]) -> Returned:
    """What a file says. file: the name to show. people: see `read_score_sheets`. Raises nothing."""
    if opened.totals is None:
        return Returned(read_sheets(file, opened.sheets, plan, people))
    totals, refused = read_totals(file, opened.totals, plan)
    return Returned(refused, totals)
