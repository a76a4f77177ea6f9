"""What the terminal says of one sheet, one heat or one minute is said of one."""

import re
from fractions import Fraction
from pathlib import Path

from tourney.cli import words
from tourney.cli.score_page import print_collected
from tourney.day.collect import Taken
from tourney.day.drill_offs import after_sets
from tourney.finals.drill_offs import Tied
from tourney.model.sheet import SheetReading
from tourney.model.totals import HeatTotal
from tourney.record.collecting import Collected

SEVERAL = r"\b1 (?:\w+ )?(?:sheets|totals|sets|calls|points|heats|teams|minutes|matters|rows|places)\b"


def test_one_sheet_is_taken_and_one_is_out() -> None:
    reading = SheetReading("hall.xlsx", "Hall", "J-R1-1.A.X", "accepted")
    total = HeatTotal("J-R1-2", "J03", Fraction(90))
    with words.console.capture() as said:
        print_collected(Path("day"), Taken(Collected((), (), (reading,), (total,)), ("J-R1-1.B.Y",)))
    text = " ".join(said.get().split())
    assert "1 score sheet taken" in text and "1 total of a team was taken." in text and "1 sheet is still out" in text
    assert not re.search(SEVERAL, text)


def test_one_set_of_a_drill_off() -> None:
    assert after_sets(Tied("", ("J01", "J02"), 1)) == ", after 1 set of their drill-off too"
    assert after_sets(Tied("", ("J01", "J02"), 2)) == ", after 2 sets of their drill-off too"
