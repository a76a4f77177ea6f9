"""The teams of one division, best first, each with the reason of its place."""

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from functools import partial
from itertools import accumulate

from tourney.model.event import Division
from tourney.model.people import Team
from tourney.model.plan import Plan
from tourney.model.standing import Advances, LevelGroup, TeamStanding
from tourney.scoring.advancing import advancing, reaching, sharpened
from tourney.scoring.best_over_day import counted_over_day, day_spans
from tourney.scoring.chain import Level, separate
from tourney.scoring.drilled import Readings
from tourney.scoring.heats import HeatScore
from tourney.scoring.joint_places import joint_ranges
from tourney.scoring.lots import lots_of
from tourney.scoring.ranges import Span, parts_of, place_ranges, spans_of
from tourney.scoring.reasons import decided_by, sentence
from tourney.scoring.smallest_change import Rules, smallest_changes
from tourney.scoring.table import Table
from tourney.scoring.tie_breaks import criteria_of
from tourney.scoring.workings import level_groups


@dataclass(frozen=True, slots=True)
class DivisionDay:
    """What is known of one division.

    undrawn: rounds still to be drawn, whose heats nobody knows. disqualified: teams and contestants, in order of ids.
    away: teams that left or withdrew, and take no place in the finals. drill_offs: team -> points made in one.
    finalists: once the finals are drawn.
    """

    division: Division
    teams: tuple[Team, ...]
    scores: tuple[HeatScore, ...]
    drawn: int
    undrawn: int
    disqualified: tuple[str, ...] = ()
    away: frozenset[str] = frozenset()
    drill_offs: Readings = field(default_factory=dict)
    finalists: tuple[str, ...] | None = None

    @property
    def ranked(self) -> tuple[Team, ...]:
        """The teams that take places."""
        return tuple(team for team in self.teams if team.id not in self.disqualified)

    @property
    def settled(self) -> bool:
        """Whether no sheet and no round still to come can change anything."""
        return not self.undrawn and all(score.settled for score in self.scores)


def division_day(
    plan: Plan,
    division: Division,
    scores: Sequence[HeatScore],
    disqualified: Collection[str] = (),
    withdrawn: Collection[str] = (),
    drill_offs: Readings | None = None,
) -> DivisionDay:
    """A division's part of the plan and of the heats' scores. `rounds = "all"` is always drawn in one piece.

    disqualified, withdrawn: see Decisions. drill_offs: for the last place that advances, of all divisions.
    """
    drawn = plan.drawn_rounds.get(division.name, 0)
    waits = division.draw == "by_standing" and isinstance(division.rounds, int)
    teams = tuple(team for team in plan.teams if team.division == division.name)
    theirs = {one for team in teams for one in (team.id, *team.members)}
    own = tuple(score for score in scores if score.heat.division == division.name)
    return DivisionDay(
        division,
        teams,
        counted_over_day(own, division) if division.counting_over == "day" else own,
        drawn,
        max(0, int(division.rounds) - drawn) if waits else 0,
        tuple(sorted(theirs & set(disqualified))),
        frozenset(withdrawn).union(plan.gone),
        {team: made for team, made in (drill_offs or {}).items() if team in theirs},
        next((drawn.seeds for drawn in plan.finals if drawn.division == division.name), None),
    )


def team_standings(day: DivisionDay, words: str) -> tuple[TeamStanding, ...]:
    """Every team's row, best first; level teams in the order of their ids. words: of the draw, for the lot."""
    return standings_and_workings(day, words)[0]


def standings_and_workings(day: DivisionDay, words: str) -> tuple[tuple[TeamStanding, ...], tuple[LevelGroup, ...]]:
    """The rows of team_standings, and how tie-breaks came to them.

    A bye's round shows 0 points and earns no heat points; it takes nothing off, since points are compared as parts of
    what was available.
    """
    table = table_of(day, words)
    ids = [team.id for team in day.ranked]
    rules = Rules(partial(criteria_of, day.division), day.division.after_split, day.division.points)
    levels = separate(ids, rules.chain(table), rules.after_split)
    places = _places(levels)
    team_spans = _spans(day, table, levels, places)
    ranges = _ranges(day, table, team_spans)
    goes_on = _goes_on(day, table, team_spans, ranges)
    names = {team.id: team.name for team in day.teams}
    changes = smallest_changes(table, levels, rules, names)
    rows = []
    for at, level in enumerate(levels):
        held = day.settled and not level.pending
        for team in level.teams:
            made = table.made[team]
            by_round = {one.round: one.made.points for one in table.heats_of[team]}
            rows.append(
                TeamStanding(
                    place=places[at],
                    shared=len(level.teams) > 1,
                    team=team,
                    points=made.points,
                    available=Fraction(table.available[team]),
                    clean_calls=made.clean_calls,
                    late=made.late,
                    wrong_place=made.wrong_place,
                    spoken=made.spoken,
                    handling=made.handling,
                    heat_points=table.heat_total[team],
                    decided_by=decided_by(levels, at, day.division.rank_by),
                    reason=sentence(team, levels, at, places, names),
                    range=(places[at], places[at]) if held else ranges[team],
                    advances=goes_on[team],
                    round_points=tuple(by_round.get(number, Fraction()) for number in range(1, day.drawn + 1)),
                    change=changes.get(team, ""),
                )
            )
    return tuple(rows), level_groups(levels)


def _ranges(day: DivisionDay, table: Table, spans: Mapping[str, Span]) -> dict[str, tuple[int, int]]:
    """Best and worst place of each team: by the joint outcomes of heats where heat points rank, else team by team.

    By points that is exact as well, since what one team makes in a heat leaves the others what they make.
    """
    open_ = not (day.undrawn or day.settled)
    joint = joint_ranges(table, spans) if open_ and table.rank_by == "heat_points" else None
    return place_ranges(spans) if joint is None else joint


def _goes_on(
    day: DivisionDay, table: Table, spans: Mapping[str, Span], ranges: Mapping[str, tuple[int, int]]
) -> dict[str, Advances]:
    """Who reaches the finals: as they were drawn, or as far as the standings say."""
    rules = day.division
    reach = 0 if rules.finals == "none" else len(day.teams) if rules.advance == "all" else rules.advance
    if day.finalists is not None:
        return {team: "certain" if team in day.finalists else "out" for team in spans}
    there = {team: span for team, span in spans.items() if team not in day.away}
    club = {team.id: team.club for team in day.teams}
    away: dict[str, Advances] = dict.fromkeys(spans, "out")
    if rules.advance_from is not None:
        floor = Fraction(str(rules.advance_from))  # as the decimal that was written: 0.85 is 17/20
        parts = dict.fromkeys(spans, Span(Fraction(0), Fraction(1))) if day.undrawn else parts_of(table)
        return away | reaching(there, parts, floor, club, reach, rules.advance_per_club)
    found = advancing(there, club, reach, rules.advance_per_club)
    return away | (found if day.away else sharpened(found, ranges, club, reach, rules.advance_per_club))


def table_of(day: DivisionDay, words: str) -> Table:
    """Every heat of the division. words: of the draw, for the lot."""
    ids = sorted(team.id for team in day.teams)
    return Table(
        tuple(ids),
        tuple(score.teams for score in day.scores),
        day.division.rank_by,
        day.division.heat_points,
        lots_of(words, day.division.name, ids),
        day.drill_offs,
        day_spans(day.scores, day.division) if day.division.counting_over == "day" else {},
    )


def _places(levels: Sequence[Level]) -> list[int]:
    """Place of each level: one more than the number of teams above it."""
    return list(accumulate((len(level.teams) for level in levels), initial=1))


def _spans(day: DivisionDay, table: Table, levels: Sequence[Level], places: Sequence[int]) -> dict[str, Span]:
    """What each team can still be worth: anything while rounds are undrawn, its place once all is settled."""
    ranked = [team.id for team in day.ranked]
    if day.undrawn:
        return dict.fromkeys(ranked, Span(Fraction(0), Fraction(1)))
    if day.settled:
        worth = {team: Fraction(-places[at]) for at, level in enumerate(levels) for team in level.teams}
        return {team: Span(value, value) for team, value in worth.items()}
    spans = spans_of(table)
    return {team: spans[team] for team in ranked}
