"""The smallest change that would have altered a place: how many calls more, had they been clean."""

from collections import Counter
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import accumulate
from math import inf

from tourney.model.event import Points
from tourney.scoring.chain import Criterion, Level, separate
from tourney.scoring.heats import TeamHeat
from tourney.scoring.table import Table
from tourney.scoring.tally import Tally
from tourney.scoring.words import counted, listing

Chain = Callable[[Table], Sequence[Criterion]]
Least = tuple[int, int]  # clean calls, and the heat of the first of them
KINDS = ("wrong_place", "late", "spoken", "handling")


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
    """Team -> a sentence: what would have put it ahead of the next one, or, of who is first alone, another before it.

    Tried on the real chain with all else as it stands: dearest faults first, of equally dear ones those that the
    tie-breaks name first; over all heats where points rank, and within one heat where heat points do. A call with two
    letters is taken as two faults, so that more calls may be told than are needed, never fewer.
    names: team id -> name. None for a team alone, and while calls are open that could help and are not faults.
    """
    tries = _Tries(table, rules, levels)
    found = {}
    for at, level in enumerate(levels):
        shared = len(level.teams) > 1
        for team in level.teams if shared or at else ():
            others = [other for other in level.teams if other != team] if shared else list(levels[at - 1].teams)
            who = listing([names[other] for other in others]) if len(others) <= 3 else f"{len(others)} others"
            if least := tries.least(team, others):
                found[team] = f"{tries.calls(team, least)} would have put it ahead of {who}."
            elif not tries.open(team):
                found[team] = f"Even clean in every call {tries.there}, it would not have been ahead of {who}."
    if levels and len(levels[0].teams) == 1 and len(levels) > 1:
        (first,) = levels[0].teams
        nearest = tries.nearest(first)
        if nearest:
            team, least = nearest
            found[first] = f"{names[team]} would have been ahead with {tries.calls(team, least)}."
        elif not any(map(tries.open, table.teams)):
            found[first] = f"No other team would have been ahead, even clean in every call {tries.there}."
    return found


class _Tries:
    """Changes tried on one table."""

    def __init__(self, table: Table, rules: Rules, levels: Sequence[Level]) -> None:
        self._table, self._rules = table, rules
        self._order = [team for level in levels for team in level.teams]
        self._alike: dict[Fraction, list[str]] = {}
        for team in self._order:
            self._alike.setdefault(table.worth(team), []).append(team)
        named = [criterion.name for criterion in rules.chain(table)]
        self._kinds = sorted(KINDS, key=lambda kind: [*named, f"fewer_{kind}"].index(f"fewer_{kind}"))

    def least(self, team: str, others: Sequence[str]) -> Least | None:
        """(clean calls, heat) with which a team passes others; None if all of its calls are not enough."""
        wanted = _Wanted(self._table, team, others, self._rules, self._alike)
        return min((found for faults in self._choices(team) if (found := wanted.least(faults))), default=None)

    def nearest(self, first: str) -> tuple[str, Least] | None:
        """Who would have needed the fewest clean calls to pass the first, and how many."""
        found: tuple[str, Least] | None = None
        for team in self._order:
            if team == first or self._at_least(team, first) >= (found[1][0] if found else inf):
                continue
            least = self.least(team, [first])
            if least and (not found or least[0] < found[1][0]):
                found = team, least
        return found

    def _at_least(self, team: str, first: str) -> Fraction | float:
        """Clean calls without which a team can't come level with the first; infinite where none can help."""
        table, behind = self._table, self._table.worth(first) - self._table.worth(team)
        if table.rank_by == "points":
            return behind * table.available[team] / max(1, self._rules.points.call)
        ends = table.heat_points.model_dump().values()
        met = max(Counter(one.own.round for one in table.meetings[team]).values(), default=0)
        return 1 if behind <= 2 * met * (max(ends) - min(ends)) else inf  # gained in one heat, and lost by the first

    def open(self, team: str) -> bool:
        """Whether calls of a team are still open, so that its faults are not all that it could have done better."""
        return any(one.least < one.most for one in self._table.heats_of[team])

    @property
    def there(self) -> str:
        """Which calls were tried: an absence is none that could have been clean."""
        return "of any one round" if self._table.rank_by == "heat_points" else "it was there for"

    def calls(self, team: str, least: Least) -> str:
        """In words, with the round where one heat alone was looked at."""
        calls, heat = least
        where = f" in round {self._table.heats_of[team][heat].round}" if self._table.rank_by == "heat_points" else ""
        return f"{counted(calls, 'more clean call')}{where}"

    def _choices(self, team: str) -> Iterator[list[_Fault]]:
        """Faults in the order in which they are taken away."""
        by_heat = [list(self._faults(at, heat.made)) for at, heat in enumerate(self._table.heats_of[team])]
        for faults in by_heat if self._table.rank_by == "heat_points" else [[one for own in by_heat for one in own]]:
            yield sorted(faults, key=lambda one: (-one.gain, self._kinds.index(one.kind)))

    def _faults(self, at: int, made: Tally) -> Iterator[_Fault]:
        scale = self._rules.points
        for kind in self._kinds:
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

    def least(self, faults: Sequence[_Fault]) -> Least | None:
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
