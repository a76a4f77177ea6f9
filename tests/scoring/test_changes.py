"""What differs between two results."""

from collections.abc import Callable

from hypothesis import given, settings
from hypothesis import strategies as st

from tourney.model.calls import CallBook
from tourney.model.decisions import decided
from tourney.model.people import Roster
from tourney.model.plan import Plan
from tourney.model.ruling import Disqualify, SettleCall
from tourney.model.sheet import FilledSheet
from tourney.scoring.changes import changes_between
from tourney.scoring.results import results_of

Day = tuple[Plan, CallBook, Roster]


def test_who_moved_and_who_only_has_other_points(
    make_day: Callable[..., Day], fill: Callable[..., list[FilledSheet]]
) -> None:
    day = make_day(teams=2, size=2, rounds=1)
    sheets = fill(day, every_judge={("J-R1-1", line, 1): "L" for line in (3, 4)})
    before = results_of(*day, sheets, True)
    assert changes_between(before, before) == ()
    small = results_of(*day, sheets, True, decisions=decided([SettleCall("J-R1-1", 1, 2, ("H",))], day[0]))
    found = changes_between(before, small)
    assert [(one.kind, one.id, one.moved) for one in found] == [
        ("team", "T1", False), ("contestant", "T1-2", True), ("contestant", "T1-1", True),
    ]  # fmt: skip
    out = changes_between(before, results_of(*day, sheets, True, decisions=decided([Disqualify("T1")], day[0])))
    gone = {one.id: one for one in out}
    assert gone["T1"].after is None and gone["T1"].before is not None and gone["T1"].moved
    assert gone["T2"].after is not None and gone["T2"].after.place == 1


@settings(max_examples=20)
@given(st.lists(st.tuples(st.integers(1, 4), st.integers(1, 4)), max_size=5), st.booleans())
def test_back_again_is_the_same_the_other_way_round(
    make_day: Callable[..., Day], fill: Callable[..., list[FilledSheet]], cells: list[tuple[int, int]], out: bool
) -> None:
    day = make_day(teams=2, size=2, rounds=1)
    sheets = fill(day)
    rulings = [SettleCall("J-R1-1", line, call, ("W",)) for line, call in cells]
    decisions = decided([*rulings, *([Disqualify("T1")] if out else [])], day[0])
    one, other = results_of(*day, sheets, True), results_of(*day, sheets, True, decisions=decisions)
    there = {(change.id, change.before, change.after) for change in changes_between(one, other)}
    back = {(change.id, change.after, change.before) for change in changes_between(other, one)}
    assert there == back
