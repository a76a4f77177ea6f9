"""Which heat stands in which room: each team sees as many different rooms as it can."""

from collections import Counter
from collections.abc import Sequence

from ortools.graph.python.linear_sum_assignment import SimpleLinearSumAssignment

from tourney.model.event import Room
from tourney.planning.clock import Meeting

PASSES = 6  # times that every wave is assigned anew, given the others


def choose_rooms(waves: Sequence[Sequence[Meeting]], rooms: Sequence[Room]) -> list[list[int]]:
    """For each wave the room number, from 0, of each of its meetings. Lines fit their rooms.

    Wave by wave the assignment that adds fewest visits to rooms already seen, until no wave can be bettered alone.
    """
    seen: Counter[tuple[str, int]] = Counter()
    chosen: list[list[int]] = [[] for _ in waves]
    for _ in range(PASSES):
        before = [list(row) for row in chosen]
        for number, wave in enumerate(waves):
            _note(seen, wave, chosen[number], -1)
            chosen[number] = _assign(wave, rooms, seen)
            _note(seen, wave, chosen[number], +1)
        if chosen == before:
            break
    return chosen


def _note(seen: Counter[tuple[str, int]], wave: Sequence[Meeting], rooms: Sequence[int], times: int) -> None:
    for meeting, room in zip(wave, rooms, strict=False):
        for team in meeting.teams:
            seen[team, room] += times


def _assign(wave: Sequence[Meeting], rooms: Sequence[Room], seen: Counter[tuple[str, int]]) -> list[int]:
    """The cheapest rooms for one wave (linear sum assignment); rooms that stay empty take a heat that costs nothing."""
    solver = SimpleLinearSumAssignment()
    for row in range(len(rooms)):
        for number, room in enumerate(rooms):
            if row >= len(wave):
                solver.add_arc_with_cost(row, number, 0)
            elif room.line_limit >= wave[row].line:
                again = sum(seen[team, number] for team in wave[row].teams)
                solver.add_arc_with_cost(row, number, again * len(rooms) ** 2 + number)  # earlier rooms where equal
    status = solver.solve()
    assert status == solver.OPTIMAL, "the timetable puts no more heats into a wave than its rooms take"
    return [solver.right_mate(row) for row in range(len(wave))]
