"""The standings of a division, pool by pool where it is parted, and who goes on to its finals."""

from dataclasses import replace
from fractions import Fraction

from tourney.model.standing import Advances, LevelAtTheCut, LevelGroup, TeamStanding
from tourney.scoring.across_pools import across_pools
from tourney.scoring.advancing import advancing, reaching, sharpened
from tourney.scoring.division_day import DivisionDay
from tourney.scoring.drilled import held_by_all
from tourney.scoring.ranking import Ranking, ranking
from tourney.scoring.workings import level_groups

Standings = tuple[tuple[TeamStanding, ...], tuple[LevelGroup, ...], tuple[LevelAtTheCut, ...]]


def standings_of(day: DivisionDay, words: str) -> Standings:
    """Rows, how tie-breaks came to them, and the teams between whom the last place of the finals is to be decided.

    words: of the draw, for the lot. Rows are best first, pool after pool; level teams in the order of their ids.
    """
    if day.pools:
        return across_pools(day, words)
    found = ranking(day, words, _excused(day, words) if day.drilled else ())
    rows = found.rows(_going_on(found))
    level = tuple(row.team for row in rows if row.advances == "possible")
    cut = (LevelAtTheCut("", level, held_by_all(level, day.drilled)),) if level else ()
    return rows, level_groups(found.levels), cut


def _excused(day: DivisionDay, words: str) -> list[str]:
    """Who had no part in what made a drill-off necessary."""
    before = _going_on(ranking(replace(day, drill_offs={}, finalists=None), words))
    return [team for team, now in before.items() if now != "possible"]


def _going_on(found: Ranking) -> dict[str, Advances]:
    """Who reaches the finals: as they were drawn, or as far as the ranking says."""
    day, spans = found.day, found.spans
    rules = day.division
    reach = 0 if rules.finals == "none" else len(day.teams) if rules.advance == "all" else rules.advance
    if day.finalists is not None:
        return {team: "certain" if team in day.finalists else "out" for team in spans}
    there = {team: span for team, span in spans.items() if team not in day.away}
    club = {team.id: team.club for team in day.teams}
    away: dict[str, Advances] = dict.fromkeys(spans, "out")
    if rules.advance_from is not None:
        floor = Fraction(str(rules.advance_from))  # as the decimal that was written: 0.85 is 17/20
        return away | reaching(there, found.parts, floor, club, reach, rules.advance_per_club)
    going = advancing(there, club, reach, rules.advance_per_club)
    return away | (going if day.away else sharpened(going, found.ranges, club, reach, rules.advance_per_club))
