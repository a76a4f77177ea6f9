"""Rooms for a whole day at once, such that each team is in each as often as in another, +-1 (CP-SAT)."""

from collections import Counter
from collections.abc import Sequence
from math import comb, factorial, log10, perm

import numpy as np
from numpy.typing import NDArray
from ortools.sat.python import cp_model

from tourney.planning.calls.solver import found, solve

EFFORT = 1.0
HOPE = -2  # decimal power of the number of such choices to be expected, below which none is looked for


def expected(waves: Sequence[Sequence[Sequence[int]]], rooms: int) -> float:
    """How many choices of rooms are as even as this, as a decimal power, if each team's rooms came by chance alone.

    Only an estimate: all choices, times the chance of every team that its visits are even (multinomial).
    """
    choices = sum(log10(perm(rooms, len(heats))) for heats in waves)
    times = Counter(team for heats in waves for teams in heats for team in teams)
    for visits, teams in sorted(Counter(times.values()).items()):
        each, more = divmod(visits, rooms)
        even = (
            comb(rooms, more) * factorial(visits) // (factorial(each + 1) ** more * factorial(each) ** (rooms - more))
        )
        choices += teams * (log10(even) - visits * log10(rooms))
    return choices


def even_rooms(
    waves: Sequence[Sequence[Sequence[int]]], fits: Sequence[NDArray[np.bool_]], hint: Sequence[Sequence[int]]
) -> list[list[int]] | None:
    """For each wave the room of each heat; None where there is no such choice, or none was found within the effort.

    None, too, where hardly any such choice is to be expected.
    waves: the teams of each heat. fits: (heats, rooms) of each wave, may the heat be there. hint: a choice near by.
    """
    rooms = fits[0].shape[1]
    if expected(waves, rooms) < HOPE:
        return None
    model = cp_model.CpModel()
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
