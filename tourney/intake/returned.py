"""What was dropped into returned/: score sheets in any kind of file, or a table of totals. Their bytes tell which."""

from dataclasses import dataclass

from tourney.intake.csv_text import is_text
from tourney.intake.score_sheets import read_score_sheets
from tourney.intake.totals import read_totals, totals_in
from tourney.model.plan import Plan
from tourney.model.sheet import SheetReading
from tourney.model.totals import HeatTotal


@dataclass(frozen=True, slots=True)
class Returned:
    """What a file says. readings: its score sheets, and all that can't be taken."""

    readings: tuple[SheetReading, ...]
    totals: tuple[HeatTotal, ...] = ()


def read_returned(file: str, content: bytes, plan: Plan) -> Returned:
    """What a file says, whatever it is. file: the name to show to people. Raises nothing."""
    lines = totals_in(content) if is_text(content) else None
    if lines is None:
        return Returned(read_score_sheets(file, content, plan))
    totals, refused = read_totals(file, lines, plan)
    return Returned(refused, totals)
