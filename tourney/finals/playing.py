"""Who moves on: a bracket and the outcomes of its heats so far -> the bracket as far as it is decided."""

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import takewhile

from tourney.finals.outcomes import Absence, Level, Outcome
from tourney.model.bracket import Bracket, BracketHeat, Source
from tourney.scoring.drilled import SETS

AWARDS = 3  # places for which level teams hold a drill-off: common practice, no source


@dataclass(frozen=True, slots=True)
class Tie:
    """Level teams of a heat that a drill-off has to separate. readings: that were held and left them level."""

    heat: str
    teams: tuple[str, ...]
    readings: int


@dataclass(frozen=True, slots=True)
class Stale:
    """A heat that was heard by others than those who now belong in it."""

    heat: str
    heard: tuple[str, ...]
    belong: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Absent:
    """Teams that did not come to a heat which not all of them can have lost: who goes on is for a person to say."""

    heat: str
    teams: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Played:
    """The bracket as far as it is decided, and what keeps it from going on."""

    bracket: Bracket
    ties: tuple[Tie, ...]
    stale: tuple[Stale, ...]
    absent: tuple[Absent, ...] = ()

    @property
    def over(self) -> bool:
        """Whether every heat that is needed is decided."""
        return all(heat.order or not heat.needed for heat in self.bracket.heats)


def play(
    bracket: Bracket,
    outcomes: Mapping[str, Outcome],
    out: Collection[str] = (),
    absent: Mapping[str, Absence] | None = None,
) -> Played:
    """Move winners on through all heats. out: teams that left for good. absent: who did not come, by heat.

    A heat that was heard keeps its outcome, whoever withdraws later. Outcomes and absences of other teams than those
    who belong in a heat, since an earlier one was corrected, count no longer. Who did not come stands behind all who
    did; a heat that decides nothing between those who came and stay is not waited for.
    """
    state = _State(bracket.seeds, outcomes, frozenset(out), absent or {})
    for heat in bracket.heats:
        state.take(heat, bracket.heats)
    heats, notes = tuple(state.heats.values()), (*bracket.footnotes, *state.notes)
    return Played(
        replace(bracket, heats=heats, footnotes=notes), tuple(state.ties), tuple(state.stale), tuple(state.absent)
    )


def meant_for(teams: Collection[str], belong: Collection[str], out: Collection[str]) -> bool:
    """Whether these teams are those who belong in a heat, but for some of those who are out."""
    return set(belong).difference(out) <= set(teams) <= set(belong)


class _State:
    def __init__(
        self,
        seeds: Sequence[str],
        outcomes: Mapping[str, Outcome],
        out: frozenset[str],
        away: Mapping[str, Absence],
    ) -> None:
        self.seeds, self.outcomes, self.out, self.away = seeds, outcomes, out, away
        self.heats: dict[str, BracketHeat] = {}
        self.ties: list[Tie] = []
        self.stale: list[Stale] = []
        self.absent: list[Absent] = []
        self.notes: list[str] = []

    def take(self, planned: BracketHeat, heats: Sequence[BracketHeat]) -> None:
        """Decide one heat as far as can be; those before it are decided."""
        if self._not_needed(planned):
            self.heats[planned.id] = replace(planned, needed=False)
            return
        teams = tuple(map(self._team, planned.sources))
        heat = self.heats[planned.id] = replace(planned, teams=teams)
        known = tuple(team for team in teams if team is not None)
        if len(known) < len(teams):
            return
        away = self.away.get(heat.id)
        absent = set(away.teams) if away and meant_for(away.drawn, known, self.out) else set()
        outcome = self.outcomes.get(heat.id)
        if outcome is not None:
            heard = {team for level in outcome.levels for team in level.teams}
            if meant_for(heard, known, absent | self.out):
                missing = [team for team in known if team not in heard]
                levels = (*outcome.levels, *self._behind(missing))
                self._decide(heat, replace(outcome, levels=levels), absent, heats)
                return
            self.stale.append(Stale(heat.id, tuple(sorted(heard)), known))
        came = [team for team in known if team not in absent]
        staying = Level(tuple(team for team in came if team not in self.out))
        number = len(staying.teams)
        if number < 2 or (number < len(known) and not self._matters(heat, range(number), staying, heats)):
            gone = [Level((team,)) for team in came if team in self.out]  # perhaps after it had won without a heat
            levels = (*([staying] if number else []), *gone, *self._behind([team for team in known if team in absent]))
            self._decide(heat, Outcome(levels, {}), absent, heats)

    def _behind(self, missing: Sequence[str]) -> list[Level]:
        """Teams that did not drill: level who may come another time, who can't hold a drill-off; last who left."""
        absent = tuple(team for team in missing if team not in self.out)
        return [*([Level(absent, SETS)] if absent else []), *(Level((team,)) for team in missing if team in self.out)]

    def _not_needed(self, heat: BracketHeat) -> bool:
        """A deciding heat, when the last heat was won by the team that had not lost before."""
        last = self.heats.get(heat.sources[0].heat)
        if last is None or (heat.side, last.side) != ("deciding", "deciding"):
            return False
        return bool(last.order) and last.order[0] == last.teams[0]

    def _team(self, source: Source) -> str | None:
        if source.seed is not None:
            return self.seeds[source.seed - 1]
        order = self.heats[source.heat].order
        return order[source.place - 1] if order else None

    def _decide(
        self, heat: BracketHeat, outcome: Outcome, absent: Collection[str], heats: Sequence[BracketHeat]
    ) -> None:
        order: list[str] = []
        places = list(heat.places)
        for level in outcome.levels:
            first, last = len(order), len(order) + len(level.teams)
            nobody = level.teams[0] in absent
            title = nobody and places[first] == 1
            if len(level.teams) > 1 and (title or self._matters(heat, range(first, last), level, heats)):
                if nobody:
                    self.absent.append(Absent(heat.id, level.teams))
                else:
                    self.ties.append(Tie(heat.id, level.teams, level.readings))
                return
            places[first:last] = [place and places[first] for place in places[first:last]]
            order += sorted(level.teams, key=self.seeds.index)
        drilled = takewhile(lambda team: team in outcome.points and team not in absent, order)
        points = tuple(outcome.points[team] for team in drilled)
        self.heats[heat.id] = replace(heat, order=tuple(order), points=points, places=tuple(places))
        self.notes += [f"{heat.name}: {reason}" for reason in outcome.reasons]

    def _matters(self, heat: BracketHeat, at: range, level: Level, heats: Sequence[BracketHeat]) -> bool:
        """Do these places of a heat lead to different heats, or to an award that all sets have not left level."""
        onward = {
            place: [
                other.id for other in heats for source in other.sources if source == Source(None, heat.id, place + 1)
            ]
            for place in at
        }
        if any(onward.values()):
            return len({tuple(sorted(set(to))) for to in onward.values()}) > 1 or heat.side == "deciding"
        return level.readings < SETS and (heat.places[at[0]] or 0) <= AWARDS


def final_places(bracket: Bracket) -> tuple[tuple[int, str], ...]:
    """(place, team) of everyone whose place is decided, best first; level teams share one."""
    found = {
        team: place
        for heat in bracket.heats
        for team, place in zip(heat.order, heat.places, strict=False)
        if place is not None
    }
    rows = ((place, team) for team, place in found.items())
    return tuple(sorted(rows, key=lambda row: (row[0], bracket.seeds.index(row[1]))))
