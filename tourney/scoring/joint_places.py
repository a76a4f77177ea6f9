"""The best and the worst place that each team can still take by heat points, from the joint outcomes of open heats.

Not every team of a heat can win it, so the outcomes of a heat are taken together. Groups of heats without a team in
common have nothing to do with each other.
"""

from bisect import bisect_left, bisect_right
from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from math import inf

from tourney.scoring.outcomes import OpenHeat, TooManyError, connected, least_cost
from tourney.scoring.table import Table

MOST_TEAMS = 4  # in an open heat: five can end in 541 orders
MOST_HEATS = 64  # in a group that is followed


def joint_ranges(table: Table, ranked: Iterable[str]) -> dict[str, tuple[int, int]] | None:
    """Team -> (best, worst) place by heat points alone: level teams may still be separated either way.

    Exact, but where a group of open heats can end in more ways than can be followed: there each team is looked at by
    itself, so a range may be wider than need be, never narrower. None where more than MOST_TEAMS stand in an open heat.
    ranked: the teams that take places.
    """
    open_ = [stood for stood in table.heats if any(one.least < one.most for one in stood)]
    if any(len(stood) > MOST_TEAMS for stood in open_):
        return None
    race = _Race(table, sorted(ranked))
    return {team: (race.place(team, best=True), race.place(team, best=False)) for team in race.teams}


@dataclass
class _Group:
    """Open heats that hang together. spans: least and most of each ranked team among them, over all its heats.

    wide: they can end in more ways than can be followed. known: see ahead.
    """

    heats: list[OpenHeat]
    spans: dict[str, tuple[int, int]]
    wide: bool
    known: dict[tuple[int, bool], float] = field(default_factory=dict)

    def ahead(self, total: int, *, best: bool) -> float:
        """What its teams cost one outside that has so many heat points: see _cost."""
        if (total, best) not in self.known:
            self.known[total, best] = self.ahead_of("", total, best=best)
        return self.known[total, best]

    def ahead_of(self, own: str, total: int, *, best: bool) -> float:
        """What the others cost a team of this group that comes to that total; infinite if it can't."""
        if not self.wide:
            try:
                return least_cost(self.heats, self._costs(own, total, best=best))
            except TooManyError:
                self.wide = True
        if best:
            return float(
                len(self._least) - bisect_right(self._least, total) - (own != "" and self.spans[own][0] > total)
            )
        return -float(len(self._most) - bisect_left(self._most, total) - (own != "" and self.spans[own][1] >= total))

    def _costs(self, own: str, total: int, *, best: bool) -> dict[str, list[float]]:
        return {
            team: [
                (0 if had == total else inf) if team == own else _cost(had, total, best=best)
                for had in range(least, most + 1)
            ]
            for team, (least, most) in self.spans.items()
        }

    @cached_property
    def _least(self) -> list[int]:
        return sorted(least for least, _ in self.spans.values())

    @cached_property
    def _most(self) -> list[int]:
        return sorted(most for _, most in self.spans.values())


def _cost(had: int, total: int, *, best: bool) -> float:
    """1 for a team that is ahead of one with this total; or, for its worst place, -1 for one that may be."""
    return float(had > total) if best else -float(had >= total)


class _Race:
    """Who can end ahead of whom."""

    def __init__(self, table: Table, teams: Sequence[str]) -> None:
        self.teams = teams
        heats = [OpenHeat.of(stood, table.heat_points) for stood in table.heats]
        least, most = Counter[str](dict.fromkeys(teams, 0)), Counter[str]()
        for heat in heats:
            least.update({team: ends[0] for team, ends in heat.spans.items()})
            most.update({team: ends[1] for team, ends in heat.spans.items()})
        self._groups = []
        self._group_of: dict[str, _Group] = {}
        for joined in connected([heat for heat in heats if len(heat.outcomes) > 1]):
            there = sorted({team for heat in joined for team in heat.teams}.intersection(teams))
            spans = {team: (least[team], most[team]) for team in there}
            group = _Group(joined, spans, wide=len(joined) > MOST_HEATS)
            self._groups.append(group)
            self._group_of |= dict.fromkeys(there, group)
        self._sure = {team: least[team] for team in teams if team not in self._group_of}
        self._totals = sorted(self._sure.values())
        self._others: dict[tuple[int, bool], float] = {}  # what all groups cost a team with that total
        worth = table.heat_points
        self._plain = worth.win >= worth.draw >= worth.loss and all(len(stood) == 2 for stood in table.heats)

    def place(self, team: str, *, best: bool) -> int:
        """The best place that a team can still take, or the worst."""
        own = self._group_of.get(team)
        least, most = own.spans[team] if own else (self._sure[team], self._sure[team])
        # In a heat of two, what is best for a team is best against everybody: the more it has the less the other.
        totals = [most if best else least] if self._plain else range(least, most + 1)
        cost = min(self._cost(team, own, total, best=best) for total in totals)
        return 1 + abs(int(cost))

    def _cost(self, team: str, own: _Group | None, total: int, *, best: bool) -> float:
        """Of one that comes to this total."""
        if best:
            sure = float(len(self._totals) - bisect_right(self._totals, total))
        else:
            itself = own is None
            sure = -float(len(self._totals) - bisect_left(self._totals, total) - itself)
        if (total, best) not in self._others:
            self._others[total, best] = sum(group.ahead(total, best=best) for group in self._groups)
        others = sure + self._others[total, best]
        return others if own is None else others - own.ahead(total, best=best) + own.ahead_of(team, total, best=best)
