"""Which heat stands in which room: each team sees as many different rooms as it can."""

from collections import Counter
from collections.abc import Sequence

from ortools.graph.python.linear_sum_assignment import SimpleLinearSumAssignment

from tourney.model.event import Room
from tourney.planning.clock import Meeting

STARTS = 8
PASSES = 6  # times that every wave is assigned anew, given the others


def choose_rooms(waves: Sequence[Sequence[Meeting]], rooms: Sequence[Room]) -> list[list[int]]:
    """For each wave the room number, from 0, of each of its meetings. Lines fit their rooms.

    Wave by wave the assignment that adds fewest visits to rooms already seen, until no wave can be bettered alone;
    begun at several waves, until a beginning leads to no more visits than counting makes necessary.
    """
    heats = Counter(team for wave in waves for meeting in wave for team in meeting.teams)
    necessary = sum(max(0, count - len(rooms)) for count in heats.values())
    best: list[list[int]] = []
    fewest = None
    for start in range(min(STARTS, len(waves))):
        chosen, again = _from(start, waves, rooms)
        if fewest is None or again < fewest:
            best, fewest = chosen, again
        if fewest == necessary:
            break
    return best


def _from(start: int, waves: Sequence[Sequence[Meeting]], rooms: Sequence[Room]) -> tuple[list[list[int]], int]:
    """Rooms chosen from this wave onwards and round again, and how many visits are to a room already seen."""
    seen: Counter[tuple[str, int]] = Counter()
    chosen: list[list[int]] = [[] for _ in waves]
    for _ in range(PASSES):
        before = [list(row) for row in chosen]
        for number in (*range(start, len(waves)), *range(start)):
            _note(seen, waves[number], chosen[number], -1)
            chosen[number] = _assign(waves[number], rooms, seen)
            _note(seen, waves[number], chosen[number], +1)
        if chosen == before:
            break
    return chosen, sum(visits - 1 for visits in seen.values() if visits)


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
