"""Where a room kept totals alone, points count and nothing is made up for the rest."""

from collections.abc import Callable
from fractions import Fraction

from tourney.model.calls import CallBook
from tourney.model.decisions import Decisions
from tourney.model.people import Roster
from tourney.model.plan import Plan
from tourney.model.ruling import Void
from tourney.model.sheet import FilledSheet
from tourney.model.standing import Results
from tourney.model.totals import HeatTotal
from tourney.scoring.results import results_of
from tourney.scoring.tie_breaks import NOT_COUNTED

Day = tuple[Plan, CallBook, Roster]
Fill = Callable[..., list[FilledSheet]]


def kept(**points: int) -> list[HeatTotal]:
    """Totals of heat J-R1-1, in which T1 and T4 stand."""
    return [HeatTotal("J-R1-1", team, Fraction(value)) for team, value in points.items()]


def without(sheets: list[FilledSheet], heat: str = "J-R1-1") -> list[FilledSheet]:
    return [sheet for sheet in sheets if sheet.heat != heat]


def kinds(found: Results) -> list[str]:
    return [matter.kind for matter in found.open_matters if matter.kind != "tie_at_the_cut"]


def test_totals_stand_in_for_a_heat_without_sheets(make_day: Callable[..., Day], fill: Fill) -> None:
    day = make_day()
    found = results_of(*day, without(fill(day)), True, totals=kept(T1=70, T4=61))
    assert found.state == "final"
    assert kinds(found) == ["totals_only_settled"]
    assert "Team 1 70, Team 4 61" in found.open_matters[0].what
    rows = {row.team: row for row in found.divisions[0].teams}
    assert [rows[team].points for team in ("T1", "T4", "T2")] == [Fraction(230), Fraction(221), Fraction(240)]
    assert rows["T1"].round_points[0] == Fraction(70)
    assert rows["T1"].range == (rows["T1"].place, rows["T1"].place)
    child = next(row for row in found.divisions[0].contestants if row.contestant == "T1-1")
    assert child.points == child.available == Fraction(80)  # two heats of the three


def test_what_needs_single_calls_is_unknown_and_decides_nothing(make_day: Callable[..., Day], fill: Fill) -> None:
    day = make_day(tie_breaks=("clean_calls", "hardest_third", "lot"))
    late = {("J-R2-1", 1, 1): "H", ("J-R2-1", 1, 2): "H"}
    found = results_of(*day, without(fill(day, every_judge=late)), True, totals=kept(T1=80, T4=80))
    rows = {row.team: row for row in found.divisions[0].teams}
    level = [row for row in rows.values() if row.points == Fraction(240)]
    assert {"T1", "T4"} <= {row.team for row in level}
    told = " ".join(row.reason for row in level)
    assert NOT_COUNTED in told
    assert "clean calls" not in told.replace(NOT_COUNTED, "")


def test_any_sheet_of_the_heat_goes_before_the_totals(make_day: Callable[..., Day], fill: Fill) -> None:
    day = make_day()
    sheets = fill(day, missing=[("J-R1-1", 2), ("J-R1-1", 3)])
    found = results_of(*day, sheets, True, totals=kept(T1=7, T4=6))
    assert {row.points for row in found.divisions[0].teams} == {Fraction(240)}
    assert kinds(found) == ["missing_sheet", "missing_sheet"]


def test_totals_that_differ_from_the_sheets_are_told(make_day: Callable[..., Day], fill: Fill) -> None:
    day = make_day()
    found = results_of(*day, fill(day), True, totals=kept(T1=80, T4=78))
    assert kinds(found) == ["total_differs_settled"]
    assert found.open_matters[0].what == "The room's total for Team 4 was 78; the sheets make 80. The sheets count."
    assert found.state == "final"


def test_half_of_the_totals_changes_nothing(make_day: Callable[..., Day], fill: Fill) -> None:
    day = make_day()
    sheets = without(fill(day))
    assert results_of(*day, sheets, True, totals=kept(T1=80)) == results_of(*day, sheets, True)


def test_totals_above_what_is_left_after_a_void_call_are_not_taken(make_day: Callable[..., Day], fill: Fill) -> None:
    day = make_day()
    gone = Decisions(void={("J-R1-1", 1): Void(("J-R1-1",), 1, None)})
    found = results_of(*day, without(fill(day)), True, decisions=gone, totals=kept(T1=80, T4=60))
    assert kinds(found) == ["missing_sheet"] * 3
