"""One heat: contestants' points, the best `counting` of a team, what is available."""

from collections.abc import Callable
from fractions import Fraction

import pytest

from tourney.model.calls import Call, CallBook, CallSet
from tourney.model.decisions import NO_DECISIONS
from tourney.model.people import Roster
from tourney.model.plan import Plan
from tourney.model.sheet import FilledSheet
from tourney.scoring.heats import hardest_third, score_heats
from tourney.scoring.open_matters import heat_matters

Day = tuple[Plan, CallBook, Roster]
MakeDay = Callable[..., Day]
Fill = Callable[..., list[FilledSheet]]


def test_a_clean_heat_makes_all_that_is_available(make_day: MakeDay, fill: Fill) -> None:
    day = make_day(teams=2, size=3, rounds=1, counting=2, calls=4)
    (score,) = score_heats(day[0], day[1], fill(day))
    assert [(child.made.points, child.available) for child in score.contestants] == [(Fraction(40), 40)] * 6
    assert [(team.team, team.made.points, team.available, team.made.clean_calls) for team in score.teams] == [
        ("T1", Fraction(80), 80, 8),
        ("T2", Fraction(80), 80, 8),
    ]
    assert score.settled


def test_the_best_counting_members_count_with_their_calls_alone(make_day: MakeDay, fill: Fill) -> None:
    day = make_day(teams=2, size=3, rounds=1, counting=2, calls=4)
    marks = {("J-R1-1", 1, 1): "L", ("J-R1-1", 1, 2): "W", ("J-R1-1", 2, 1): "S", ("J-R1-1", 3, 4): "SH"}
    (score,) = score_heats(day[0], day[1], fill(day, every_judge=marks))
    first = score.teams[0]
    assert [child.made.points for child in score.contestants[:3]] == [20, 35, 33]
    assert first.made.points == 68
    made = first.made
    assert (made.clean_calls, made.late, made.wrong_place, made.spoken, made.handling) == (6, 0, 0, 2, 1)
    assert made.hardest == 13, "one call of four, the last: 10 of line 2 and 3 of line 3"


def test_a_place_that_nobody_fills_scores_nothing_of_the_full_available(make_day: MakeDay, fill: Fill) -> None:
    day = make_day(teams=2, size=1, rounds=1, counting=1, calls=4)
    plan = day[0]
    division = plan.event.divisions[0].model_copy(update={"squad": 3, "counting": 3})
    event = plan.event.model_copy(update={"divisions": (division,)})
    short = Plan(**{**{key: getattr(plan, key) for key in plan.__dataclass_fields__}, "event": event})
    (score,) = score_heats(short, day[1], fill(day))
    assert (score.teams[0].made.points, score.teams[0].available) == (Fraction(40), 120)


@pytest.mark.parametrize(
    ("chain", "clean", "handling"), [(("clean_calls",), 3, 0), (("fewer_spoken", "clean_calls"), 1, 3)]
)
def test_of_members_level_on_points_the_tie_breaks_choose(
    make_day: MakeDay, fill: Fill, chain: tuple[str, ...], clean: int, handling: int
) -> None:
    points = {"call": 12, "late": 12, "wrong_place": 12, "spoken": 6, "handling": 2}
    day = make_day(teams=2, size=2, rounds=1, counting=1, calls=4, points=points, tie_breaks=chain)
    level = {("J-R1-1", 1, 1): "S", **{("J-R1-1", 2, call): "H" for call in (1, 2, 3)}}
    (score,) = score_heats(day[0], day[1], fill(day, every_judge=level))
    assert [child.made.points for child in score.contestants[:2]] == [42, 42]
    assert (score.teams[0].made.clean_calls, score.teams[0].made.handling) == (clean, handling)


def test_what_nobody_judged_is_possible_but_not_there(make_day: MakeDay, fill: Fill) -> None:
    day = make_day(teams=2, size=2, rounds=1, counting=1, calls=4)
    sheets = fill(day, unticked=[("J-R1-1", judge, 2) for judge in (1, 2, 3)])
    (score,) = score_heats(day[0], day[1], sheets)
    team = score.teams[0]
    assert (team.made.points, team.least, team.most, team.made.clean_calls) == (
        Fraction(30),
        Fraction(30),
        Fraction(40),
        3,
    )
    assert not score.settled


def test_points_of_a_mean_stay_exact(make_day: MakeDay, fill: Fill) -> None:
    day = make_day(teams=2, size=1, rounds=1, counting=1, calls=4, panel="mean")
    (score,) = score_heats(day[0], day[1], fill(day, {("J-R1-1", 2, 1, 1): "S"}))
    assert score.teams[0].made.points == 40 - Fraction(5, 3)


def test_finals_heats_do_not_count_in_the_rotation(make_day: MakeDay, fill: Fill) -> None:
    plan, book, roster = make_day(teams=4, rounds=2)
    final = CallBook((book.sets[0], CallSet("R2", "Junior", "final", None, None, 10, book.sets[1].calls)))
    assert {score.heat.round for score in score_heats(plan, final, fill((plan, book, roster)))} == {1}


def test_two_sheets_of_one_judge_are_refused(make_day: MakeDay, fill: Fill) -> None:
    day = make_day()
    sheets = fill(day)
    with pytest.raises(ValueError, match="two sheets of judge 1 for heat J-R1-1"):
        score_heats(day[0], day[1], [*sheets, sheets[0]])
    with pytest.raises(ValueError, match="belongs to no judge and heat"):
        score_heats(make_day(rounds=1)[0], day[1], sheets)


def test_hardest_third_rounds_down_and_prefers_the_earlier_of_equals() -> None:
    bits = [3.0, 5.0, 5.0, 1.0, 5.0, 2.0, 0.5, 0.1]
    calls = tuple(Call(n, "book", "X", "law", bit, "X", ()) for n, bit in enumerate(bits, start=1))
    assert hardest_third(calls) == {2, 3}
    assert hardest_third(calls[:2]) == {2}


def test_in_a_zone_only_who_watches_it_decides(make_day: MakeDay, fill: Fill) -> None:
    day = make_day(teams=2, size=3, rounds=1, counting=2, calls=4, judges=4, zones=((1, 3), (4, 12)), panel="mean")
    marks = {("J-R1-1", judge, 1, 1): "L" for judge in (1, 2, 4)} | {("J-R1-1", 2, 4, 1): "L"}
    (score,) = score_heats(day[0], day[1], fill(day, marks))
    assert score.calls[1, 1].points == 5, "judges 1 and 3 watch line 1; what 2 and 4 wrote there is not theirs to say"
    assert score.calls[4, 1].points == 5, "judges 2 and 4 watch line 4"
    assert score.settled


def test_a_zone_whose_sheets_are_out_is_open_and_no_other(make_day: MakeDay, fill: Fill) -> None:
    day = make_day(teams=2, size=3, rounds=1, counting=2, calls=4, judges=2, zones=((1, 3), (4, 12)))
    (score,) = score_heats(day[0], day[1], fill(day, missing=[("J-R1-1", 2)]))
    assert {line for (line, _), said in score.calls.items() if not said.settled} == {4, 5, 6}
    spans = [(child.least, child.most) for child in score.contestants]
    assert spans == [(Fraction(40), Fraction(40))] * 3 + [(Fraction(0), Fraction(40))] * 3
    (matter,) = heat_matters(day[0], score, NO_DECISIONS)
    assert (matter.kind, matter.heat) == ("missing_sheet", "J-R1-1")
    assert matter.what == "Sheet J-R1-1.B.0 of Judge 2 has not come in for lines 4 to 6."
    assert matter.rulings == (), "nobody else watches these lines, so that the sheet can't be ruled lost"


def test_a_call_without_a_tick_is_open_in_the_zone_of_that_sheet(make_day: MakeDay, fill: Fill) -> None:
    day = make_day(teams=2, size=3, rounds=1, counting=2, calls=4, judges=2, zones=((1, 3), (4, 12)))
    (score,) = score_heats(day[0], day[1], fill(day, unticked=[("J-R1-1", 1, 2)], unread=[("J-R1-1", 1, 5, 1)]))
    assert [at for at, said in score.calls.items() if not said.settled] == [(1, 2), (2, 2), (3, 2)]
    assert [matter.kind for matter in heat_matters(day[0], score, NO_DECISIONS)] == ["not_judged"]
