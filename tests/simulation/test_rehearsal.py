"""A rehearsed day: repeatable, believable, with mistakes that asking back cures."""

from collections import Counter
from collections.abc import Callable
from dataclasses import replace

import pytest

from tourney.draw import Draw
from tourney.model.calls import CallBook
from tourney.model.people import Roster
from tourney.model.plan import Plan
from tourney.model.sheet import LETTERS, SheetEntries
from tourney.model.sheet_layout import TICK, sheet_code
from tourney.simulation.rehearsal import Rehearsal, simulate

Day = tuple[Plan, CallBook, Roster]
MakeDay = Callable[..., Day]


def codes(sheets: tuple[SheetEntries, ...]) -> list[str]:
    return [sheet.code for sheet in sheets]


def as_meant(played: Rehearsal) -> dict[str, SheetEntries]:
    """The day's sheets once all are in and mended; small letters and spaces made plain."""
    sheets = {sheet.code: sheet for sheet in (*played.entries, *played.corrections)}
    return {
        code: replace(sheet, cells={place: typed.strip().upper() for place, typed in sheet.cells.items()})
        for code, sheet in sheets.items()
    }


def test_the_same_draw_plays_the_same_day(make_day: MakeDay) -> None:
    day = make_day()
    assert simulate(*day, Draw("kite")) == simulate(*day, Draw("kite"))
    assert simulate(*day, Draw("kite")) != simulate(*day, Draw("boat"))


def test_every_judge_hands_in_once_and_what_is_missing_comes_when_asked(make_day: MakeDay) -> None:
    plan, book, roster = make_day()
    played = simulate(plan, book, roster, Draw("kite"))
    expected = {sheet_code(heat.id, judge) for heat in plan.heats for judge in (1, 2, 3)}
    assert set(as_meant(played)) == expected
    assert max(Counter(codes(played.entries)).values()) == max(Counter(codes(played.corrections)).values()) == 1
    left_out = expected - set(codes(played.entries))
    assert len(left_out) == 1
    assert left_out <= set(codes(played.corrections))


def test_mended_sheets_hold_nothing_but_marks_ticks_and_initials(make_day: MakeDay) -> None:
    plan, book, roster = make_day()
    for sheet in as_meant(simulate(plan, book, roster, Draw("kite"))).values():
        assert sheet.ticked == dict.fromkeys(range(1, 9), TICK)
        assert sheet.initials == "VL"
        assert all(typed and set(typed) <= set(LETTERS) for typed in sheet.cells.values())
        assert all(1 <= line <= 8 and 1 <= call <= 8 for line, call in sheet.cells)


def test_corrections_keep_what_was_readable(make_day: MakeDay) -> None:
    played = simulate(*make_day(teams=12), Draw("kite"))
    first = {sheet.code: sheet for sheet in played.entries}
    for mended in played.corrections:
        if mended.code in first:
            before = first[mended.code]
            changed = {place for place, typed in before.cells.items() if mended.cells.get(place) != typed}
            assert len(changed) <= 1
            assert set(before.ticked.items()) <= set(mended.ticked.items())
            assert before != mended


def test_a_handful_of_mistakes_is_told_in_words(make_day: MakeDay) -> None:
    played = simulate(*make_day(teams=8), Draw("kite"))  # 48 sheets
    mistakes = [told for told in played.mishaps if told.startswith("Vera")]
    assert len(mistakes) == 4
    assert len(played.mishaps) == 5, "and one child of 32 was absent once"
    assert all(told.endswith(".") for told in played.mishaps)


def test_an_absent_child_is_marked_by_every_judge_in_every_call_of_one_heat(make_day: MakeDay) -> None:
    plan, book, roster = make_day()
    sheets = as_meant(simulate(plan, book, roster, Draw("kite")))
    absent = {
        (heat.id, line)
        for heat in plan.heats
        for judge in (1, 2, 3)
        for (line, _), typed in sheets[sheet_code(heat.id, judge)].cells.items()
        if typed == "N"
    }
    assert len(absent) == 1
    ((heat, line),) = absent
    for judge in (1, 2, 3):
        cells = sheets[sheet_code(heat, judge)].cells
        assert [cells.get((line, call)) for call in range(1, 9)] == ["N"] * 8


def test_only_speakers_answer_wrongly(make_day: MakeDay) -> None:
    plan, book, roster = make_day(teams=20)
    sheets = as_meant(simulate(plan, book, roster, Draw("kite")))
    answered = [place for sheet in sheets.values() for place, typed in sheet.cells.items() if "S" in typed]
    assert answered
    assert all(line == call for line, call in answered), "line n speaks at call n in this day"


def test_most_calls_are_clean_and_late_is_the_common_fault(make_day: MakeDay) -> None:
    plan, book, roster = make_day(teams=20, rounds=6)
    sheets = as_meant(simulate(plan, book, roster, Draw("kite")))
    letters = Counter(letter for sheet in sheets.values() for typed in sheet.cells.values() for letter in typed)
    boxes = len(sheets) * 64
    faulty = sum(len(sheet.cells) for sheet in sheets.values())
    assert 0.05 * boxes < faulty < 0.25 * boxes
    assert letters["L"] > letters["W"] > letters["H"] > 0


def test_harder_calls_are_missed_more_often(make_day: MakeDay) -> None:
    sheets = as_meant(simulate(*make_day(teams=20, rounds=6), Draw("kite")))
    misses = Counter(
        call for sheet in sheets.values() for (_, call), typed in sheet.cells.items() if typed in ("L", "W")
    )
    assert misses[7] + misses[8] > 2 * (misses[1] + misses[2])


def test_judges_of_one_heat_mostly_agree_but_not_always(make_day: MakeDay) -> None:
    plan, book, roster = make_day(teams=20, rounds=6)
    sheets = as_meant(simulate(plan, book, roster, Draw("kite")))
    boxes = differ = 0
    for heat in plan.heats:
        one, two = (sheets[sheet_code(heat.id, judge)].cells for judge in (1, 2))
        boxes += 64
        differ += sum(one.get(place) != two.get(place) for place in {*one, *two})
    assert 0 < differ < 0.06 * boxes


@pytest.mark.parametrize("panel", ["median", "majority"])
def test_two_judges_without_a_rule_between_them_agree_first(make_day: MakeDay, panel: str) -> None:
    plan, book, roster = make_day(judges=2, panel=panel)
    sheets = as_meant(simulate(plan, book, roster, Draw("kite")))
    for heat in plan.heats:
        assert sheets[sheet_code(heat.id, 1)].cells == sheets[sheet_code(heat.id, 2)].cells


def test_a_tiny_day_has_no_more_mistakes_than_half_its_sheets(make_day: MakeDay) -> None:
    played = simulate(*make_day(teams=2, rounds=1, judges=1), Draw("kite"))
    assert len(played.entries) == 1
    assert played.corrections == ()
