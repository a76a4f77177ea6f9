"""The teams of one division, or of one pool, best first, each with the reason of its place."""

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import partial
from itertools import accumulate

from tourney.model.standing import Advances, TeamStanding
from tourney.scoring.chain import Level, separate
from tourney.scoring.division_day import DivisionDay, table_of
from tourney.scoring.joint_places import joint_ranges
from tourney.scoring.ranges import Span, parts_of, place_ranges, spans_of
from tourney.scoring.reasons import decided_by, sentence
from tourney.scoring.smallest_change import Rules, smallest_changes
from tourney.scoring.table import Table
from tourney.scoring.tie_breaks import criteria_of


@dataclass(frozen=True, slots=True)
class Ranking:
    """A ranking and what is certain of it.

    places: of each level. spans: what each team can still be worth. ranges: best and worst place still possible.
    """

    day: DivisionDay
    table: Table
    rules: Rules
    levels: tuple[Level, ...]
    places: tuple[int, ...]
    spans: Mapping[str, Span]
    ranges: Mapping[str, tuple[int, int]]

    @property
    def parts(self) -> Mapping[str, Span]:
        """What each team can still have of the points available."""
        nothing_known = Span(Fraction(0), Fraction(1))
        return dict.fromkeys(self.spans, nothing_known) if self.day.undrawn else parts_of(self.table)

    def rows(self, goes_on: Mapping[str, Advances]) -> tuple[TeamStanding, ...]:
        """Every team's row, best first; level teams in the order of their ids. goes_on: who reaches the finals.

        A bye's round shows 0 points and earns no heat points; it takes nothing off, since points are compared as parts
        of what was available.
        """
        day, table = self.day, self.table
        names = {team.id: team.name for team in day.teams}
        changes = smallest_changes(table, self.levels, self.rules, names)
        rows = []
        for at, (level, place) in enumerate(zip(self.levels, self.places, strict=True)):
            held = day.settled and not level.pending
            for team in level.teams:
                made = table.made[team]
                by_round = {one.round: one.made.points for one in table.heats_of[team]}
                still = (place, place) if held else self.ranges[team]
                why = sentence(team, self.levels, at, self.places, names)
                rows.append(
                    TeamStanding(
                        place=place,
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
                        decided_by=decided_by(self.levels, at, day.division.rank_by),
                        reason=why if day.settled or still == (place, place) else f"so far {why}",
                        range=still,
                        advances=goes_on[team],
                        round_points=tuple(by_round.get(number, Fraction()) for number in range(1, day.drawn + 1)),
                        change=changes.get(team, ""),
                        pool=day.pool,
                    )
                )
        return tuple(rows)


def ranking(day: DivisionDay, words: str, excused: Collection[str] = ()) -> Ranking:
    """Rank a division, or a pool. words: of the draw, for the lot. excused: teams that no drill-off concerns."""
    table = table_of(day, words, excused)
    rules = Rules(partial(criteria_of, day.division), day.division.after_split, day.division.points)
    levels = separate([team.id for team in day.ranked], rules.chain(table), rules.after_split)
    places = places_of(levels)
    spans = _spans(day, table, levels, places)
    return Ranking(day, table, rules, levels, places, spans, _ranges(day, table, spans))


def places_of(levels: Sequence[Level]) -> tuple[int, ...]:
    """Place of each level: one more than the number of teams above it."""
    return tuple(accumulate((len(level.teams) for level in levels), initial=1))[: len(levels)]


def _spans(day: DivisionDay, table: Table, levels: Sequence[Level], places: Sequence[int]) -> dict[str, Span]:
    """What each team can still be worth: anything while rounds are undrawn, its place once all is settled."""
    ranked = [team.id for team in day.ranked]
    if day.undrawn:
        return dict.fromkeys(ranked, Span(Fraction(0), Fraction(1)))
    if day.settled:
        worth = {team: Fraction(-place) for level, place in zip(levels, places, strict=True) for team in level.teams}
        return {team: Span(value, value) for team, value in worth.items()}
    spans = spans_of(table)
    return {team: spans[team] for team in ranked}


def _ranges(day: DivisionDay, table: Table, spans: Mapping[str, Span]) -> dict[str, tuple[int, int]]:
    """Best and worst place of each team: by the joint outcomes of heats where heat points rank, else team by team.

    By points that is exact as well, since what one team makes in a heat leaves the others what they make.
    """
    open_ = not (day.undrawn or day.settled)
    joint = joint_ranges(table, spans) if open_ and table.rank_by == "heat_points" else None
    return place_ranges(spans) if joint is None else joint
