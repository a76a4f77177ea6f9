"""Standings of a division that is parted: pool by pool, then who goes on from all of them.

The first of each pool go on, and the best others fill up. Teams of different pools are compared by parts of what they
could have, since pools need not be equally large, and then by the same tie-breaks but for meetings of their own. Who
stands higher in a pool goes before the others of it.
"""

from bisect import bisect_left
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from tourney.model.plan import pool_cut
from tourney.model.standing import Advances, LevelAtTheCut, LevelGroup, TeamStanding
from tourney.scoring.advancing import with_a_floor
from tourney.scoring.chain import Level, separate
from tourney.scoring.division_day import DivisionDay, table_of
from tourney.scoring.drilled import held_by_all
from tourney.scoring.from_pools import Contender, Quota, from_pools
from tourney.scoring.ranges import Span, parts_of, spans_of
from tourney.scoring.ranking import Ranking, places_of, ranking
from tourney.scoring.reasons import sentence
from tourney.scoring.table import Table
from tourney.scoring.tie_breaks import criteria_across
from tourney.scoring.words import ordinal
from tourney.scoring.workings import level_groups


def across_pools(
    day: DivisionDay, words: str
) -> tuple[tuple[TeamStanding, ...], tuple[LevelGroup, ...], tuple[LevelAtTheCut, ...]]:
    """Rows pool after pool, how tie-breaks came to them, and who is level at a last place of the finals."""
    excused = _excused(day, words) if any(pool.drilled for pool in day.pools) else ()
    pools = tuple(ranking(pool, words, excused) for pool in day.pools)
    order = _Order.of(day, pools, table_of(replace(day, drill_offs={}), words))
    goes_on = _going_on(day, pools, order.spans)
    if day.drilled:  # between the best others; a drill-off within a pool is in its ranking already
        order = order.drilled(day, goes_on, words)
        goes_on = _going_on(day, pools, order.spans)
    cut = tuple(_cut(day, pools, goes_on)) if day.finalists is None else ()
    if day.finalists is not None:
        goes_on = {team: "certain" if team in day.finalists else "out" for team in goes_on}
    place = order.places
    rows = tuple(
        replace(row, across=place[row.team], across_reason=order.reasons.get(row.team, ""))
        for pool in pools
        for row in pool.rows(goes_on)
    )
    return rows, tuple(group for pool in pools for group in level_groups(pool.levels)), cut


def _excused(day: DivisionDay, words: str) -> list[str]:
    """Who had no part in what made a drill-off within a pool necessary."""
    bare = replace(day, drill_offs={})
    pools = tuple(ranking(pool, words) for pool in bare.pools)
    before = _going_on(bare, pools, _Order.of(bare, pools, table_of(bare, words)).spans)
    return [team for team, now in before.items() if now == "out"]


def _going_on(day: DivisionDay, pools: Sequence[Ranking], across: Mapping[str, Span]) -> dict[str, Advances]:
    """Who reaches the finals, as far as the rankings say."""
    rules = day.division
    found: dict[str, Advances] = {team: "out" for pool in pools for team in pool.spans}
    if rules.finals == "none":
        return found
    club = {team.id: team.club for team in day.teams}
    quota = Quota(
        rules.advance_per_pool,
        len(day.teams) if rules.advance == "all" else rules.advance,
        rules.advance_per_club,
    )
    there = [
        Contender(team, pool.day.pool, club[team], span, across[team])
        for pool in pools
        for team, span in pool.spans.items()
        if team not in day.away
    ]
    if rules.advance_from is None:
        known = {} if day.away else {team: ends for pool in pools for team, ends in pool.ranges.items()}
        return found | from_pools(there, quota, known)
    floor = Fraction(str(rules.advance_from))  # as the decimal that was written: 0.85 is 17/20
    parts = {team: span for pool in pools for team, span in pool.parts.items()}
    able = [one for one in there if parts[one.team].most >= floor]
    sure = [one for one in able if parts[one.team].least >= floor]
    return found | with_a_floor(from_pools(able, quota), from_pools(sure, quota))


def _cut(day: DivisionDay, pools: Sequence[Ranking], goes_on: Mapping[str, Advances]) -> Iterator[LevelAtTheCut]:
    """Within pools first: only then it is known who are the others."""
    within = [] if not day.settled else [found for pool in pools for found in _cut_within(pool, goes_on)]
    yield from within
    level = tuple(team for team, now in goes_on.items() if now == "possible")
    if level and not within:
        yield LevelAtTheCut("", level, held_by_all(level, day.drilled))


def _cut_within(pool: Ranking, goes_on: Mapping[str, Advances]) -> Iterator[LevelAtTheCut]:
    """Level teams of which some are among the first of their pool and some are not, where that matters to anybody."""
    above, first = 0, pool.day.division.advance_per_pool
    for level in pool.levels:
        there = tuple(team for team in level.teams if goes_on[team] != "out")
        if above < first < above + len(there) and any(goes_on[team] == "possible" for team in there):
            yield LevelAtTheCut(pool_cut(pool.day.pool), there, held_by_all(there, pool.day.drilled))
        above += len(there)


@dataclass(frozen=True, slots=True)
class _Order:
    """The order in which teams of all pools go on.

    index: of each team, the lower the earlier; level teams share one. spans: each team's worth beside other pools'.
    reasons: of those who are not among the first of their pool.
    """

    pools: tuple[Ranking, ...]
    away: frozenset[str]
    index: Mapping[str, tuple[int, int]]
    spans: Mapping[str, Span]
    reasons: Mapping[str, str]

    @staticmethod
    def of(day: DivisionDay, pools: tuple[Ranking, ...], table: Table) -> "_Order":
        """By what is known now. table: of the whole division, before any drill-off between pools."""
        k = day.division.advance_per_pool
        placed = [(row, place) for pool in pools for row, place in zip(pool.levels, pool.places, strict=True)]
        first = [team for level, place in placed if place + len(level.teams) - 1 <= k for team in level.teams]
        others = [team for level, _ in placed for team in level.teams if team not in set(first)]
        criteria = criteria_across(day.division, table)
        ahead, behind = separate(first, criteria), separate(others, criteria)
        raw = {team: (at, 0) for at, level in enumerate((*ahead, *behind)) for team in level.teams}
        index = _behind_their_betters(raw, pools, day.away)
        names = {team.id: team.name for team in day.teams}
        reasons = _sentences(behind, places_of(behind), names)
        places = {team: 1 + sum(index[other] < index[team] for other in others) for team in others}
        for team in others:
            if index[team] != raw[team]:
                reasons[team] = f"{ordinal(places[team])}: behind a team that stands above it in its pool"
        spans = _settled(index) if day.settled else _open(day, table, pools)
        return _Order(pools, day.away, index, spans, reasons)

    def drilled(self, day: DivisionDay, goes_on: Mapping[str, Advances], words: str) -> "_Order":
        """As a drill-off of those who may go on leaves it. Who does for certain is before them, level or not."""
        level = [team for team, now in goes_on.items() if now == "possible"]
        certain = [team for team, now in goes_on.items() if now == "certain"]
        chain = criteria_across(day.division, table_of(day, words))
        start = next(at for at, criterion in enumerate(chain) if criterion.name == "drill_off")
        levels = separate(level, chain[start:])
        rank = dict.fromkeys(certain, -1) | {team: at for at, found in enumerate(levels) for team in found.teams}
        raw = {team: (at, rank.get(team, len(levels))) for team, (at, _) in self.index.items()}
        index = _behind_their_betters(raw, self.pools, day.away)
        names = {team.id: team.name for team in day.teams}
        others = [team for team in index if team in self.reasons]
        places = [1 + sum(index[other] < index[found.teams[0]] for other in others) for found in levels]
        reasons = {**self.reasons, **_sentences(levels, places, names)}
        return replace(self, index=index, spans=_settled(index) if day.settled else self.spans, reasons=reasons)

    @property
    def places(self) -> dict[str, int]:
        """Each team's place in this order."""
        taken = sorted(self.index.values())
        return {team: 1 + bisect_left(taken, value) for team, value in self.index.items()}


def _behind_their_betters(
    raw: Mapping[str, tuple[int, int]], pools: Sequence[Ranking], away: frozenset[str]
) -> dict[str, tuple[int, int]]:
    """Nobody before a team that stands above it in its pool, and is still there."""
    found: dict[str, tuple[int, int]] = {}
    for pool in pools:
        latest = (-1, 0)
        for level in pool.levels:
            found |= {team: max(latest, raw[team]) for team in level.teams}
            latest = max([latest, *(found[team] for team in level.teams if team not in away)])
    return found


def _sentences(levels: Sequence[Level], places: Sequence[int], names: Mapping[str, str]) -> dict[str, str]:
    return {team: sentence(team, levels, at, places, names) for at, level in enumerate(levels) for team in level.teams}


def _settled(index: Mapping[str, tuple[int, int]]) -> dict[str, Span]:
    order = {value: Fraction(-at) for at, value in enumerate(sorted(set(index.values())))}
    return {team: Span(order[value], order[value]) for team, value in index.items()}


def _open(day: DivisionDay, table: Table, pools: Sequence[Ranking]) -> dict[str, Span]:
    """While sheets are missing: parts of what each team could have, of points or of heat points.

    Of rounds that are still to be drawn nothing is known.
    By heat points a team may stand above another one of its pool with the smaller part, if it had more meetings: then
    the other one can be held behind it, and is worth no more.
    """
    if day.undrawn:
        return dict.fromkeys(table.teams, Span(Fraction(0), Fraction(1)))
    if day.division.rank_by == "points":
        return parts_of(table)
    most = {team: max(1, table.heat_points.win * len(table.meetings[team])) for team in table.teams}
    spans = {team: Span(span.least / most[team], span.most / most[team]) for team, span in spans_of(table).items()}
    for pool in pools:
        if len({most[team] for team in pool.spans}) > 1:
            least = {
                team: min(spans[other].least for other, worth in pool.spans.items() if worth.most >= own.least)
                for team, own in pool.spans.items()
            }
            spans |= {team: Span(value, spans[team].most) for team, value in least.items()}
    return spans
