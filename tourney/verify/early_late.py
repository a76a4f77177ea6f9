"""Late heats of a round against early ones, counted anew, beside what trying every other placement leaves possible."""

from collections import Counter
from collections.abc import Sequence
from datetime import timedelta

from tourney.model.plan import Heat, Plan
from tourney.verify.line import Line, figure

TRIED = 60_000  # heats that are put into a wave before a bound is left unproven
LARGEST = 200  # heats of a division beyond which nothing is tried


def early_late_line(plan: Plan, name: str, heats: Sequence[Heat]) -> Line:
    """Heats in the later waves of a round less those in its earlier ones, the most uneven team of a division.

    The bound holds for these heats in these waves, as many of a round in each as there are.
    """
    side = _sides(plan, heats)
    balance: Counter[str] = Counter()
    for heat in heats:
        for team in heat.teams:
            balance[team] += side[heat.round][heat.wave]
    worst = max(balance, key=lambda team: (abs(balance[team]), team))
    measured = abs(balance[worst])
    least = max(_parity(heats, side), _surplus(heats, side))
    possible = False if len(heats) <= LARGEST else None
    while least < measured and possible is False:
        possible = _can_be(plan, heats, side, least)
        least += possible is False
    counted = "; best by counting alone: too many ways to try" if least < measured and possible is None else ""
    return figure("late_less_early_heats", name, measured, least, worst + counted)


def _sides(plan: Plan, heats: Sequence[Heat]) -> dict[int, dict[str, int]]:
    """Round -> wave -> 1 in the later half of its waves, -1 in the earlier half, 0 in the very middle."""
    found: dict[int, dict[str, int]] = {}
    for number in sorted({heat.round for heat in heats}):
        starts = sorted({plan.wave[heat.wave].start for heat in heats if heat.round == number})
        middle = (len(starts) - 1) / 2
        found[number] = {
            wave.id: (starts.index(wave.start) > middle) - (starts.index(wave.start) < middle)
            for wave in plan.waves
            if any(heat.wave == wave.id and heat.round == number for heat in heats)
        }
    return found


def _parity(heats: Sequence[Heat], side: dict[int, dict[str, int]]) -> int:
    """1 where some team is early or late in each of an odd number of heats: it can't be even."""
    forced = Counter(team for heat in heats if 0 not in side[heat.round].values() for team in heat.teams)
    middle = {team for heat in heats if len(side[heat.round]) > 2 and 0 in side[heat.round].values()
              for team in heat.teams}  # fmt: skip
    return int(any(times % 2 and team not in middle for team, times in forced.items()))


def _surplus(heats: Sequence[Heat], side: dict[int, dict[str, int]]) -> int:
    """Late places less early ones, shared out over the teams; heats of unlike size could change sides, so 0 there."""
    if len({len(heat.teams) for heat in heats}) > 1:
        return 0
    teams = {team for heat in heats for team in heat.teams}
    return -(-abs(sum(side[heat.round][heat.wave] * len(heat.teams) for heat in heats)) // len(teams))


def _can_be(plan: Plan, heats: Sequence[Heat], side: dict[int, dict[str, int]], most: int) -> bool | None:
    """Does some way keep all teams within so many; None where there are too many ways to try them all."""
    order = sorted(heats, key=lambda heat: (heat.round, heat.id))
    places = Counter((heat.round, heat.wave) for heat in order)
    to_come = Counter(team for heat in order for team in heat.teams)
    rest = timedelta(minutes=plan.event.day.rest)
    over: dict[str, list[str]] = {team: [] for team in to_come}  # the waves so far of each team
    balance: Counter[str] = Counter()
    tried = 0

    def possible(at: int) -> bool:
        nonlocal tried
        if at == len(order):
            return True
        heat = order[at]
        for wave, late in side[heat.round].items():
            if not places[heat.round, wave]:
                continue
            tried += 1
            if tried > TRIED:
                return True
            start = plan.wave[wave].start
            rested = all(start >= plan.wave[over[team][-1]].end + rest for team in heat.teams if over[team])
            if not rested or any(abs(balance[team] + late) > most + to_come[team] - 1 for team in heat.teams):
                continue
            put(heat, wave, late, 1)
            if possible(at + 1):
                return True
            put(heat, wave, late, -1)
        return False

    def put(heat: Heat, wave: str, late: int, times: int) -> None:
        places[heat.round, wave] -= times
        for team in heat.teams:
            balance[team] += times * late
            to_come[team] -= times
            if times > 0:
                over[team].append(wave)
            else:
                over[team].pop()

    found = possible(0)
    return None if tried > TRIED else found
