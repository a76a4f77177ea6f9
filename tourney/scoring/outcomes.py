"""How heats can still end: each one by itself, and many of them together."""

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property
from itertools import combinations
from math import inf

from tourney.model.event import HeatPoints
from tourney.scoring.heats import TeamHeat

MOST_STATES = 1000  # that are remembered at once

Below = tuple[Fraction, int]  # points, and how many times less than that by as little as can be
Order = tuple[tuple[int, ...], ...]  # level teams together, best first


class TooManyError(Exception):
    """Heats can end in more ways than can be followed."""


@dataclass(frozen=True)
class OpenHeat:
    """outcomes: heat points of all its teams at once, one tuple for each way in which it can end."""

    teams: tuple[str, ...]
    outcomes: tuple[tuple[int, ...], ...]

    @staticmethod
    def of(stood: Sequence[TeamHeat], worth: HeatPoints) -> "OpenHeat":
        """With the outcomes that sheets not yet in leave open."""
        found = set()
        for order in orders(stood):
            rank = {at: place for place, level in enumerate(order) for at in level}
            found.add(tuple(_earned(at, rank, worth) for at in range(len(stood))))
        return OpenHeat(tuple(one.team for one in stood), tuple(sorted(found)))

    @cached_property
    def spans(self) -> dict[str, tuple[int, int]]:
        """The least and the most that it can bring each team."""
        return {
            team: (min(gains), max(gains))
            for team, gains in zip(self.teams, zip(*self.outcomes, strict=True), strict=True)
        }


def _earned(own: int, rank: Mapping[int, int], worth: HeatPoints) -> int:
    others = [place for at, place in rank.items() if at != own]
    return sum(worth.draw if place == rank[own] else worth.win if place > rank[own] else worth.loss for place in others)


def orders(stood: Sequence[TeamHeat]) -> Iterator[Order]:
    """Every order in which the teams of a heat can end, by their numbers in it; level ones together.

    Points are taken as any number between least and most: these are never fewer orders than can come about.
    """
    yield from _orders(stood, tuple(range(len(stood))), None)


def _orders(stood: Sequence[TeamHeat], left: tuple[int, ...], above: Below | None) -> Iterator[Order]:
    if not left:
        yield ()
    for size in range(1, len(left) + 1):
        for level in combinations(left, size):
            made = _highest([stood[at].most for at in level], above)
            if all(stood[at].least < made[0] or made == (stood[at].least, 0) for at in level):
                rest = tuple(at for at in left if at not in level)
                yield from ((level, *below) for below in _orders(stood, rest, made))


def _highest(most: Sequence[Fraction], above: Below | None) -> Below:
    """The most that level teams can have made, less than those above them."""
    own = min(most)
    if above is None or own < above[0]:
        return own, 0
    return above[0], above[1] + 1


def least_cost(heats: Sequence[OpenHeat], costs: Mapping[str, Sequence[float]]) -> float:
    """The least sum of the teams' costs over all joint outcomes of these heats; infinite if each outcome costs so.

    costs: for each team that costs anything, by the heat points that it gains over its least. Heats are joined one
    after another; of a team is remembered what it gained, until its cost is told. TooManyError beyond MOST_STATES.
    """
    left: Counter[str] = Counter()
    for heat in heats:
        left.update({team: most - least for team, (least, most) in heat.spans.items()})
    live: list[str] = []
    states: dict[tuple[int | None, ...], float] = {(): 0}
    waiting = Counter(team for heat in heats for team in heat.teams)
    for heat in heats:
        spans = heat.spans
        for team, (least, most) in spans.items():
            left[team] -= most - least
            waiting[team] -= 1
        live_then = [team for team in dict.fromkeys((*live, *heat.teams)) if waiting[team] and team in costs]
        after: dict[tuple[int | None, ...], float] = {}
        for state, spent in states.items():
            for outcome in heat.outcomes:
                gained: dict[str, int | None] = dict(zip(live, state, strict=True))
                total = spent
                for team, gain in zip(heat.teams, outcome, strict=True):
                    before = gained.get(team, 0)
                    if before is None or team not in costs:
                        continue
                    now = before + gain - spans[team][0]
                    still = costs[team][now : now + left[team] + 1]
                    if min(still) == max(still):
                        gained[team] = None
                        total += still[0]
                    else:
                        gained[team] = now
                if total < inf:
                    key = tuple([gained.get(team, 0) for team in live_then])
                    after[key] = min(total, after.get(key, inf))
            if len(after) > MOST_STATES:
                raise TooManyError
        live, states = live_then, after
    return min(states.values(), default=inf)


def connected(heats: Sequence[OpenHeat]) -> list[list[OpenHeat]]:
    """Heats in groups without a team in common; within a group in an order that soon has done with each team."""
    of_team: dict[str, list[OpenHeat]] = {}
    for heat in heats:
        for team in heat.teams:
            of_team.setdefault(team, []).append(heat)
    groups: list[list[OpenHeat]] = []
    done: set[int] = set()
    for first in heats:
        if id(first) in done:
            continue
        groups.append([])
        waiting = [*first.teams]
        for team in waiting:
            for heat in of_team[team]:
                if id(heat) not in done:
                    done.add(id(heat))
                    groups[-1].append(heat)
                    waiting += [other for other in heat.teams if other not in waiting]
    return groups
