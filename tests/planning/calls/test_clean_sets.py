"""Sets for finals, drill-offs and heats held anew: none has the very calls of a round's set, and it is measured."""

from collections.abc import Callable
from dataclasses import replace
from random import Random
from typing import Any

import pytest

from tourney.canon.syllabus import built_in
from tourney.planning.calls.fairness import Day, fairness_lines
from tourney.planning.calls.need import Row, SetNeed
from tourney.planning.calls.pool import pool_of
from tourney.planning.calls.terms import settle

BOOKS = built_in()
LINE = "clean_sets_heard_before"


def test_spare_sets_differ_from_every_set_of_the_rounds(measured: Callable[..., Any]) -> None:
    day = measured(BOOKS, (1, 1, 2, 2, 3, 3, 4, 4), calls=16)
    rounds = {frozenset(day.items(found)) for found in day.rotation}
    spare = [found for found in day.sets if found.use in ("final", "drill_off", "reserve")]
    assert len(spare) == 5 and not [found.id for found in spare if frozenset(day.items(found)) in rounds]
    assert (day.fairness[LINE].measured, day.fairness[LINE].limit, day.fairness[LINE].ok) == (0, 0, True)


def test_a_spare_set_with_the_calls_of_a_round_is_counted_and_named(ruled: Callable[..., Any]) -> None:
    division = ruled(calls=8)
    pool = pool_of(BOOKS, division)
    terms = settle(division, pool, BOOKS, [0, 1], Random(1))
    items = tuple(range(0, 64, 8))
    rounds = [
        Row(SetNeed("J-W01", "rotation", 1, 1), items),
        Row(SetNeed("J-W02", "rotation", 2, 2), (*items[:-1], 65)),
    ]
    final = Row(SetNeed("J-FINAL-1", "final", None, None), items[::-1])  # another order is no other set
    clean = Day(division, pool, terms, rounds, [replace(final, items=tuple(range(1, 65, 8)))], 0, 0)
    line = {line.property: line for line in fairness_lines(clean)}[LINE]
    assert (line.measured, line.ok, line.worst) == (0, True, "")
    line = {line.property: line for line in fairness_lines(replace(clean, others=[final]))}[LINE]
    assert (line.measured, line.ok, line.worst) == (1, False, "J-FINAL-1")


@pytest.mark.parametrize(("rounds", "calls", "heard"), [((1, 2, 3), 6, 0), ((1, 1, 2, 2, 3, 3, 4, 4), 16, 25)])
def test_finals_hold_nothing_of_any_round_where_the_list_is_long_enough(
    measured: Callable[..., Any], rounds: tuple[int, ...], calls: int, heard: int
) -> None:
    """Three rounds of six calls leave 48 books; eight sets of sixteen call every book, and 25 are left to call."""
    day = measured(BOOKS, rounds, calls=calls)
    drawn = {key for found in day.rotation for key in day.items(found)}
    finals = [key for found in day.sets if found.use in ("final", "drill_off") for key in day.items(found)]
    assert sum(key in drawn for key in finals) == heard
    line = day.fairness["calls_of_finals_heard_in_the_rounds"]
    assert (line.measured, line.bound, line.ok) == (heard, heard, True)
