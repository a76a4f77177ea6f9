"""Judges become one. Bounds are checked against every mark that judges not yet heard could write."""

from fractions import Fraction
from itertools import combinations, product

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tourney.model.event import Points
from tourney.model.sheet import LETTERS
from tourney.scoring.marks import Mark
from tourney.scoring.panel import PANELS, agreed, agreed_clean, joint, ruled

SCALE = Points()
MARKS: list[Mark] = [letters for size in range(4) for letters in combinations(LETTERS, size)]


@pytest.mark.parametrize(
    ("panel", "marks", "points"),
    [
        ("median", [(), ("S",), ("L",)], 5),
        ("median", [("S",), ("H",)], Fraction(13, 2)),
        ("median", [(), ("H",), ("S",), ("L",)], Fraction(13, 2)),
        ("mean", [(), ("S",)], Fraction(15, 2)),
        ("mean", [(), (), ("S",)], Fraction(25, 3)),
        ("chief", [("S",), (), ()], 5),
        ("majority", [("S", "H"), ("S",), ()], 5),
        ("majority", [(), (), ("L",)], 10),
    ],
)
def test_each_rule(panel: str, marks: list[Mark], points: Fraction) -> None:
    assert PANELS[panel](marks, SCALE) == points


def test_a_letter_counts_when_more_than_half_gave_it() -> None:
    assert agreed([("L",), ("L", "H"), ()]) == ("L",)
    assert agreed([("L",), ()]) == ()
    assert agreed_clean([(), (), ("L",)])
    assert not agreed_clean([(), ("L",)])


def test_the_chief_alone_decides() -> None:
    said = joint((("S",), (), None), "chief", SCALE)
    assert said.settled
    assert said.points == 5
    assert said.letters == ("S",)
    assert not joint((None, (), ()), "chief", SCALE).settled


def test_two_of_three_who_agree_settle_a_call_but_not_a_mean() -> None:
    assert joint((("L",), None, ("L",)), "median", SCALE).settled
    assert joint(((), None, ()), "majority", SCALE).settled
    assert not joint(((), None, ()), "mean", SCALE).settled
    assert not joint(((), None, ("H",)), "median", SCALE).settled


@pytest.mark.parametrize(("mark", "points"), [((), 10), (("S",), 5), (("L", "S"), 0)])
def test_a_ruling_is_the_last_word(mark: Mark, points: int) -> None:
    said = ruled(mark, SCALE)
    assert said.settled
    assert {said.points, said.least, said.most} == {Fraction(points)}
    assert (said.letters, said.clean) == (mark, not mark)


@pytest.mark.parametrize("panel", ["median", "majority"])
def test_two_judges_who_differ_are_not_settled(panel: str) -> None:
    said = joint(((), ("L",)), panel, SCALE)
    assert said.differ
    assert said.least == 0
    assert said.most == 10
    assert not said.settled
    assert not said.clean


def test_three_judges_who_agree_on_nothing_have_no_majority() -> None:
    said = joint((("L",), ("W",), ("S",)), "majority", SCALE)
    assert said.differ
    assert not said.clean
    assert said.least == 0
    assert said.points == said.most == 5, "not the 10 of a clean call, which nobody saw"
    assert joint((("L",), ("W",), ("S",)), "median", SCALE).settled, "a median decides"


def test_two_judges_who_differ_are_settled_by_a_mean() -> None:
    said = joint(((), ("L",)), "mean", SCALE)
    assert said.settled
    assert said.points == 5


def test_nobody_heard_gives_nothing_and_leaves_all_open() -> None:
    said = joint((None, None), "median", SCALE)
    assert said.points == said.least == 0
    assert said.most == 10
    assert not said.clean
    assert not said.settled


scales = st.builds(
    Points, call=st.just(10), late=st.integers(0, 12), wrong_place=st.integers(0, 12), spoken=st.integers(0, 9),
    handling=st.integers(0, 9),
)  # fmt: skip


@given(
    st.lists(st.one_of(st.sampled_from(MARKS[:6]), st.sampled_from(MARKS), st.none()), min_size=1, max_size=5),
    st.sampled_from(sorted(PANELS)),
    scales,
)
def test_bounds_hold_whatever_the_others_write(marks: list[Mark | None], panel: str, scale: Points) -> None:
    said = joint(tuple(marks), panel, scale)
    open_seats = [at for at, mark in enumerate(marks) if mark is None][:2]  # at most two, to stay quick
    for written in product(MARKS, repeat=len(open_seats)):
        whole = list(marks)
        for at, mark in zip(open_seats, written, strict=True):
            whole[at] = mark
        full = joint(tuple(whole), panel, scale)
        assert said.least <= full.least <= full.points <= full.most <= said.most
        if said.settled:
            assert (full.points, full.letters, full.clean) == (said.points, said.letters, said.clean)


@given(
    st.lists(st.one_of(st.sampled_from(MARKS[:6]), st.sampled_from(MARKS)), min_size=1, max_size=5),
    st.sampled_from(sorted(PANELS)),
    st.data(),
)
def test_a_clean_call_instead_of_faults_never_costs_points(marks: list[Mark], panel: str, data: st.DataObject) -> None:
    at = data.draw(st.integers(0, len(marks) - 1))
    better = [() if place == at else mark for place, mark in enumerate(marks)]
    assert joint(tuple(better), panel, SCALE).points >= joint(tuple(marks), panel, SCALE).points
