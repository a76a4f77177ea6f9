"""Rooms for a whole day at once, such that each team is in each as often as in another, +-1 (CP-SAT)."""

from collections import Counter
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray
from ortools.sat.python import cp_model

from tourney.planning.calls.solver import found, solve

EFFORT = 1.0


def even_rooms(
    waves: Sequence[Sequence[Sequence[int]]], fits: Sequence[NDArray[np.bool_]], hint: Sequence[Sequence[int]]
) -> list[list[int]] | None:
    """For each wave the room of each heat; None where there is no such choice, or none was found within the effort.

    waves: the teams of each heat. fits: (heats, rooms) of each wave, may the heat be there. hint: a choice near by.
    """
    model = cp_model.CpModel()
    rooms = fits[0].shape[1]
    held: dict[tuple[int, int], list[cp_model.IntVar]] = {}
    there: dict[tuple[int, int, int], cp_model.IntVar] = {}
    for wave, heats in enumerate(waves):
        for heat, teams in enumerate(heats):
            for room in np.flatnonzero(fits[wave][heat]).tolist():
                chosen = there[wave, heat, room] = model.new_bool_var("")
                model.add_hint(chosen, room == hint[wave][heat])
                for team in teams:
                    held.setdefault((team, room), []).append(chosen)
            model.add_exactly_one(there[wave, heat, room] for room in range(rooms) if (wave, heat, room) in there)
        for room in range(rooms):
            model.add_at_most_one(there[wave, heat, room] for heat in range(len(heats)) if (wave, heat, room) in there)
    times = Counter(team for heats in waves for teams in heats for team in teams)
    for team, visits in times.items():
        for room in range(rooms):
            model.add_linear_constraint(sum(held.get((team, room), [])), visits // rooms, -(-visits // rooms))
    solver, status = solve(model, 1, EFFORT)
    if not found(status):
        return None
    return [
        [
            next(r for r in range(rooms) if (w, h, r) in there and solver.value(there[w, h, r]))
            for h in range(len(heats))
        ]
        for w, heats in enumerate(waves)
    ]
