"""The smallest change that would have altered a place: how many calls more, had they been clean."""

from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import accumulate
from math import inf

from tourney.model.event import Points
from tourney.scoring.chain import Criterion, Level, separate
from tourney.scoring.heats import TeamHeat
from tourney.scoring.table import Table
from tourney.scoring.tally import Tally
from tourney.scoring.turned_heats import ways
from tourney.scoring.words import counted, listing

Chain = Callable[[Table], Sequence[Criterion]]
Least = tuple[int, tuple[int, ...]]  # clean calls, and the rounds they are in where only some are looked at
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
    tie-breaks name first; over all heats where points rank, and heat by heat where heat points do. A call with two
    letters is taken as two faults, and of several heats only calls that turn them are counted, so that more calls may
    be told than are needed, never fewer.
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
                found[team] = f"{tries.calls(least)} would have put it ahead of {who}."
            elif not tries.open(team):
                found[team] = f"Even clean in every call it was there for, it would not have been ahead of {who}."
    if levels and len(levels[0].teams) == 1 and len(levels) > 1:
        (first,) = levels[0].teams
        nearest = tries.nearest(first)
        if nearest:
            team, least = nearest
            found[first] = f"{names[team]} would have been ahead with {tries.calls(least)}."
        elif not any(map(tries.open, table.teams)):
            found[first] = "No other team would have been ahead, even clean in every call it was there for."
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
        # Else what others made, or have not, decides whether a criterion says anything at all.
        self._apart = table.counted(table.teams) and not table.drill_offs and all(table.heats_of.values())

    def least(self, team: str, others: Sequence[str], fewer: float = inf) -> Least | None:
        """With how many clean calls a team passes others; None if all are not enough, or not fewer than so many."""
        wanted = _Wanted(self._table, team, others, self._rules, self._alike, self._apart)
        by_heat = [self._faults(at, heat.made) for at, heat in enumerate(self._table.heats_of[team])]
        if self._by_heats:
            return wanted.turning([self._in_order(faults) for faults in by_heat], fewer)
        return wanted.least(self._in_order(fault for faults in by_heat for fault in faults))

    def nearest(self, first: str) -> tuple[str, Least] | None:
        """Who would have needed the fewest clean calls to pass the first, and how many."""
        found: tuple[str, Least] | None = None
        for team in self._order:
            if team == first or self._at_least(team, first) >= (found[1][0] if found else inf):
                continue
            least = self.least(team, [first], found[1][0] if found else inf)
            if least and (not found or least[0] < found[1][0]):
                found = team, least
        return found

    def _at_least(self, team: str, first: str) -> Fraction | float:
        """Clean calls without which a team can't come level with the first; infinite where none can help."""
        table, behind = self._table, self._table.worth(first) - self._table.worth(team)
        if table.rank_by == "points":
            return behind * table.available[team] / max(1, self._rules.points.call)
        ends = table.heat_points.model_dump().values()
        met = Counter(one.own.round for one in table.meetings[team])
        won = (max(ends) - min(ends)) * max(met.values(), default=0)  # in one heat
        lost = (max(ends) - min(ends)) * sum(one.other.team == first for one in table.meetings[team])  # by the first
        return max(1, (behind - lost) / won) if won and behind <= won * len(met) + lost else inf

    def open(self, team: str) -> bool:
        """Whether calls are still open that a team heard, so that faults are not all that could have been better."""
        own = self._table.heats_of[team]
        heard = (*own, *(one.other for one in self._table.meetings[team])) if self._by_heats else own
        return any(one.least < one.most for one in heard)

    @property
    def _by_heats(self) -> bool:
        return self._table.rank_by == "heat_points"

    def calls(self, least: Least) -> str:
        """In words, with the rounds where only some were looked at."""
        calls, rounds = least
        where = f" in {'round' if len(rounds) == 1 else 'rounds'} {listing([*map(str, rounds)])}" if rounds else ""
        return f"{counted(calls, 'more clean call')}{where}"

    def _in_order(self, faults: Iterable[_Fault]) -> list[_Fault]:
        """Faults in the order in which they are taken away."""
        return sorted(faults, key=lambda one: (-one.gain, self._kinds.index(one.kind)))

    def _faults(self, at: int, made: Tally) -> Iterator[_Fault]:
        scale = self._rules.points
        for kind in self._kinds:
            gain = min(scale.call, getattr(scale, kind))
            yield from (_Fault(at, kind, gain) for _ in range(getattr(made, kind)))


@dataclass(frozen=True, slots=True)
class _Wanted:
    """A team that is to pass others. alike: the teams with each worth, as they stand.

    apart: criteria but those about meetings say the same of two teams whoever else is level with them.
    """

    table: Table
    team: str
    others: Sequence[str]
    rules: Rules
    alike: Mapping[Fraction, Sequence[str]]
    apart: bool

    def least(self, faults: Sequence[_Fault]) -> Least | None:
        """With how many of these clean it passes them; None if all are not enough. Tried from where points are."""
        own, above = self.table.worth(self.team), max(self.table.worth(other) for other in self.others)
        for count, gain in enumerate(accumulate(fault.gain for fault in faults), 1):
            enough = own + self.table.share(self.team, Fraction(gain)) >= above
            if enough and self._passes(_clean(self.table, self.team, faults[:count])):
                return count, ()
        return None

    def turning(self, faults: Sequence[Sequence[_Fault]], fewer: float) -> Least | None:
        """With how many clean calls in which rounds it passes them, less than so many; None if there are none.

        faults: heat by heat. All clean is tried last.
        """
        table, against = self.table, {one.other.team for one in self.table.meetings[self.team]}
        met = [other for other in self.others if other in against]
        rest = max((table.worth(other) for other in self.others if other not in against), default=Fraction(-1))
        for way in ways(table, self.team, met, [[one.gain for one in own] for own in faults], fewer):
            own = table.worth(self.team) + way.gained
            above = max([rest, *(table.worth(other) + lost for other, lost in zip(met, way.lost, strict=True))])
            if own > above or (own == above and self._passes(self._clean_in(faults, way.heats))):
                return way.calls, self._rounds(at for at, _ in way.heats)
        whole = [(at, len(own)) for at, own in enumerate(faults) if own]
        count = sum(calls for _, calls in whole)
        if 0 < count < fewer and self._passes(self._clean_in(faults, whole)):
            return count, self._rounds(at for at, _ in whole)
        return None

    def _clean_in(self, faults: Sequence[Sequence[_Fault]], heats: Iterable[tuple[int, int]]) -> Table:
        """heats: each with how many of its faults would have been none."""
        return _clean(self.table, self.team, [one for at, calls in heats for one in faults[at][:calls]])

    def _rounds(self, heats: Iterable[int]) -> tuple[int, ...]:
        return tuple(self.table.heats_of[self.team][at].round for at in heats)

    def _passes(self, changed: Table) -> bool:
        own, above = changed.worth(self.team), max(changed.worth(other) for other in self.others)
        if own != above:
            return own > above
        alone = self._passes_alone(changed, [other for other in self.others if changed.worth(other) == own])
        if alone is not None:
            return alone
        met = (meeting.other.team for meeting in changed.meetings[self.team])  # a heat lost costs them heat points
        level = {self.team, *self.others, *self.alike.get(own, ()), *met}
        group = [team for team in sorted(level) if changed.worth(team) == own]
        levels = separate(group, self.rules.chain(changed), self.rules.after_split)
        place = {team: at for at, found in enumerate(levels) for team in found.teams}
        return all(place[self.team] < place[other] for other in self.others if other in place)

    def _passes_alone(self, changed: Table, level: Sequence[str]) -> bool | None:
        """Whether it passes these by what criteria say of each alone; None where a group has to be looked at."""
        for criterion in self.rules.chain(changed)[1:] if self.apart else ():
            if criterion.meetings:
                return None
            finding = criterion.measure((self.team, *level))
            own = finding.values.get(self.team, ())
            if any(finding.values.get(other, ()) > own for other in level):
                return False
            level = [other for other in level if finding.values.get(other, ()) == own]
            if finding.pending or not level:
                return not level
        return False if self.apart else None


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
