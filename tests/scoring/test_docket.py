"""From what the chief judge says to a ruling: above all, what becomes of a call that went wrong."""

from collections.abc import Callable
from dataclasses import replace
from typing import Any

import pytest

from tourney.errors import Refusal
from tourney.model.calls import CallBook
from tourney.model.decisions import decided
from tourney.model.people import Roster
from tourney.model.plan import Plan
from tourney.model.ruling import Correct, LostSheet, NoShow, Ruling, Substitute, Swap, Void
from tourney.model.sheet import FilledSheet
from tourney.model.sheet_layout import sheet_code
from tourney.scoring.docket import Docket

Day = tuple[Plan, CallBook, Roster]
MakeDay = Callable[..., Day]
Fill = Callable[..., list[FilledSheet]]
FIRST, SECOND = "J-R1-1", "J-R1-2"  # the two heats of wave W1


@pytest.fixture
def docket(make_day: MakeDay, fill: Fill) -> Callable[..., Docket]:
    """A day with two heats a wave; call 4 of each set has one reserve call as hard as it, call 1 has none."""

    def make(
        *given: Ruling, void: str = "reserve_then_wave", missing: tuple[tuple[str, int], ...] = (), **other: Any
    ) -> Docket:
        plan, book, roster = make_day(teams=4, size=2, rounds=2, void=void, **other)
        sets = tuple(
            replace(calls, reserves=(replace(calls.calls[3], no=1, item="spare", difficulty=4.5),))
            for calls in book.sets
        )
        day = plan, CallBook(sets, book.speakers), roster
        sheets = tuple(fill(day, missing=missing))
        return Docket(*day, sheets, sheets, (), decided(given, plan))

    return make


@pytest.mark.parametrize(
    ("setting", "heat", "expected"),
    [
        ("reserve_then_wave", FIRST, Void((FIRST,), 4, 1)),
        ("reserve_then_wave", "", Void((FIRST, SECOND), 4, 1)),
        ("reserve_then_heat", FIRST, Void((FIRST,), 4, 1)),
        ("wave", FIRST, Void((FIRST, SECOND), 4, None)),
        ("heat", FIRST, Void((FIRST,), 4, None)),
        ("heat", "", Void((FIRST, SECOND), 4, None)),
    ],
)
def test_a_call_with_a_reserve_like_it(docket: Callable[..., Docket], setting: str, heat: str, expected: Void) -> None:
    assert docket(void=setting).void("W1", 4, heat, "", rejudged=False) == expected


@pytest.mark.parametrize(
    ("setting", "heats"), [("reserve_then_wave", (FIRST, SECOND)), ("reserve_then_heat", (FIRST,))]
)
def test_a_call_without_a_reserve_like_it(docket: Callable[..., Docket], setting: str, heats: tuple[str, ...]) -> None:
    assert docket(void=setting).void("w1", 1, FIRST.lower(), "", rejudged=True) == Void(heats, 1, None), (
        "3.5 bits easier"
    )
    spent = docket(Void((FIRST,), 3, 1), void=setting)
    assert spent.void("W1", 4, FIRST, "", rejudged=False) == Void(heats, 4, None), "the heat has heard the reserve"


def test_another_heat_may_still_hear_the_reserve(docket: Callable[..., Docket]) -> None:
    spent = docket(Void((FIRST,), 4, 1))
    assert spent.void("W1", 4, SECOND, "", rejudged=False) == Void((SECOND,), 4, 1)
    assert spent.void("W1", 4, FIRST, "", rejudged=True) == Void((FIRST,), 4, 1, rejudged=True), "the same one, judged"
    assert spent.void("W1", 4, FIRST, "", rejudged=False).reserve is None, "the reserve went wrong too"


def test_a_wave_of_two_divisions_needs_to_be_told_which(docket: Callable[..., Docket]) -> None:
    made = docket()
    plan = made.plan
    senior = plan.event.divisions[0].model_copy(update={"name": "Senior"})
    event = plan.event.model_copy(update={"divisions": (*plan.event.divisions, senior)})
    heats = (plan.heats[0], replace(plan.heats[1], division="Senior"), *plan.heats[2:])
    both = replace(made, plan=replace(plan, event=event, heats=heats))
    with pytest.raises(Refusal, match="Junior and Senior"):
        both.void("W1", 4, "", "", rejudged=False)
    with pytest.raises(Refusal, match="W1 has no heat of Seniors") as refused:
        both.void("W1", 4, "", "Seniors", rejudged=False)
    assert refused.value.cures == ("It has heats of Junior and Senior.",)
    assert both.void("W1", 4, "", "senior", rejudged=False).heats == (SECOND,)
    assert both.void("W1", 4, SECOND, "", rejudged=False).heats == (SECOND,)


def test_a_correction_keeps_what_stood_there(docket: Callable[..., Docket]) -> None:
    code = sheet_code(FIRST, 1)
    first = docket().correct(code, 1, 2, ("L",))
    assert first == Correct(code, 1, 2, ("L",), ())
    again = docket(first)
    assert again.correct(code, 1, 2, ()).before == ("L",)
    with pytest.raises(Refusal, match="says that already"):
        again.correct(code, 1, 2, ("L",))
    with pytest.raises(Refusal, match="made void"):
        docket(Void((FIRST,), 2, None)).correct(code, 1, 2, ("L",))
    with pytest.raises(Refusal, match="has not come in"):
        docket(missing=((FIRST, 1),)).correct(code, 1, 2, ("L",))


def test_who_stands_there_goes_by_what_was_ruled_before(docket: Callable[..., Docket]) -> None:
    swapped = docket(Swap(FIRST, 1, 2))
    line = swapped.plan.heat[FIRST].line
    with pytest.raises(Refusal, match="stands in that heat already, on line 2"):
        swapped.substitute(FIRST, 1, line[0])


def test_no_show_of_a_team_is_for_all_its_heats(docket: Callable[..., Docket]) -> None:
    made = docket()
    heats = tuple(heat.id for heat in made.plan.heats if "T1" in heat.teams)
    assert made.no_show("t1", "") == NoShow("T1", heats) and len(heats) == 2
    assert made.no_show("T1-1", heats[1]) == NoShow("T1-1", (heats[1],))
    with pytest.raises(Refusal, match="was not to stand in"):
        made.no_show("T1", next(heat.id for heat in made.plan.heats if "T1" not in heat.teams))


def test_who_is_meant_by_a_name_that_only_one_has(docket: Callable[..., Docket]) -> None:
    made = docket()
    teams = (
        replace(made.plan.teams[0], name="Herons"),
        *(replace(team, name="Newts") for team in made.plan.teams[1:3]),
    )
    named = replace(made, plan=replace(made.plan, teams=(*teams, *made.plan.teams[3:])))
    child = replace(made.roster.contestants[0], name="Ada Wren")
    named = replace(named, roster=replace(made.roster, contestants=(child, *made.roster.contestants[1:])))
    assert named.disqualify(" herons ").who == teams[0].id
    assert named.disqualify("Ada Wren").who == child.id
    with pytest.raises(Refusal, match="2 are called Newts") as refused:
        named.disqualify("Newts")
    assert refused.value.cures == (f"Say which by its number: {teams[1].id} and {teams[2].id}.",)


def test_not_every_sheet_of_a_heat_can_be_lost(docket: Callable[..., Docket]) -> None:
    codes = [sheet_code(FIRST, judge) for judge in (1, 2, 3)]
    made = docket(LostSheet(codes[0]), LostSheet(codes[1]), missing=tuple((FIRST, judge) for judge in (1, 2, 3)))
    with pytest.raises(Refusal, match="no sheet at all"):
        made.lost_sheet(codes[2])


def test_a_substitute_is_of_the_same_team(docket: Callable[..., Docket]) -> None:
    made = docket()
    heat = made.plan.heats[0]
    short = replace(made, plan=replace(made.plan, heats=(replace(heat, line=heat.line[1:]), *made.plan.heats[1:])))
    assert short.substitute(FIRST, 1, heat.line[0]) == Substitute(FIRST, 1, heat.line[0], heat.line[1])
    with pytest.raises(Refusal, match="is not of Team"):
        short.substitute(FIRST, 3, heat.line[0])


def test_a_sheet_speaks_for_its_own_zone(docket: Callable[..., Docket]) -> None:
    made = docket(missing=((FIRST, 1), (FIRST, 2)), judges=4, zones=((1, 2), (3, 12)))
    with pytest.raises(Refusal, match=r"Line 3 is not in the zone of sheet J-R1-1\.C\.\w, which has lines 1 to 2"):
        made.correct(sheet_code(FIRST, 3), 3, 1, ("L",))
    assert made.lost_sheet(sheet_code(FIRST, 1)) == LostSheet(sheet_code(FIRST, 1)), "judge 3 watches these lines too"
    other = docket(LostSheet(sheet_code(FIRST, 4)), missing=((FIRST, 2), (FIRST, 4)), judges=4, zones=((1, 2), (3, 12)))
    with pytest.raises(Refusal, match="would have no sheet for lines 3 to 12"):
        other.lost_sheet(sheet_code(FIRST, 2))
