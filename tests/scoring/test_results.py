"""Whole results of small days."""

import random
from collections.abc import Callable
from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tourney.model.calls import CallBook
from tourney.model.decisions import Decisions
from tourney.model.people import Roster
from tourney.model.plan import Heat, Plan
from tourney.model.sheet import FilledSheet
from tourney.model.sheet_layout import sheet_code
from tourney.model.standing import OpenMatter, Results, TeamStanding
from tourney.scoring.results import results_of

Day = tuple[Plan, CallBook, Roster]
MakeDay = Callable[..., Day]
Fill = Callable[..., list[FilledSheet]]
Marks = dict[tuple[str, int, int], str]
CHAIN = ("clean_calls", "fewer_wrong_place", "fewer_late", "head_to_head", "hardest_third", "drill_off")


def teams(found: Results) -> dict[str, TeamStanding]:
    return {row.team: row for row in found.divisions[0].teams}


def kinds(found: Results) -> list[str]:
    return sorted({matter.kind for matter in found.open_matters})


def random_marks(day: Day, rng: random.Random, rate: float = 0.3) -> Marks:
    plan, book, _ = day
    return {
        (heat.id, line, call.no): rng.choice(["L", "W", "S", "H", "SH", "N"])
        for heat in plan.heats
        for line in range(1, len(heat.line) + 1)
        for call in book.set[heat.call_set].calls
        if rng.random() < rate
    }


def test_a_clean_day_is_final_and_all_share_the_first_place(make_day: MakeDay, fill: Fill) -> None:
    day = make_day(advance=4)
    found = results_of(*day, fill(day), True)
    assert found.state == "final"
    assert found.open_matters == ()
    assert found.plan_revision == 1
    assert [(row.place, row.shared, row.decided_by) for row in found.divisions[0].teams] == [(1, True, "shared")] * 4
    assert {row.range for row in found.divisions[0].teams} == {(1, 4)}, "a drill-off is still possible"
    assert {row.advances for row in found.divisions[0].teams} == {"certain"}
    assert {row.round_points for row in found.divisions[0].teams} == {(Fraction(80),) * 3}


def test_nothing_is_final_while_protests_are_open(make_day: MakeDay, fill: Fill) -> None:
    day = make_day(advance=4)
    assert results_of(*day, fill(day), False).state == "provisional"


def test_a_matter_given_by_others_keeps_results_provisional(make_day: MakeDay, fill: Fill) -> None:
    day = make_day(advance=4)
    given = OpenMatter("unread_file", "J-R1-1", "A file in returned/ could not be read.")
    found = results_of(*day, fill(day), True, [given])
    assert found.state == "provisional"
    assert found.open_matters == (given,)


def test_a_missing_sheet_that_the_others_settle(make_day: MakeDay, fill: Fill) -> None:
    day = make_day(advance=4)
    found = results_of(*day, fill(day, missing=[("J-R1-1", 2)]), True)
    assert found.state == "final"
    (matter,) = found.open_matters
    assert (matter.kind, matter.heat) == ("missing_sheet_settled", "J-R1-1")
    assert matter.what == f"Sheet {sheet_code('J-R1-1', 2)} of Judge 2 has not come in. The other judges settle it."


def test_a_missing_sheet_on_which_a_call_hangs(make_day: MakeDay, fill: Fill) -> None:
    day = make_day(advance=4)
    found = results_of(*day, fill(day, {("J-R1-1", 1, 1, 1): "L"}, missing=[("J-R1-1", 2)]), True)
    assert found.state == "provisional"
    assert kinds(found) == ["missing_sheet"]
    assert teams(found)["T2"].range == (1, 4)


def test_a_heat_of_which_nothing_is_in_is_told_apart_from_one_without_points(make_day: MakeDay, fill: Fill) -> None:
    """Nobody of T1 came to round 1, and of its heat in round 2 no sheet is in."""
    day = make_day(advance=4)
    first, second = (next(h for h in day[0].heats if h.round == n and "T1" in h.teams) for n in (1, 2))
    absent = {
        (first.id, line, call): "N"
        for line, child in enumerate(first.line, 1)
        if child.startswith("T1")
        for call in range(1, 5)
    }
    found = results_of(*day, fill(day, every_judge=absent, missing=[(second.id, n) for n in (1, 2, 3)]), True)
    division = found.divisions[0]
    other = next(team for team in second.teams if team != "T1")
    assert division.unheard == {("T1", 2), (other, 2)}
    assert [row.points for row in division.heats if row.team == "T1"][:2] == [0, 0]
    assert all(row.reason.startswith("so far ") == (row.range[0] < row.range[1]) for row in division.teams)
    whole = results_of(*day, fill(day, every_judge=absent), True).divisions[0]
    assert not whole.unheard and not any(row.reason.startswith("so far") for row in whole.teams)


def test_a_forgotten_tick_is_open_or_settled_by_the_others(make_day: MakeDay, fill: Fill) -> None:
    day = make_day(advance=4)
    one = results_of(*day, fill(day, unticked=[("J-R2-1", 1, 3)]), True)
    assert kinds(one) == ["not_judged_settled"]
    assert one.state == "final"
    every = results_of(
        *day, fill(day, unticked=[("J-R2-1", judge, call) for judge in (1, 2, 3) for call in (1, 3)]), True
    )
    assert kinds(every) == ["not_judged"]
    assert every.state == "provisional"
    assert every.open_matters[0].what == (
        f"On sheet {sheet_code('J-R2-1', 1)} calls 1 and 3 are not ticked as judged: "
        "a blank there is neither clean nor a fault. "
        "If it was judged, let the judge tick it, and hand the sheet in once more."
    )


def test_an_open_cell_is_neither_clean_nor_a_fault(make_day: MakeDay, fill: Fill) -> None:
    day = make_day(judges=1, advance=4)
    found = results_of(*day, fill(day, unread=[("J-R1-1", 1, 1, 2)]), True)
    assert kinds(found) == ["open_cell"]
    assert found.state == "provisional"
    rows = teams(found)
    assert rows["T1"].clean_calls == rows["T2"].clean_calls == 24, "another member counts instead"
    alone = make_day(size=1, judges=1, advance=4)
    assert teams(results_of(*alone, fill(alone, unread=[("J-R1-1", 1, 1, 2)]), True))["T1"].clean_calls == 11


@pytest.mark.parametrize(
    ("panel", "state"),
    [("median", "provisional"), ("majority", "provisional"), ("mean", "final"), ("chief", "final")],
)
def test_two_judges_who_differ(make_day: MakeDay, fill: Fill, panel: str, state: str) -> None:
    day = make_day(judges=2, panel=panel, advance=4)
    found = results_of(*day, fill(day, {("J-R1-1", 2, 1, 1): "L"}), True)
    assert found.state == state
    assert kinds(found) == (["judges_differ"] if state == "provisional" else [])


def test_rounds_still_to_be_drawn_leave_every_place_open(make_day: MakeDay, fill: Fill) -> None:
    day = make_day(teams=4, rounds=2, draw="by_standing")
    plan = day[0]
    longer = plan.event.divisions[0].model_copy(update={"rounds": 3})
    plan = replace(plan, event=plan.event.model_copy(update={"divisions": (longer,)}))
    found = results_of(plan, day[1], day[2], fill(day), True)
    assert found.state == "provisional"
    assert [matter.what for matter in found.open_matters] == ["Junior: round 3 is still to be drawn."]
    assert {row.range for row in found.divisions[0].teams} == {(1, 4)}


def test_a_tie_at_the_cut_is_told_but_results_are_final(make_day: MakeDay, fill: Fill) -> None:
    day = make_day(advance=1)
    found = results_of(*day, fill(day), True)
    assert kinds(found) == ["tie_at_the_cut"]
    assert found.state == "final"
    assert {row.advances for row in found.divisions[0].teams} == {"possible"}


def test_once_all_is_in_the_best_go_on_and_nobody_behind_them(make_day: MakeDay, fill: Fill) -> None:
    day = make_day(teams=36, size=2, rounds=4, judges=1, advance=3, advance_per_club=2, tie_breaks=("lot",))
    found = results_of(*day, fill(day, every_judge=random_marks(day, random.Random(7))), True)
    assert found.state == "final"
    assert [row.advances for row in found.divisions[0].teams] == ["certain"] * 3 + ["out"] * 33


def test_before_any_sheet_everything_is_possible(make_day: MakeDay) -> None:
    day = make_day(advance=2)
    found = results_of(*day, [], True)
    assert {(row.place, row.range, row.advances) for row in found.divisions[0].teams} == {(1, (1, 4), "possible")}
    assert len(found.open_matters) == 18, "one a heat and judge"
    assert "of Judge 1 has not come in" in found.open_matters[0].what


def test_a_bye_takes_nothing_off(make_day: MakeDay, fill: Fill) -> None:
    day = make_day(teams=3, rounds=3, advance=3)
    rows = teams(results_of(*day, fill(day), True))
    assert {(row.points, row.available) for row in rows.values()} == {(Fraction(160), Fraction(160))}
    assert sorted(row.round_points.index(Fraction(0)) for row in rows.values()) == [0, 1, 2]


def test_the_lot_repeats_with_the_draw_words(make_day: MakeDay, fill: Fill) -> None:
    orders = []
    for words in ("three small boats", "three small boats", "a red kite"):
        day = make_day(teams=6, rounds=2, tie_breaks=("lot",), words=words)
        found = results_of(*day, fill(day), True)
        orders.append([row.team for row in found.divisions[0].teams])
        assert found.divisions[0].teams[0].decided_by == "lot"
        assert "in the lot drawn from the draw words" in found.divisions[0].teams[0].reason
    assert orders[0] == orders[1] != orders[2]


def test_contestants_are_ranked_by_their_own_points(make_day: MakeDay, fill: Fill) -> None:
    day = make_day(teams=2, size=3, rounds=1, counting=1, calls=4)
    child = day[0].heats[0].line[1]
    found = results_of(*day, fill(day, every_judge={("J-R1-1", 2, 1): "S", ("J-R1-1", 2, 2): "H"}), True)
    rows = {row.contestant: row for row in found.divisions[0].contestants}
    assert (rows[child].place, rows[child].shared) == (6, False)
    assert rows[child].points == 33
    assert rows[child].available == 40
    assert rows[child].band == "B"
    assert [row.place for row in found.divisions[0].contestants] == [1, 1, 1, 1, 1, 6]
    assert len({row.shown_as for row in rows.values()}) == 6


def test_a_substitute_who_never_stood_has_no_row(make_day: MakeDay, fill: Fill) -> None:
    plan, book, roster = make_day(teams=2, size=3, rounds=1)
    heats = tuple(replace(heat, line=heat.line[1:]) for heat in plan.heats)
    day = (replace(plan, heats=heats), book, roster)
    rows = results_of(*day, fill(day), True).divisions[0].contestants
    assert {row.contestant for row in rows} == set(heats[0].line)


@pytest.mark.parametrize("rank_by", ["points", "heat_points"])
@settings(max_examples=30)
@given(seed=st.integers(0, 10**6), gone=st.integers(0, 6))
def test_ranges_hold_what_comes_about(make_day: MakeDay, fill: Fill, rank_by: str, seed: int, gone: int) -> None:
    rng = random.Random(seed)
    rules = {"judges": 1, "calls": 3, "advance": 2, "rank_by": rank_by, "tie_breaks": ("clean_calls", "lot")}
    day = make_day(teams=5, size=2, rounds=3, **rules)
    sheets = fill(day, every_judge=random_marks(day, rng))
    whole = teams(results_of(*day, sheets, True))
    part = teams(results_of(*day, rng.sample(sheets, max(0, len(sheets) - gone)), True))
    for team, row in part.items():
        assert row.range[0] <= whole[team].place <= row.range[1]
        # By heat points the present place may be one that can't stay: somebody earns the points of an open heat.
        assert rank_by == "heat_points" or row.range[0] <= row.place <= row.range[1]
        assert row.advances in ("possible", whole[team].advances)
    for row in whole.values():
        assert row.range == (row.place, row.place)


@pytest.mark.parametrize(
    "rules",
    [
        {"panel": "median"},
        {"panel": "majority"},
        {"panel": "mean"},
        {"panel": "chief"},
        {"counting_over": "day"},
        {"rank_by": "heat_points"},
        {"rank_by": "heat_points", "after_split": "repeat_meetings"},
    ],
)
@settings(max_examples=30)
@given(seed=st.integers(0, 10**6))
def test_a_clean_call_more_never_lowers_a_team(make_day: MakeDay, fill: Fill, rules: dict[str, str], seed: int) -> None:
    rng = random.Random(seed)
    day = make_day(**{"teams": 4, "size": 3, "rounds": 2, "calls": 4, "tie_breaks": CHAIN, **rules})
    plan = day[0]
    marks = {(heat, judge, line, call): rng.choice(["L", "W", "S", "H", "SH"])
             for heat, line, call in random_marks(day, rng) for judge in (1, 2, 3) if rng.random() < 0.8}  # fmt: skip
    before = teams(results_of(*day, fill(day, marks), True))
    at = rng.choice(sorted(marks))
    after = teams(results_of(*day, fill(day, {cell: letters for cell, letters in marks.items() if cell != at}), True))
    team = next(team.id for team in plan.teams if plan.heat[at[0]].line[at[2] - 1] in team.members)
    assert after[team].place <= before[team].place
    assert after[team].points >= before[team].points


@settings(max_examples=30)
@given(seed=st.integers(0, 10**6))
def test_order_of_sheets_never_matters(make_day: MakeDay, fill: Fill, seed: int) -> None:
    rng = random.Random(seed)
    day = make_day(teams=5, rounds=3)
    sheets = fill(day, every_judge=random_marks(day, rng), missing=[("J-R2-1", 2)])
    assert results_of(*day, rng.sample(sheets, len(sheets)), True) == results_of(*day, sheets, True)


@settings(max_examples=30)
@given(seed=st.integers(0, 10**6))
def test_names_never_matter(make_day: MakeDay, fill: Fill, seed: int) -> None:
    """The same marks under other ids give the same places and the same reasons' criteria."""
    rng = random.Random(seed)
    day = make_day(teams=4, size=2, rounds=3, tie_breaks=(*CHAIN[:5], "countback", "progressive", "beaten_points"))
    sheets = fill(day, every_judge=random_marks(day, rng, 0.1))
    shuffled = rng.sample(["T1", "T2", "T3", "T4"], 4)
    new = dict(zip(["T1", "T2", "T3", "T4"], shuffled, strict=True))
    plan = day[0]
    heats = tuple(
        replace(
            heat,
            teams=tuple(new[team] for team in heat.teams),
            line=tuple(new[child[:2]] + child[2:] for child in heat.line),
        )
        for heat in plan.heats
    )
    before = teams(results_of(*day, sheets, True))
    after = teams(results_of(replace(plan, heats=heats), day[1], day[2], sheets, True))
    for old, row in before.items():
        assert (row.place, row.decided_by) == (after[new[old]].place, after[new[old]].decided_by)


@settings(max_examples=20)
@given(seed=st.integers(0, 10**6))
def test_what_teams_are_called_never_matters(make_day: MakeDay, fill: Fill, seed: int) -> None:
    """Ids given the other way round, with the same marks for the same people: the same places."""
    rng = random.Random(seed)
    chain = (*CHAIN[:-1], "margin", "beaten_points", "progressive")
    day = make_day(teams=4, size=2, rounds=3, judges=1, calls=3, counting=1, tie_breaks=chain)
    plan, book, roster = day
    found = teams(results_of(*day, fill(day, every_judge=(marks := random_marks(day, rng))), True))
    new = {team.id: other.id for team, other in zip(plan.teams, reversed(plan.teams), strict=True)}

    def child(old: str) -> str:
        team, number = old.split("-")
        return f"{new[team]}-{number}"

    heats = tuple(
        replace(heat, teams=tuple(new[team] for team in heat.teams), line=tuple(map(child, heat.line)))
        for heat in plan.heats
    )
    other = (replace(plan, heats=heats), book, roster)
    again = teams(results_of(*other, fill(other, every_judge=marks), True))
    assert {new[team]: (row.place, row.shared) for team, row in found.items()} == {
        team: (row.place, row.shared) for team, row in again.items()
    }


@pytest.mark.parametrize("over", ["round", "day"])
@settings(max_examples=20)
@given(seed=st.integers(0, 10**6))
def test_a_short_team_is_not_punished_twice(make_day: MakeDay, fill: Fill, over: str, seed: int) -> None:
    """A place that nobody fills makes nothing, as one whose child is away: no tie-break takes anything more."""
    rng = random.Random(seed)
    chain = (*CHAIN[:-1], "margin", "best_round", "progressive")
    day = make_day(teams=4, size=3, rounds=3, judges=1, calls=3, counting=3, counting_over=over, tie_breaks=chain)
    plan, book, roster = day
    said = {(heat.id, child, call.no): rng.choice(["L", "W", "S", "H", "SH"])
            for heat in plan.heats for child in heat.line for call in book.set[heat.call_set].calls
            if rng.random() < 0.3}  # fmt: skip

    def found(heats: tuple[Heat, ...]) -> dict[str, TeamStanding]:
        marks = {
            (heat.id, line, call): "N" if child == "T1-3" else said.get((heat.id, child, call), "")
            for heat in heats
            for line, child in enumerate(heat.line, 1)
            for call in (1, 2, 3)
        }
        there = {at: letters for at, letters in marks.items() if letters}
        held = (replace(plan, heats=heats), book, roster)
        return teams(results_of(*held, fill(held, every_judge=there), True))

    short = tuple(
        replace(heat, line=tuple(child for child in heat.line if child != "T1-3")) if "T1" in heat.teams else heat
        for heat in plan.heats
    )
    assert found(plan.heats) == found(short)


def test_who_can_not_go_on_keeps_nobody_from_a_drill_off(make_day: MakeDay, fill: Fill) -> None:
    """T2, T3 and T4 are level at the cut, but the club of T4 has its place already: the others drill without it."""
    clubs = {"T1": "Moor", "T4": "Moor"}
    rules = {"advance": 2, "advance_per_club": 1, "tie_breaks": ("drill_off",)}
    plan, book, roster = make_day(teams=4, size=1, rounds=3, judges=1, counting=1, clubs=clubs, **rules)
    late = {(heat.id, line, heat.round): "L" for heat in plan.heats for line, child in enumerate(heat.line, 1)
            if not child.startswith("T1")}  # fmt: skip
    sheets = fill((plan, book, roster), every_judge=late)
    found = teams(before := results_of(plan, book, roster, sheets, True))
    assert {key: row.advances for key, row in found.items()} == {
        "T1": "certain", "T2": "possible", "T3": "possible", "T4": "out",
    }  # fmt: skip
    assert [cut.teams for cut in before.divisions[0].cut] == [("T2", "T3")]
    made = {("", "T2", 1): 20, ("", "T3", 1): 30}
    after = results_of(plan, book, roster, sheets, True, decisions=Decisions(drill_offs=made))
    found = teams(after)
    assert {key for key, row in found.items() if row.advances == "certain"} == {"T1", "T3"}
    assert [row.team for row in after.divisions[0].teams] == ["T1", "T3", "T2", "T4"]
    assert found["T4"].reason == "4th not 3rd: level on 90 points; – points in the drill-off against 20"
    assert not after.divisions[0].cut
