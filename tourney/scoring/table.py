"""What tie-breaks look at: every heat of a division, and who met whom in it."""

from collections import ChainMap
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from fractions import Fraction
from functools import cached_property
from itertools import permutations
from typing import Literal

from tourney.model.event import HeatPoints
from tourney.scoring.heats import TeamHeat
from tourney.scoring.tally import Tally, total

Outcome = Literal["win", "draw", "loss"]
OUTCOMES: tuple[Outcome, ...] = ("win", "draw", "loss")


@dataclass(frozen=True, slots=True)
class Meeting:
    """Two teams in one heat, seen from `own`. A heat of more than two holds a meeting for each pair."""

    own: TeamHeat
    other: TeamHeat

    @property
    def margin(self) -> Fraction:
        """Own points less the other team's."""
        return self.own.made.points - self.other.made.points

    @property
    def possible(self) -> tuple[Outcome, ...]:
        """Outcomes that sheets not yet in leave open; one alone once it is decided."""
        own, other = self.own, self.other
        can = (own.most > other.least, own.least <= other.most and other.least <= own.most, own.least < other.most)
        return tuple(outcome for outcome, open_ in zip(OUTCOMES, can, strict=True) if open_)

    @property
    def outcome(self) -> Outcome | None:
        """How it ended; None while it may still end otherwise."""
        possible = self.possible
        return possible[0] if len(possible) == 1 else None


@dataclass(frozen=True)
class Table:
    """A division's heats. heats: the teams that stood together, heat by heat.

    rank_by: points or heat_points. lots: team -> its number in the lot, 1 first.
    drill_offs: team -> points made in one, and in each reading after it.
    excused: teams that no drill-off concerns, though they may be level with those who hold one.
    open_points: team -> the least and the most points it can still have, where that is not the sum over its heats.
    """

    teams: tuple[str, ...]
    heats: tuple[tuple[TeamHeat, ...], ...]
    rank_by: str = "points"
    heat_points: HeatPoints = field(default_factory=HeatPoints)
    lots: Mapping[str, int] = field(default_factory=dict)
    drill_offs: Mapping[str, tuple[Fraction, ...]] = field(default_factory=dict)
    open_points: Mapping[str, tuple[Fraction, Fraction]] = field(default_factory=dict)
    excused: frozenset[str] = frozenset()

    @cached_property
    def heats_of(self) -> dict[str, tuple[TeamHeat, ...]]:
        """Each team's heats in the order of their rounds."""
        found: dict[str, list[TeamHeat]] = {team: [] for team in self.teams}
        for stood in self.heats:
            for one in stood:
                found[one.team].append(one)
        return {team: tuple(sorted(own, key=lambda one: one.round)) for team, own in found.items()}

    @cached_property
    def meetings(self) -> dict[str, tuple[Meeting, ...]]:
        """Each team's meetings in the order of their rounds. A bye is none."""
        found: dict[str, list[Meeting]] = {team: [] for team in self.teams}
        for stood in self.heats:
            for own, other in permutations(stood, 2):
                found[own.team].append(Meeting(own, other))
        return {team: tuple(sorted(met, key=lambda one: one.own.round)) for team, met in found.items()}

    @cached_property
    def made(self) -> dict[str, Tally]:
        """What each team made over all its heats."""
        return {team: total([one.made for one in own]) for team, own in self.heats_of.items()}

    @cached_property
    def available(self) -> dict[str, int]:
        """Points available to each team over all its heats."""
        return {team: sum(one.available for one in own) for team, own in self.heats_of.items()}

    @cached_property
    def hardest(self) -> dict[str, int]:
        """Points available to each team on the hardest calls of its heats."""
        return {team: sum(one.hardest for one in own) for team, own in self.heats_of.items()}

    @cached_property
    def even(self) -> bool:
        """Whether all teams had the same points available, so that totals may be compared as they are."""
        return len(set(self.available.values())) <= 1

    def with_heats(self, team: str, heats: Sequence[TeamHeat]) -> "Table":
        """The table with other marks in one team's heats, in the order of their rounds; the heats stay the same ones.

        Only what that changes is worked out anew, so that many changes can be tried.
        """
        now = {(one.team, one.round): one for one in heats}
        met = tuple(Meeting(now[team, one.own.round], one.other) for one in self.meetings[team])
        meetings, totals = {team: met}, {team: sum(map(self.earned, met))}
        for other in {one.other.team for one in met}:
            before = [one for one in self.meetings[other] if one.other.team == team]
            after = [Meeting(one.own, now[team, one.other.round]) for one in before]
            turned = iter(after)
            meetings[other] = tuple(next(turned) if one.other.team == team else one for one in self.meetings[other])
            gain = sum(map(self.earned, after)) - sum(map(self.earned, before))
            totals[other] = self.heat_total[other] + gain
        changed = replace(self)
        # These are what the cached properties of the same names would come to.
        vars(changed).update(
            heats_of=ChainMap({team: tuple(heats)}, self.heats_of),
            meetings=ChainMap(meetings, self.meetings),
            made=ChainMap({team: total([one.made for one in heats])}, self.made),
            heat_total=ChainMap(totals, self.heat_total),
            available=self.available,
            hardest=self.hardest,
        )
        return changed

    def counted(self, teams: Iterable[str]) -> bool:
        """Whether single calls are known in every heat of these teams, and not their points alone."""
        return all(one.counted for team in teams for one in self.heats_of[team])

    def share(self, team: str, points: Fraction) -> Fraction:
        """Points as a part of what was available to the team; 0 for a team that stood in no heat."""
        return points / self.available[team] if self.available[team] else Fraction(0)

    def earned(self, met: Meeting) -> int:
        """Heat points of one meeting; nothing while it is undecided."""
        outcome = met.outcome
        return int(getattr(self.heat_points, outcome)) if outcome else 0

    @cached_property
    def heat_total(self) -> dict[str, int]:
        """Heat points of each team over all its meetings."""
        return {team: sum(self.earned(one) for one in met) for team, met in self.meetings.items()}

    def worth(self, team: str) -> Fraction:
        """What ranks first: the exact part of the points available, or heat points."""
        if self.rank_by == "heat_points":
            return Fraction(self.heat_total[team])
        return self.share(team, self.made[team].points)
