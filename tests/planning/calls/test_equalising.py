"""Each way of making sets equally hard, alone: what it may change, and that it helps."""

from collections.abc import Callable
from random import Random
from typing import Any

import pytest

from tourney.canon.syllabus import built_in
from tourney.planning.calls.assembly import assemble, equalise
from tourney.planning.calls.balance import balance
from tourney.planning.calls.board import Board
from tourney.planning.calls.narrowing import narrow
from tourney.planning.calls.pool import pool_of
from tourney.planning.calls.relabelling import relabel
from tourney.planning.calls.terms import settle

Way = Callable[[Board], None]
WAYS: dict[str, Way] = {
    "balance": lambda board: balance(board, Random(1)),
    "relabel": lambda board: relabel(board, 0.05, Random(1)),
    "narrow": lambda board: narrow(board, 0.05, Random(1)),
}


def start(ruled: Any, sets: int, calls: int, gap: int) -> Board:
    division = ruled(calls=calls, no_repeat_gap=gap, sections="by_size")
    pool = pool_of(built_in(), division)
    terms = settle(division, pool, built_in(), range(sets), Random(7))
    return assemble(pool, terms.quotas.rounds, gap, Random(7)).board


def kept(board: Board) -> Any:
    """All that no way may change."""
    pool, uses = board.pool, board.uses()
    ends = [(min(uses[i] for i in members), max(uses[i] for i in members)) for members in pool.members]
    return [pool.counts(held) for held in board.sets], board.repeats(), board.neighbours(), ends


def spread(board: Board) -> float:
    sums = [board.pool.total(held) for held in board.sets]
    return (max(sums) - min(sums)) * len(sums) / sum(sums)


@pytest.mark.parametrize(("sets", "calls", "gap"), [(8, 16, 1), (8, 18, 2), (6, 12, 0)])
@pytest.mark.parametrize("way", WAYS)
def test_sets_become_more_alike_and_keep_every_rule(ruled: Any, way: str, sets: int, calls: int, gap: int) -> None:
    board = start(ruled, sets, calls, gap)
    counts, repeats, neighbours, ends = kept(board)
    before = spread(board)
    WAYS[way](board)
    after = kept(board)
    assert after[0] == counts
    assert (after[1], after[2]) == (repeats, neighbours) == (0, 0)
    assert all(low >= least and high <= most for (least, most), (low, high) in zip(ends, after[3], strict=True))
    assert spread(board) < before


@pytest.mark.parametrize("way", WAYS)
def test_the_same_seed_gives_the_same_sets(ruled: Any, way: str) -> None:
    boards = [start(ruled, 6, 16, 1) for _ in range(2)]
    for board in boards:
        WAYS[way](board)
    assert boards[0].sets == boards[1].sets


def test_sets_can_be_asked_to_be_closer_than_usual(ruled: Any) -> None:
    """Twelve sets of 20 with one between two uses: within a twentieth of a percent, where 0.9 is enough for a day."""
    division = ruled(calls=20, no_repeat_gap=1, sections="by_size")
    pool = pool_of(built_in(), division)
    terms = settle(division, pool, built_in(), range(12), Random(3))
    board = equalise(assemble(pool, terms.quotas.rounds, 1, Random(3)), Random(3), 0.0005)
    assert spread(board) <= 0.0005
    assert kept(board)[1:3] == (0, 0)


def test_sets_that_are_alike_are_left_as_they_are(ruled: Any) -> None:
    board = start(ruled, 6, 16, 1)
    balance(board, Random(1))
    before = [set(held) for held in board.sets]
    for way in (relabel, narrow):
        way(board, 0.05, Random(1))
    assert board.sets == before
