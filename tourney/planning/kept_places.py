"""Places in the day that were kept for a round: who comes into which of them, and which officials."""

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from itertools import count

import numpy as np
from ortools.graph.python.linear_sum_assignment import SimpleLinearSumAssignment

from tourney.errors import Refusal, Shortage
from tourney.model.people import Roster
from tourney.model.plan import Heat, Plan, ReservedHeat
from tourney.planning.officials import fill_seats
from tourney.planning.schedule import benches_of
from tourney.planning.seats import Bench

ROOM = 1000  # price of a visit to a room seen before; early and late waves come after it


def give_places(
    plan: Plan,
    heats: Sequence[tuple[str, ...]],
    slots: Sequence[ReservedHeat],
    members: Mapping[str, Sequence[str]],
) -> list[tuple[ReservedHeat, tuple[str, ...]]]:
    """Each heat with its place: rooms not seen before, then early and late shared out (linear sum assignment).

    Where a kept place was lost, or heats are more than places, other rooms of the same waves step in.
    """
    limit = {room.name: room.line_limit for room in plan.event.rooms if room.name not in plan.closed_rooms}
    busy = {(heat.wave, heat.room) for heat in plan.heats}
    usable = [slot for slot in slots if slot.room in limit and (slot.wave, slot.room) not in busy]
    usable += _other_rooms(plan, slots, limit, busy)[: max(0, len(heats) - len(usable))]
    if len(heats) > len(usable):
        round_ = slots[0].round if slots else 0
        raise Refusal(
            f"Round {round_} needs {len(heats)} places in the day, and {len(usable)} are kept for it.",
            (Shortage("rooms and waves kept for the round", len(usable), len(heats)),),
            ("Ask tourney replan to make room for it.",),
        )
    seen = Counter((team, heat.room) for heat in plan.heats for team in heat.teams)
    side, tilt = _sides(plan, usable), _tilt(plan, {team for heat in heats for team in heat})
    cost = np.zeros((len(usable), len(usable)), dtype=np.int64)  # heats, then places that stay empty
    fits = np.ones_like(cost, dtype=bool)
    for row, teams in enumerate(heats):
        line = sum(len(members[team]) for team in teams)
        for column, slot in enumerate(usable):
            cost[row, column] = sum(
                ROOM * seen[team, slot.room] + (tilt[team] + side[slot.wave]) ** 2 for team in teams
            )
            fits[row, column] = line <= limit[slot.room]
    solver = SimpleLinearSumAssignment()
    rows, columns = np.nonzero(fits)
    solver.add_arcs_with_cost(rows, columns, cost[rows, columns])
    status = solver.solve()
    if status != solver.OPTIMAL:
        widest = max(limit[slot.room] for slot in usable)
        longest = max(sum(len(members[team]) for team in teams) for teams in heats)
        raise Refusal(
            f"Round {slots[0].round} has lines of up to {longest} children, and the rooms kept for it are too narrow.",
            (Shortage("places in one line", widest, longest),),
            ("Raise line_limit of a room, if it really has the space, or ask tourney replan for another room.",),
        )
    return [(usable[solver.right_mate(row)], teams) for row, teams in enumerate(heats)]


def _other_rooms(
    plan: Plan, slots: Sequence[ReservedHeat], limit: Mapping[str, int], busy: set[tuple[str, str]]
) -> list[ReservedHeat]:
    """Rooms that are free in the waves of these places, the widest first, with ids of their own."""
    taken = busy | {(slot.wave, slot.room) for slot in plan.reserved}
    free = [
        replace(slot, room=room)
        for room in sorted(limit, key=lambda name: (-limit[name], name))
        for slot in {slot.wave: slot for slot in slots}.values()
        if (slot.wave, room) not in taken
    ]
    names = (f"{slots[0].id.rsplit('-', 1)[0]}-{number}" for number in count(len(slots) + 1))
    return [replace(slot, id=name) for slot, name in zip(free, names, strict=False)]


def _sides(plan: Plan, heats: Sequence[Heat | ReservedHeat]) -> dict[str, int]:
    """Wave -> -1 early, 0 in the middle, 1 late among the waves of one round."""
    waves = [wave.id for wave in plan.waves if any(heat.wave == wave.id for heat in heats)]
    return {wave: int(np.sign(2 * place - len(waves) + 1)) for place, wave in enumerate(waves)}


def _tilt(plan: Plan, teams: Iterable[str]) -> Counter[str]:
    """Late heats less early ones of each of these teams, all of one division."""
    wanted = set(teams)
    mine = [heat for heat in plan.heats if not wanted.isdisjoint(heat.teams)]
    found: Counter[str] = Counter()
    for number in sorted({heat.round for heat in mine}):
        held = [heat for heat in mine if heat.round == number]
        side = _sides(plan, held)
        for heat in held:
            for team in heat.teams:
                found[team] += side[heat.wave]
    return found


def next_benches(plan: Plan, roster: Roster, heats: Sequence[Heat]) -> list[tuple[Bench, ...]]:
    """The seats of these heats wave by wave, with those of heats that are drawn later. Who is on duty stays there."""
    reachable = {room.name: room.step_free for room in plan.event.rooms}
    fresh = {heat.id for heat in heats}
    found = []
    for wave in plan.waves:
        mine = [heat for heat in heats if heat.wave == wave.id]
        later = [slot for slot in plan.reserved if slot.wave == wave.id and slot.id not in fresh]
        later = [slot for slot in later if all(slot.division != heat.division for heat in mine)]
        taken = frozenset(person for heat in plan.heats if heat.wave == wave.id for _, person in heat.seats)
        if mine:
            asking: list[Heat | ReservedHeat] = [*mine, *later]
            held: list[Bench] = []
            for heat in asking:
                teams = tuple(roster.team[team] for team in heat.teams) if isinstance(heat, Heat) else ()
                held += benches_of(heat, plan.event.division(heat.division), wave, teams, reachable, taken)
            found.append(tuple(held))
    return found


def seat_officials(plan: Plan, roster: Roster, heats: Sequence[Heat], waves: Sequence[tuple[Bench, ...]]) -> list[Heat]:
    """The heats with people in every seat; there must be no gaps."""
    people = {
        (bench.heat, bench.duty): found for bench, found in fill_seats(waves, roster.officials, plan.heats).items()
    }
    return [
        replace(
            heat,
            judges=people[heat.id, "judge"],
            caller=people[heat.id, "caller"][0],
            timekeeper=people.get((heat.id, "timekeeper"), (None,))[0],
        )
        for heat in heats
    ]
