"""Late heats of a round against early ones: how they are shared out, and the best that these waves allow."""

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from math import ceil

from ortools.sat.python import cp_model

from tourney.model.plan import Heat, Wave
from tourney.planning.calls.solver import found, solve

EFFORT = 0.02  # of the constraint solver, in its deterministic seconds
LARGEST = 1500  # pairs of a heat and a wave beyond which counting alone is asked


@dataclass(frozen=True, slots=True)
class EarlyLate:
    """tilt: team -> late heats less early ones. bound: the least that the most uneven team can have.

    Bound for the heats and waves of this day: who meets whom, how many heats of a round each wave holds, and rest.
    """

    tilt: dict[str, int]
    bound: int


def early_late(heats: Iterable[Heat], waves: Mapping[str, Wave], rest: int) -> EarlyLate:
    """Of one division. Of the waves of a round the earlier half is early, the later half late; rest in minutes."""
    rounds: dict[int, list[Heat]] = {}
    for heat in heats:
        rounds.setdefault(heat.round, []).append(heat)
    side = {number: _sides([waves[heat.wave] for heat in held]) for number, held in rounds.items()}
    tilt: Counter[str] = Counter()
    for number, held in sorted(rounds.items()):
        for heat in held:
            tilt.update(dict.fromkeys(heat.teams, side[number][heat.wave]))
    worst = max(map(abs, tilt.values()), default=0)
    bound = _counted(rounds, side)
    if bound < worst and sum(len(held) * len(side[number]) for number, held in rounds.items()) <= LARGEST:
        bound = max(bound, _proven(rounds, side, waves, rest, worst))
    return EarlyLate(dict(tilt), bound)


def _sides(waves: Iterable[Wave]) -> dict[str, int]:
    """Wave -> -1 early, 0 in the middle, 1 late, among the waves of one round in the order of the day."""
    order = sorted(set(waves), key=lambda wave: wave.start)
    off = [2 * place - (len(order) - 1) for place in range(len(order))]
    return {wave.id: (late > 0) - (late < 0) for wave, late in zip(order, off, strict=True)}


def _counted(rounds: Mapping[int, Sequence[Heat]], side: Mapping[int, Mapping[str, int]]) -> int:
    """By counting: late seats less early ones are shared out over the teams, each of which can be even or odd only.

    A team whose rounds all have an even number of waves is early or late in each of them.
    """
    uneven: Counter[str] = Counter()  # rounds in which a team must be early or late
    free: set[str] = set()  # teams that may be in the middle once
    over = [0, 0]  # late seats less early ones: at least, at most
    for number, heats in rounds.items():
        late, early = (sum(side[number][heat.wave] == which for heat in heats) for which in (1, -1))
        sizes = sorted(len(heat.teams) for heat in heats)
        over[0] += sum(sizes[:late]) - sum(sizes[len(sizes) - early :])
        over[1] += sum(sizes[len(sizes) - late :]) - sum(sizes[:early])
        teams = {team for heat in heats for team in heat.teams}
        uneven.update(teams if len(side[number]) % 2 == 0 else ())
        free |= teams if len(side[number]) > 1 and len(side[number]) % 2 else set()
    spare = max(0, over[0], -over[1])
    odd = sum(times % 2 and team not in free for team, times in uneven.items())
    even = sum(times % 2 == 0 and team not in free for team, times in uneven.items())
    least = int(odd > 0)
    while spare > least * len(free) + (least - (least % 2 == 0)) * odd + (least - least % 2) * even:
        least += 1
    return least


def _proven(
    rounds: Mapping[int, Sequence[Heat]],
    side: Mapping[int, Mapping[str, int]],
    waves: Mapping[str, Wave],
    rest: int,
    worst: int,
) -> int:
    """By CP-SAT: the heats of each round in its waves in any other way, as many in each as there are, teams rested."""
    model = cp_model.CpModel()
    most = model.new_int_var(0, worst, "")
    mine: dict[str, list[tuple[int, str, cp_model.IntVar]]] = {}
    for number, heats in sorted(rounds.items()):
        chosen = [{wave: model.new_bool_var("") for wave in side[number]} for _ in heats]
        for heat, there in zip(heats, chosen, strict=True):
            model.add_exactly_one(there.values())
            for team in heat.teams:
                mine.setdefault(team, []).extend((number, wave, held) for wave, held in there.items())
            for wave, held in there.items():
                model.add_hint(held, wave == heat.wave)
        for wave, places in Counter(heat.wave for heat in heats).items():
            model.add(sum(there[wave] for there in chosen) == places)
    for day in mine.values():
        tilt = sum(side[number][wave] * held for number, wave, held in day)
        model.add_linear_constraint(most - tilt, 0, cp_model.INT32_MAX)
        model.add_linear_constraint(most + tilt, 0, cp_model.INT32_MAX)
        for number, before, one in day:
            for later, after, other in day:
                if number < later and _minutes_between(waves[before], waves[after]) < rest:
                    model.add_bool_or(one.Not(), other.Not())
    model.minimize(most)
    solver, status = solve(model, 1, EFFORT)
    return ceil(solver.best_objective_bound - 1e-6) if found(status) else 0


def _minutes_between(before: Wave, after: Wave) -> float:
    return (after.start - before.end).total_seconds() / 60
