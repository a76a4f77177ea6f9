"""Which heat stands in which room: each team sees as many different rooms as it can."""

from collections import Counter
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray
from ortools.graph.python.linear_sum_assignment import SimpleLinearSumAssignment

from tourney.model.event import Room
from tourney.planning.clock import Meeting
from tourney.planning.even_rooms import even_rooms

STARTS = 8
PASSES = 6  # times that every wave is assigned anew, given the others
EFFORT = 6_000_000  # pairs of a heat and a room that are priced
CHOICES = 2000  # most pairs of a heat and a room for the model of all waves

Visits = NDArray[np.int64]  # (teams, rooms) times there


def choose_rooms(waves: Sequence[Sequence[Meeting]], rooms: Sequence[Room]) -> list[list[int]]:
    """For each wave the room number, from 0, of each of its meetings. Lines fit their rooms.

    First in the order in which the rotation has them: a full round robin is drawn room by room. Then wave by wave the
    assignment that adds fewest visits to rooms already seen, until no wave can be bettered alone; begun at several
    waves. Last, for days that are not large, a constraint model of all waves together. The first of these that leads
    to visits as even as counting allows is taken, else the best.
    """
    heats = Counter(team for wave in waves for meeting in wave for team in meeting.teams)
    evenly = sum(_even_squares(count, len(rooms)) for count in heats.values())
    hall = _Hall(waves, rooms)
    best = hall.in_order()
    least = hall.price(best) if best else None
    starts = min(STARTS, len(waves), EFFORT // (len(rooms) ** 2 * max(1, len(waves)) * PASSES) + 1)
    for start in range(starts):
        if best and least == evenly:
            break
        chosen = hall.assigned_from(start)
        price = hall.price(chosen)
        if least is None or price < least:
            best, least = chosen, price
    if not best or least == evenly or len(rooms) * sum(map(len, waves)) > CHOICES:
        return best
    return even_rooms(hall.teams, hall.fits, best) or best


def _even_squares(visits: int, rooms: int) -> int:
    """Least sum of squares when so many visits are spread over so many rooms."""
    each, more = divmod(visits, rooms)
    return rooms * each**2 + more * (2 * each + 1)


class _Hall:
    """The waves and rooms as numbers."""

    def __init__(self, waves: Sequence[Sequence[Meeting]], rooms: Sequence[Room]) -> None:
        number: dict[str, int] = {}
        for wave in waves:
            for meeting in wave:
                for team in meeting.teams:
                    number.setdefault(team, len(number))
        self.teams = [[[number[team] for team in meeting.teams] for meeting in wave] for wave in waves]
        self.limits = np.array([room.line_limit for room in rooms])
        self.fits = [np.array([m.line for m in wave], dtype=np.int64)[:, None] <= self.limits for wave in waves]
        self.size = (len(number), len(rooms))

    def in_order(self) -> list[list[int]]:
        """The first heat of each wave in the first room, and so on; nothing where a line would not fit."""
        fits = all(wave[number, number] for wave in self.fits for number in range(len(wave)))
        return [list(range(len(wave))) for wave in self.fits] if fits else []

    def price(self, chosen: Sequence[Sequence[int]]) -> int:
        """Visits of each team to each room, squared, so that the more even is the cheaper."""
        seen = np.zeros(self.size, dtype=np.int64)
        for wave, row in enumerate(chosen):
            self._note(seen, wave, row, 1)
        return int((seen * seen).sum())

    def assigned_from(self, start: int) -> list[list[int]]:
        """Rooms chosen from this wave onwards and round again, until nothing changes any more."""
        seen = np.zeros(self.size, dtype=np.int64)
        count = len(self.teams)
        chosen: list[list[int]] = [[] for _ in range(count)]
        for _ in range(PASSES):
            before = [list(row) for row in chosen]
            for wave in (*range(start, count), *range(start)):
                self._note(seen, wave, chosen[wave], -1)
                chosen[wave] = self._assign(wave, seen)
                self._note(seen, wave, chosen[wave], +1)
            if chosen == before:
                break
        return chosen

    def _note(self, seen: Visits, wave: int, rooms: Sequence[int], times: int) -> None:
        for teams, room in zip(self.teams[wave], rooms, strict=False):
            seen[teams, room] += times

    def _assign(self, wave: int, seen: Visits) -> list[int]:
        """The cheapest rooms for one wave (linear sum assignment); rooms left over take a heat that costs nothing."""
        rooms = len(self.limits)
        again = [seen[teams].sum(axis=0) * rooms**2 + np.arange(rooms) for teams in self.teams[wave]]
        cost = np.array([*again, *[np.zeros(rooms, dtype=np.int64)] * (rooms - len(again))])
        fits = np.vstack([self.fits[wave], np.ones((rooms - len(again), rooms), dtype=bool)])
        heats, places = np.nonzero(fits)
        solver = SimpleLinearSumAssignment()
        solver.add_arcs_with_cost(heats, places, cost[heats, places])
        status = solver.solve()
        assert status == solver.OPTIMAL, "the timetable puts no more heats into a wave than its rooms take"
        return [solver.right_mate(row) for row in range(len(again))]
