"""Of two versions of a sheet, the later counts only where it completes the earlier."""

from collections.abc import Callable
from dataclasses import replace
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tourney.model.sheet import FilledSheet, Letter, Marked, SheetNote
from tourney.record.versions import completes, differences, same_entries, settle

Make = Callable[..., FilledSheet]
PLACES = [(line, call) for line in (1, 2, 3) for call in (1, 2, 3, 4)]
in_any_fixture = settings(max_examples=60, suppress_health_check=[HealthCheck.function_scoped_fixture])


@st.composite
def entries(draw: st.DrawFn) -> Any:
    """Marks, open cells, ticks and initials of a sheet."""
    letters: st.SearchStrategy[Letter] = st.sampled_from(["L", "W"])
    cells = draw(st.dictionaries(st.sampled_from(PLACES), st.one_of(st.none(), letters), max_size=4))
    return {
        "marks": tuple(Marked(*place, (letter,)) for place, letter in sorted(cells.items()) if letter),
        "open_cells": tuple(place for place, letter in sorted(cells.items()) if not letter),
        "judged": tuple(sorted(draw(st.sets(st.sampled_from([1, 2, 3, 4]))))),
        "initials": draw(st.sampled_from(["", "AB"])),
    }


def test_notes_and_the_revision_make_no_difference(sheet: Make) -> None:
    assert same_entries(sheet(), sheet(revision=2, notes=(SheetNote("Sheet!A1", "hm"),)))
    assert not same_entries(sheet(), sheet(initials="CD"))


@pytest.mark.parametrize(
    ("earlier", "later", "complete"),
    [
        ({"open_cells": ((1, 2),)}, {"marks": (Marked(1, 2, ("L",)),)}, True),
        ({"open_cells": ((1, 2),)}, {}, True),
        ({"judged": (1, 2)}, {}, True),
        ({"judged": (1, 2)}, {"marks": (Marked(1, 3, ("L",)),)}, True),
        ({"judged": (1, 2)}, {"marks": (Marked(1, 2, ("L",)),)}, False),
        ({"initials": ""}, {}, True),
        ({}, {"initials": "CD"}, False),
        ({}, {"judged": (1, 2, 3)}, False),
        ({"marks": (Marked(1, 2, ("L",)),)}, {}, False),
        ({"marks": (Marked(1, 2, ("L",)),)}, {"marks": (Marked(1, 2, ("L", "S")),)}, False),
        ({"marks": (Marked(1, 2, ("L",)),), "judged": (1,)}, {"marks": (Marked(1, 2, ("L",)),)}, True),
        ({}, {"contestants": ("J01-1", "J02-1", "J01-2")}, False),
    ],
)
def test_completing(sheet: Make, earlier: Any, later: Any, complete: bool) -> None:
    assert completes(sheet(**earlier), sheet(**later)) is complete


def test_differences_are_told_by_cell(sheet: Make) -> None:
    found = differences(sheet(marks=(Marked(1, 2, ("L", "S")),)), sheet(open_cells=((3, 1),)))
    assert found == ("line 1, call 2: first L S, then clean", "line 3, call 1: first clean, then open")


@in_any_fixture
@given(entries(), entries(), entries())
def test_completing_is_an_order(sheet: Make, one: Any, two: Any, three: Any) -> None:
    a, b, c = sheet(**one), sheet(**two), sheet(**three)
    assert completes(a, a)
    if completes(a, b) and completes(b, c):
        assert completes(a, c)


@in_any_fixture
@given(st.lists(entries(), min_size=1, max_size=5))
def test_what_counts_keeps_all_that_came_first(sheet: Make, several: list[Any]) -> None:
    versions = [sheet(**each) for each in several]
    counts, contrary = settle(versions)
    assert completes(versions[0], counts)
    assert counts in versions
    assert all(version in versions[1:] for version in contrary)
    assert not any(completes(counts, version) or completes(version, counts) for version in contrary)
    assert settle([*versions, *versions])[0] == counts


@in_any_fixture
@given(entries(), st.sampled_from(PLACES))
def test_a_version_that_says_less_may_come_before_or_after(sheet: Make, some: Any, place: tuple[int, int]) -> None:
    full = sheet(**some | {"judged": (1, 2, 3, 4), "open_cells": (), "initials": "AB"})
    marks = tuple(mark for mark in full.marks if (mark.line, mark.call) != place)
    less = replace(full, marks=marks, open_cells=(place,), initials="")
    assert settle([less, full]) == settle([full, less]) == (full, ())


def test_a_version_that_completes_two_settles_both(sheet: Make) -> None:
    late = Marked(1, 1, ("L",))
    one, two = sheet(open_cells=((1, 1),)), sheet(marks=(late,), open_cells=((2, 2),))
    assert settle([one, two]) == (one, (two,))
    both = sheet(marks=(late,))
    assert settle([one, two, both]) == (both, ())
