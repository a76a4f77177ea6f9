"""What can't be drawn is refused exactly: section, have, need, why, and changes that really help."""

import re
import tomllib
from dataclasses import replace
from typing import Any

import pytest

from tourney.canon.syllabus import Syllabus, built_in
from tourney.draw import Draw
from tourney.errors import Refusal
from tourney.planning.calls.draw import draw_call_sets
from tourney.planning.calls.further import Sealed, Wanted
from tourney.planning.calls.need import SetNeed

BOOKS = built_in()


def refused(measured: Any, syllabus: Syllabus, rounds: tuple[int, ...], **rules: Any) -> Refusal:
    with pytest.raises(Refusal) as caught:
        measured(syllabus, rounds, **rules)
    return caught.value


def test_a_gap_that_sections_are_too_small_for(measured: Any) -> None:
    found = refused(measured, BOOKS, (1, 2, 3, 4), calls=16, no_repeat_gap=2)
    assert [(s.what, s.have, s.need) for s in found.shortages] == [
        (f"Items in {name}", 5, 6) for name in ("Law", "Poetry", "Major Prophets", "Gospels and Acts")
    ]
    assert "3 sets heard one after another" in found.shortages[0].why
    assert found.proven
    assert found.cures[0] == "Set no_repeat_gap = 1 for Junior (now 2)."


@pytest.mark.parametrize(
    "rules",
    [
        {"calls": 16, "no_repeat_gap": 2},
        {"calls": 9, "sections": {"law": 1, "paul": 1}, "first_last": "leave_out"},
        {"calls": 16, "sections": {"law": 1}},
        {"calls": 5, "sections": {"law": 1}},
        {"calls": 3, "sections": {"law": 1}},
        {"calls": 5, "sections": {"law": 1, "history": 1}, "no_repeat_gap": 4},
    ],
)
def test_every_cure_helps(measured: Any, rules: dict[str, Any]) -> None:
    """Neighbours and sets for finals count too, not sections alone."""
    found = refused(measured, BOOKS, (1, 2, 3, 4), **rules)
    assert found.cures
    for cure in found.cures:
        change = tomllib.loads(cure.removeprefix("Set ").split(" for Junior")[0])
        assert measured(BOOKS, (1, 2, 3, 4), **(rules | change)).rotation


def test_reserve_sets_of_which_there_are_not_so_many(needs: Any, ruled: Any, listed: Any) -> None:
    """One call of eight items: eight sets, of which a round, a final and practice need three."""
    asked = [*needs((1,)), *(SetNeed(f"J-RESERVE-{n}", "reserve", None, None) for n in range(2, 8))]
    with pytest.raises(Refusal) as caught:
        draw_call_sets(ruled(calls=1, reserve_sets=7), asked, listed((8,)), Draw("w", "s"))
    found = caught.value
    assert [(s.what, s.have, s.need) for s in found.shortages] == [("Different sets of 1 call (Shelf0 1)", 8, 10)]
    assert found.proven and found.cures[0] == "Set reserve_sets = 5 for Junior (now 7)."


def test_further_sets_of_which_there_are_not_so_many(needs: Any, ruled: Any, listed: Any) -> None:
    """One call of four items: of four sets two are drawn, and three more wanted. Five items are one too many."""
    division, draw = ruled(calls=1), Draw("w", "s")
    sets = draw_call_sets(division, needs((1, 2), others=False), listed((4,)), draw).sets
    wanted = [Wanted(SetNeed(f"J-W0{n}", "rotation", 1, n), sets[0]) for n in (3, 4, 5)]
    with pytest.raises(Refusal) as caught:
        Sealed(division, listed((4,)), sets, ()).further(wanted, draw)
    found = caught.value
    assert [(s.what, s.have, s.need) for s in found.shortages] == [("Different sets of 1 call (Shelf0 1)", 4, 5)]
    assert found.proven and found.cures == ("Let the division hear 1 item more of Shelf0.",)
    assert len(Sealed(division, listed((5,)), sets, ()).further(wanted, draw)) == 3


def test_the_largest_smaller_number_of_calls_is_named(measured: Any) -> None:
    """43 calls, two rounds: four sections give all 5 books, so the others 46 calls, and one of them 12 for 10.75."""
    found = refused(measured, BOOKS, (1, 2), calls=48)
    assert (found.shortages[0].have, found.shortages[0].need) == (5, 6)
    assert "Set calls = 42 for Junior (now 48)." in found.cures


def test_a_gap_left_out_gives_way_and_says_so(measured: Any) -> None:
    day = measured(BOOKS, (1, 1, 2, 2), calls=20)
    line = day.fairness["sets_between_reuse"]
    assert (line.measured, line.limit, line.ok, line.worst) == (0, 0, True, "counting allows no more")
    assert refused(measured, BOOKS, (1, 1, 2, 2), calls=20, no_repeat_gap=1).proven


def test_unknown_sections_are_named(measured: Any) -> None:
    found = refused(measured, BOOKS, (1,), sections={"laws": 1, "paul": 2, "zeta": 1})
    assert "laws, zeta" in found.message
    assert "law, history, poetry" in found.cures[-1]


@pytest.mark.parametrize("weights", [{}, {"law": 0.0}])
def test_weights_that_come_to_nothing(measured: Any, weights: dict[str, float]) -> None:
    assert "nothing to call" in refused(measured, BOOKS, (1,), sections=weights).message


def test_equal_sections_of_which_a_division_hears_only_some(measured: Any) -> None:
    items = tuple(
        replace(item, divisions=("Senior",)) if item.section in ("law", "history") else item for item in BOOKS.items
    )
    found = refused(measured, Syllabus(items), (1, 2), calls=12)
    assert [(s.what, s.have, s.need) for s in found.shortages] == [("Items in Law", 0, 2), ("Items in History", 0, 2)]
    assert found.cures[0].startswith("Set sections = { poetry = 1, major_prophets = 1,")


def test_a_division_without_items(measured: Any) -> None:
    items = tuple(replace(item, divisions=("Senior",)) for item in BOOKS.items)
    assert "nothing to call" in refused(measured, Syllabus(items), (1,)).message


@pytest.mark.parametrize(
    ("sizes", "rules"),
    [
        ((6, 2), {"calls": 6}),
        ((6, 1, 6), {"calls": 9, "no_repeat_gap": 1}),
        ((5, 3, 2, 3), {"calls": 7, "no_repeat_gap": 2}),
        ((3, 1, 7, 5), {"calls": 5, "no_repeat_gap": 2}),
        ((2, 1), {"calls": 5, "no_repeat_gap": 1}),
        ((2, 9), {"calls": 4, "sections": {"shelf0": 3, "shelf1": 1}}),
    ],
)
def test_lists_of_ones_own_may_grow(measured: Any, listed: Any, sizes: tuple[int, ...], rules: dict[str, Any]) -> None:
    """Added as the cure says, the sets are drawn; with one item fewer in any section they are not."""
    cure = refused(measured, listed(sizes), (1, 2, 3), **rules).cures[-1]
    more = {int(section): int(few) for few, section in re.findall(r"(\d+) to Shelf(\d+)", cure)}
    grown = [size + more.get(section, 0) for section, size in enumerate(sizes)]
    assert more and measured(listed(grown), (1, 2, 3), **rules).rotation
    for section in more:
        fewer = [size - (number == section) for number, size in enumerate(grown)]
        refused(measured, listed(fewer), (1, 2, 3), **rules)


def test_sections_that_have_no_room_together(measured: Any, listed: Any) -> None:
    """Five calls of three sections: two have to give two each, but each of them has one item."""
    found = refused(measured, listed((5, 1, 1)), (1,), calls=5)
    assert [(s.what, s.have, s.need) for s in found.shortages] == [("Calls that a set can have", 4, 5)]


def test_neighbours_that_no_order_keeps_apart(measured: Any, listed: Any) -> None:
    """Four of five items in a row: neighbours would be called within three calls of each other."""
    found = refused(measured, listed((5,)), (1,), calls=4)
    assert "no two are neighbours" in found.shortages[0].what
    assert (found.shortages[0].have, found.shortages[0].need, found.proven) == (3, 4, True)


def test_a_final_that_could_only_repeat_a_set(needs: Any, ruled: Any, listed: Any) -> None:
    """All ten items are in every set, so the final would be the same."""
    with pytest.raises(Refusal) as caught:
        draw_call_sets(ruled(calls=10), needs((1,)), listed((10,)), Draw("w", "s"))
    found = caught.value
    assert "J-FINAL-1" in found.message and found.proven
    assert [(s.have, s.need) for s in found.shortages] == [(1, 4)]  # round, final, reserve and practice
    assert found.cures[0].startswith("Set calls = ")


def test_a_set_that_drawn_starts_miss_is_found_exactly(measured: Any) -> None:
    """Of the law's five books six pairs are no neighbours, and six sets of two calls are needed."""
    day = measured(BOOKS, (1, 2, 3), calls=2, sections={"law": 1, "paul": 1}, no_repeat_gap=0)
    assert len({frozenset(day.items(found)) for found in day.sets if found.use != "rotation"}) == 6
