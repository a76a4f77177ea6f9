"""Rulings in the journal: their fold, and what they mean for sheets that had come in before."""

from collections import defaultdict
from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tourney.errors import FileTrouble
from tourney.model.calls import CallBook
from tourney.model.documents import dump, load
from tourney.model.people import Roster
from tourney.model.plan import Plan
from tourney.model.ruling import (
    Correct,
    CountVersion,
    Disqualify,
    LostSheet,
    NoShow,
    Reopen,
    Ruling,
    RulingBody,
    SettleCall,
    Started,
    Substitute,
    Swap,
    Void,
    ruling_words,
)
from tourney.model.sheet import FilledSheet, Marked, SheetReading
from tourney.model.sheet_layout import sheet_code
from tourney.record.collecting import ReceivedFile, collecting, plan_entry
from tourney.record.row import FIRST, Entry, Row
from tourney.record.rulings import ruling_entry
from tourney.record.sealing import seal, unseal
from tourney.record.state import DayState, fold

Make = Callable[..., FilledSheet]
AT = datetime(2027, 4, 17, 9, tzinfo=UTC)
HEAT = "J-R1-1"
CODE = sheet_code(HEAT, 1)
EVERY: list[Ruling] = [
    Correct(CODE, 1, 2, ("L", "S"), None),
    Void((HEAT,), 2, None),
    Void((HEAT, "J-R1-2"), 2, 1, rejudged=True),
    Swap(HEAT, 1, 2),
    Substitute(HEAT, 1, "J01-2", "J01-1"),
    NoShow("J01", (HEAT,)),
    Disqualify("J01-1"),
    CountVersion(CODE, 2),
    LostSheet(CODE),
    SettleCall(HEAT, 1, 2, ()),
    Reopen(3),
    Started("W01", "09:04"),
]


def kept(entry: Entry) -> dict[str, Any]:
    """The body as it comes back from the journal."""
    body: dict[str, Any] = unseal(seal(entry.body, lambda _: bytes(32)), defaultdict(lambda: bytes(32)))
    return body


@pytest.fixture
def state_of(plan: Plan, roster: Roster, book: CallBook) -> Callable[..., DayState]:
    """The state after the plan (row 1), then sheets and rulings in their order."""

    def fold_all(*steps: FilledSheet | Ruling) -> DayState:
        entries = [plan_entry(plan, roster, book)]
        for step in steps:
            if isinstance(step, FilledSheet):
                entries.append(Entry("sheet", {"sheet": dump(step), "file": {}}))
            else:
                entries.append(ruling_entry(step, "Ada", "because"))
        rows = [
            Row(seq, AT + timedelta(minutes=seq), entry.kind, entry.by, entry.why, kept(entry), FIRST, FIRST)
            for seq, entry in enumerate(entries, 1)
        ]
        return fold(rows)

    return fold_all


@pytest.mark.parametrize("ruling", EVERY)
def test_every_ruling_survives_its_document_and_has_a_sentence(ruling: Ruling) -> None:
    assert load(RulingBody, ruling_entry(ruling, "", "").body).ruling == ruling
    assert ruling_words(ruling).endswith(".") and "(" not in ruling_words(ruling)


def test_rulings_stand_until_they_are_taken_back(state_of: Callable[..., DayState]) -> None:
    state = state_of(Disqualify("J01-1"), Disqualify("J02-1"), Reopen(2))
    assert [(ruled.number, ruled.stands) for ruled in state.rulings] == [(2, False), (3, True), (4, True)]
    assert state.decisions.disqualified == {"J02-1"}
    assert (state.rulings[0].by, state.rulings[0].why, state.rulings[0].at) == (
        "Ada",
        "because",
        AT + timedelta(minutes=2),
    )


def test_the_version_that_was_ruled_to_count(state_of: Callable[..., DayState], sheet: Make) -> None:
    first, second = sheet(marks=(Marked(1, 2, ("L",)),)), sheet()
    open_ = state_of(first, second)
    assert "version 2 differs from version 1" in open_.open_matters[0].what
    for number, wanted in ((1, first), (2, second)):
        settled = state_of(first, second, CountVersion(CODE, number))
        assert (settled.sheets, settled.open_matters) == ((wanted,), ())
    third = sheet(marks=(Marked(2, 2, ("W",)),))
    again = state_of(first, second, CountVersion(CODE, 2), third)
    assert again.sheets == (second,) and "version 3 differs from version 2" in again.open_matters[0].what
    assert state_of(first, second, CountVersion(CODE, 2), Reopen(4)).open_matters == open_.open_matters


def test_a_column_of_a_call_read_anew_waits_for_its_marks(state_of: Callable[..., DayState], sheet: Make) -> None:
    old = sheet(marks=(Marked(1, 2, ("L",)), Marked(1, 3, ("S",))), open_cells=((2, 2),))
    waiting = state_of(old, Void((HEAT,), 2, 1))
    assert waiting.sheets == (replace(old, marks=old.marks[1:], judged=(1, 3, 4), open_cells=()),)
    assert waiting.versions == (old,), "what came in stays as it was"
    new = replace(old, marks=(Marked(1, 3, ("S",)), Marked(2, 2, ("W",))), open_cells=())
    assert state_of(old, Void((HEAT,), 2, 1), new).sheets == (new,)
    assert state_of(Void((HEAT,), 2, 1), old).sheets == (old,), "it came in after the ruling"
    for void in (Void((HEAT,), 2, 1, rejudged=True), Void((HEAT,), 2, None), Void(("J-R9-9",), 2, 1)):
        assert state_of(old, void).sheets == (old,)
    assert state_of(old, Void((HEAT,), 2, 1), Void((HEAT,), 2, 1, rejudged=True)).sheets == (old,)


def test_the_old_file_stays_known_after_a_void_call(state_of: Callable[..., DayState], sheet: Make) -> None:
    state = state_of(sheet(), Void((HEAT,), 2, 1))
    reading = SheetReading("old.xlsx", "tab", CODE, "accepted", sheet())
    assert collecting(state, [ReceivedFile("old.xlsx", b"old", (reading,))]).count("same") == 1


def test_a_damaged_ruling_is_named(plan: Plan, roster: Roster, book: CallBook) -> None:
    rows = [
        Row(seq, AT, entry.kind, "", "", kept(entry), FIRST, FIRST)
        for seq, entry in enumerate((plan_entry(plan, roster, book), Entry("ruling", {"ruling": {"kind": "guess"}})), 1)
    ]
    with pytest.raises(FileTrouble, match="row 2 does not hold the ruling"):
        fold(rows)


def test_before_a_plan_rulings_decide_nothing() -> None:
    entry = ruling_entry(Disqualify("J01"), "Ada", "early")
    state = fold([Row(1, AT, entry.kind, entry.by, entry.why, entry.body, FIRST, FIRST)])
    assert len(state.rulings) == 1 and not state.decisions.disqualified


@given(st.lists(st.sampled_from(EVERY), max_size=8))
def test_reopening_all_rulings_gives_the_day_without_them(made: list[Ruling]) -> None:
    """A property of the fold alone: no plan is needed to take rulings back."""
    others = [ruling for ruling in made if not isinstance(ruling, Reopen)]
    back: list[Ruling] = [Reopen(number) for number in range(1, len(others) + 1)]
    entries = [ruling_entry(ruling, "Ada", "because") for ruling in (*others, *back)]
    rows = [
        Row(seq, AT, entry.kind, entry.by, entry.why, entry.body, FIRST, FIRST) for seq, entry in enumerate(entries, 1)
    ]
    standing = [ruled for ruled in fold(rows).rulings if ruled.stands]
    assert all(isinstance(ruled.ruling, Reopen) for ruled in standing) and len(standing) == len(back)
