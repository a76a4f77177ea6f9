"""What rulings do to the scores: corrections, void calls, who stood where, who does not count."""

from collections.abc import Callable
from dataclasses import replace
from fractions import Fraction

import pytest

from tourney.model.calls import CallBook
from tourney.model.decisions import Decisions, decided, minutes_behind
from tourney.model.people import Roster
from tourney.model.plan import Plan
from tourney.model.ruling import (
    Correct,
    Disqualify,
    LostSheet,
    NoShow,
    Ruling,
    SettleCall,
    Started,
    Substitute,
    Swap,
    Void,
)
from tourney.model.sheet import FilledSheet
from tourney.model.sheet_layout import sheet_code
from tourney.model.standing import Results
from tourney.scoring.heats import HeatScore, score_heats
from tourney.scoring.results import results_of

Day = tuple[Plan, CallBook, Roster]
MakeDay = Callable[..., Day]
Fill = Callable[..., list[FilledSheet]]
HEAT = "J-R1-1"


def score(day: Day, sheets: list[FilledSheet], *rulings: Ruling) -> HeatScore:
    """The first heat's score under these rulings."""
    return score_heats(day[0], day[1], sheets, decided(rulings, day[0]))[0]


def ranked(day: Day, sheets: list[FilledSheet], *rulings: Ruling) -> Results:
    return results_of(*day, sheets, True, decisions=decided(rulings, day[0]))


@pytest.fixture
def pair(make_day: MakeDay) -> Day:
    """Two teams of three, two of whom count, and one heat of four calls with one reserve, the easiest of all."""
    plan, book, roster = make_day(teams=2, size=3, rounds=1)
    (calls,) = book.sets
    spare = replace(calls.calls[0], item="B9", difficulty=0.5)
    return plan, CallBook((replace(calls, reserves=(spare,)),), book.speakers), roster


def test_a_correction_changes_one_judges_mark(pair: Day, fill: Fill) -> None:
    sheets = fill(pair, every_judge={(HEAT, 1, 1): "L"})
    codes = [sheet_code(HEAT, judge) for judge in (1, 2)]
    one = score(pair, sheets, Correct(codes[0], 1, 1, (), ("L",)))
    assert one.contestants[0].made.points == 30, "the other two still say late"
    both = score(pair, sheets, *(Correct(code, 1, 1, (), ("L",)) for code in codes))
    assert both.contestants[0].made.points == 40
    assert sheets[0].marks[0].letters == ("L",), "the sheet stays as it was"


def test_a_correction_answers_for_a_cell_that_could_not_be_read(pair: Day, fill: Fill) -> None:
    sheets = fill(pair, unread=[(HEAT, judge, 1, 1) for judge in (1, 2, 3)])
    open_ = ranked(pair, sheets)
    assert {matter.kind for matter in open_.open_matters} >= {"open_cell"}
    rulings = [Correct(sheet_code(HEAT, judge), 1, 1, ("S",), None) for judge in (1, 2, 3)]
    found = ranked(pair, sheets, *rulings)
    assert not [matter for matter in found.open_matters if matter.kind.startswith("open_cell")]
    assert found.divisions[0].contestants[-1].points == 35


def test_a_void_call_takes_its_points_off_what_is_available(pair: Day, fill: Fill) -> None:
    sheets = fill(pair, every_judge={(HEAT, 1, 2): "L"}, unticked=[(HEAT, judge, 2) for judge in (1, 2, 3)])
    found = score(pair, sheets, Void((HEAT,), 2, None))
    assert [child.available for child in found.contestants] == [30] * 6
    assert [team.available for team in found.teams] == [60, 60]
    assert found.contestants[0].made.points == 30
    assert found.settled
    assert ranked(pair, sheets, Void((HEAT,), 2, None)).state == "final", "nobody has to judge a void call"


def test_teams_with_less_available_are_ranked_by_the_exact_fraction(make_day: MakeDay, fill: Fill) -> None:
    """Two heats of two teams; in the first one call is void. By hand: T1 50 of 60, T2 63 of 80 points."""
    day = make_day(teams=4, size=2, rounds=1, counting=2)
    first, second = (heat.id for heat in day[0].heats)
    late = {(first, 1, 1): "L", (second, 1, 1): "L", (second, 1, 2): "SH"}
    late |= {(first, line, 1): "L" for line in (3, 4)} | {(second, line, 1): "L" for line in (3, 4)}
    found = ranked(day, fill(day, every_judge=late), Void((first,), 4, None)).divisions[0]
    best = [(row.team, int(row.points), int(row.available)) for row in found.teams[:2]]
    teams = [heat.teams[0] for heat in day[0].heats]
    assert best == [(teams[0], 50, 60), (teams[1], 63, 80)], "50/60 is more than 63/80"
    assert "50 of 60 points against 63 of 80" in found.teams[0].reason


def test_a_reserve_call_counts_like_the_call_that_it_replaced(pair: Day, fill: Fill) -> None:
    sheets = fill(pair, every_judge={(HEAT, 1, 4): "S"})
    before, after = score(pair, sheets), score(pair, sheets, Void((HEAT,), 4, 1, rejudged=True))
    assert before.teams[0].available == after.teams[0].available
    assert before.contestants[0].made.hardest == 5
    assert after.contestants[0].made.hardest == 10, "the reserve is easy: call 3 is the hardest third now"


def test_marks_go_with_who_stood_there(pair: Day, fill: Fill) -> None:
    sheets = fill(pair, every_judge={(HEAT, 1, 1): "L", (HEAT, 1, 2): "L"})
    found = score(pair, sheets, Swap(HEAT, 1, 2))
    made = {child.contestant: child.made.points for child in found.contestants}
    assert made["T1-1"] == 40 and made["T1-2"] == 20


def test_a_substitute_has_the_marks_of_the_line(make_day: MakeDay, fill: Fill) -> None:
    plan, book, roster = make_day(teams=2, size=3, rounds=1)
    (heat,) = plan.heats
    day = replace(plan, heats=(replace(heat, line=tuple(one for one in heat.line if one != "T1-3")),)), book, roster
    sheets = fill(day, every_judge={(HEAT, 1, 1): "L"})
    found = score(day, sheets, Substitute(HEAT, 1, "T1-3", "T1-1"))
    stood = [(child.contestant, int(child.made.points)) for child in found.contestants[:2]]
    assert stood == [("T1-3", 30), ("T1-2", 40)]


def test_who_did_not_stand_scores_nothing_and_the_rest_is_as_it_was(pair: Day, fill: Fill) -> None:
    found = score(pair, fill(pair), NoShow("T1-1", (HEAT,)))
    assert [child.made.points for child in found.contestants[:3]] == [0, 40, 40]
    assert [(int(team.made.points), team.available) for team in found.teams] == [(80, 80), (80, 80)]
    gone = score(pair, fill(pair), NoShow("T1", (HEAT,)))
    assert [team.made.points for team in gone.teams] == [0, 80]
    assert gone.settled, "even sheets that are still out change nothing for them"


def test_a_disqualified_contestant_counts_nowhere(pair: Day, fill: Fill) -> None:
    found = ranked(pair, fill(pair, every_judge={(HEAT, 2, 1): "L"}), Disqualify("T1-1")).divisions[0]
    assert found.disqualified == ("T1-1",)
    assert "T1-1" not in [row.contestant for row in found.contestants]
    (team,) = (row for row in found.teams if row.team == "T1")
    assert team.points == 70 and team.available == 80


def test_a_disqualified_team_takes_no_place_and_others_keep_what_they_made(make_day: MakeDay, fill: Fill) -> None:
    day = make_day(teams=4, size=2, rounds=3, rank_by="heat_points")
    late = {(heat.id, line, 1): "L" for heat in day[0].heats for line in (3, 4)}
    before = ranked(day, fill(day, every_judge=late)).divisions[0]
    out = before.teams[0].team
    after = ranked(day, fill(day, every_judge=late), Disqualify(out)).divisions[0]
    assert [row.team for row in after.teams] == [row.team for row in before.teams[1:]]
    assert after.teams[0].place == 1
    assert [row.heat_points for row in after.teams] == [row.heat_points for row in before.teams[1:]]
    assert after.disqualified == (out,)
    assert len(after.contestants) == len(before.contestants), "its children keep their own places"


def test_everyone_disqualified_leaves_empty_standings(pair: Day, fill: Fill) -> None:
    found = ranked(pair, fill(pair), Disqualify("T1"), Disqualify("T2")).divisions[0]
    assert (found.teams, found.disqualified) == ((), ("T1", "T2"))


def test_a_lost_sheet_leaves_the_word_to_the_others(pair: Day, fill: Fill) -> None:
    sheets = fill(pair, {(HEAT, 1, 1, 1): "L"}, missing=[(HEAT, 3)])
    waiting = ranked(pair, sheets)
    assert "missing_sheet" in {matter.kind for matter in waiting.open_matters}
    lost = LostSheet(sheet_code(HEAT, 3))
    found = ranked(pair, sheets, lost)
    assert {matter.kind for matter in found.open_matters} >= {"missing_sheet_settled", "judges_differ"}
    settled = ranked(pair, sheets, lost, SettleCall(HEAT, 1, 1, ("L",)))
    assert settled.state == "final"
    assert score(pair, sheets, lost, SettleCall(HEAT, 1, 1, ("L",))).contestants[0].made.points == 30


def test_a_lost_sheet_that_turns_up_counts(pair: Day, fill: Fill) -> None:
    sheets = fill(pair, {(HEAT, 3, 1, 1): "L", (HEAT, 2, 1, 1): "L"})
    assert score(pair, sheets, LostSheet(sheet_code(HEAT, 3))) == score(pair, sheets)


def test_a_call_that_was_settled_is_settled_whatever_judges_wrote(pair: Day, fill: Fill) -> None:
    found = score(pair, fill(pair), SettleCall(HEAT, 1, 1, ("W",)), NoShow("T1-1", (HEAT,)))
    assert found.calls[1, 1].points == 0 and found.calls[1, 1].letters == ("W",)
    assert found.calls[1, 2].letters == ("N",)


def test_rulings_about_a_heat_that_is_gone_change_nothing(pair: Day, fill: Fill) -> None:
    gone = (Swap("J-R9-9", 1, 2), Void(("J-R9-9",), 1, None), NoShow("T1-1", ("J-R9-9",)), Swap(HEAT, 1, 99))
    assert ranked(pair, fill(pair), *gone) == ranked(pair, fill(pair))


def test_minutes_behind_are_those_of_the_last_wave_that_started(make_day: MakeDay) -> None:
    plan, _, _ = make_day(teams=4, rounds=3)  # waves at 9:20, 9:40 and 10:00
    assert minutes_behind(plan, {}) is None
    started = decided([Started("W2", "09:46"), Started("W1", "09:35")], plan).started
    assert minutes_behind(plan, started) == 6
    assert minutes_behind(plan, {"W3": "09:58"}) == -2


@pytest.mark.parametrize("void", [1, 2])
def test_tie_breaks_do_not_count_against_who_had_less_to_make(make_day: MakeDay, fill: Fill, void: int) -> None:
    """All clean, but the first heat had `void` calls fewer: whatever is looked at, everyone is level."""
    chain = ("clean_calls", "fewer_late", "margin", "hardest_third", "best_round", "opponents_points", "progressive")
    day = make_day(teams=4, size=2, rounds=1, tie_breaks=chain)
    first = day[0].heats[0].id
    found = ranked(day, fill(day), *(Void((first,), call, None) for call in range(1, void + 1))).divisions[0]
    assert [row.place for row in found.teams] == [1, 1, 1, 1]
    assert [row.place for row in found.contestants] == [1] * 8


def test_no_decisions_change_nothing(pair: Day, fill: Fill) -> None:
    sheets = fill(pair, {(HEAT, 1, 1, 1): "L"})
    assert results_of(*pair, sheets, True, decisions=Decisions()) == results_of(*pair, sheets, True)
    assert score(pair, sheets).contestants[0].made.points == Fraction(40)
