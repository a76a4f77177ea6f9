"""The smallest change that would have given a team another place: how many of its calls more, had they been clean."""

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import accumulate

from tourney.model.event import Points
from tourney.scoring.chain import Criterion, Level, separate
from tourney.scoring.heats import TeamHeat
from tourney.scoring.table import Table
from tourney.scoring.tally import Tally
from tourney.scoring.words import listing

Chain = Callable[[Table], Sequence[Criterion]]


@dataclass(frozen=True, slots=True)
class Rules:
    """How a division ranks. chain: the criteria that look at a table."""

    chain: Chain
    after_split: str
    points: Points


@dataclass(frozen=True, slots=True)
class _Fault:
    """A faulty call of a counting member. heat: its number among the team's heats. gain: points, were it clean."""

    heat: int
    kind: str
    gain: int


def smallest_changes(table: Table, levels: Sequence[Level], rules: Rules, names: Mapping[str, str]) -> dict[str, str]:
    """Team -> a sentence; none for who is first alone, and for whom no number of clean calls would have been enough.

    Tried on the real chain with all else as it stands: dearest faults first, over all heats where points rank, and
    within one heat where heat points do. names: team id -> name.
    """
    alike: dict[Fraction, list[str]] = {}
    for level in levels:
        for team in level.teams:
            alike.setdefault(table.worth(team), []).append(team)
    found = {}
    for at, level in enumerate(levels):
        shared = len(level.teams) > 1
        for team in level.teams if shared or at else ():
            others = [other for other in level.teams if other != team] if shared else list(levels[at - 1].teams)
            wanted = _Wanted(table, team, others, rules, alike)
            tried = [result for faults in _choices(table, team, rules.points) if (result := wanted.least(faults))]
            if tried:
                calls, heat = min(tried)
                where = f" in round {table.heats_of[team][heat].round}" if table.rank_by == "heat_points" else ""
                more = f"{calls} more clean call{'' if calls == 1 else 's'}{where}"
                who = listing([names[other] for other in others]) if len(others) <= 3 else f"{len(others)} others"
                found[team] = f"{more} would have put it ahead of {who}."
    return found


def _choices(table: Table, team: str, scale: Points) -> Iterator[list[_Fault]]:
    """Faults in the order in which they are taken away."""
    heats = table.heats_of[team]
    by_heat = [list(_faults(at, heat.made, scale)) for at, heat in enumerate(heats)]
    for faults in by_heat if table.rank_by == "heat_points" else [[one for own in by_heat for one in own]]:
        yield sorted(faults, key=lambda one: -one.gain)


def _faults(at: int, made: Tally, scale: Points) -> Iterator[_Fault]:
    for kind in ("wrong_place", "late", "spoken", "handling"):
        gain = min(scale.call, getattr(scale, kind))
        yield from (_Fault(at, kind, gain) for _ in range(getattr(made, kind)))


@dataclass(frozen=True, slots=True)
class _Wanted:
    """A team that is to pass others. alike: the teams with each worth, as they stand."""

    table: Table
    team: str
    others: Sequence[str]
    rules: Rules
    alike: Mapping[Fraction, Sequence[str]]

    def least(self, faults: Sequence[_Fault]) -> tuple[int, int] | None:
        """(clean calls, heat of the first) with which it passes them; None if all of these are not enough."""
        for count in self._counts(faults):
            if self._passes(_clean(self.table, self.team, faults[:count])):
                return count, faults[0].heat
        return None

    def _counts(self, faults: Sequence[_Fault]) -> Iterator[int]:
        """Numbers of calls worth trying: from where points are enough, if they rank; with each one more chances."""
        own, above = self.table.worth(self.team), max(self.table.worth(other) for other in self.others)
        gains = list(accumulate(fault.gain for fault in faults))
        for count, gain in enumerate(gains, 1):
            by_points = self.table.rank_by == "points"
            if not by_points or own + self.table.share(self.team, Fraction(gain)) >= above:
                yield count

    def _passes(self, changed: Table) -> bool:
        own, above = changed.worth(self.team), max(changed.worth(other) for other in self.others)
        if own != above:
            return own > above
        met = (meeting.other.team for meeting in changed.meetings[self.team])  # a heat lost costs them heat points
        level = {self.team, *self.others, *self.alike.get(own, ()), *met}
        group = [team for team in sorted(level) if changed.worth(team) == own]
        levels = separate(group, self.rules.chain(changed), self.rules.after_split)
        place = {team: at for at, found in enumerate(levels) for team in found.teams}
        return all(place[self.team] < place[other] for other in self.others if other in place)


def _clean(table: Table, team: str, faults: Sequence[_Fault]) -> Table:
    """The table as it would be had these calls of a team been clean."""
    heats = list(table.heats_of[team])
    for fault in faults:
        heats[fault.heat] = _better(heats[fault.heat], fault)
    return table.with_heats(team, heats)


def _better(heat: TeamHeat, fault: _Fault) -> TeamHeat:
    made = replace(
        heat.made,
        points=heat.made.points + fault.gain,
        clean_calls=heat.made.clean_calls + 1,
        **{fault.kind: getattr(heat.made, fault.kind) - 1},
    )
    return replace(heat, made=made, least=heat.least + fault.gain, most=max(heat.most, heat.least + fault.gain))
