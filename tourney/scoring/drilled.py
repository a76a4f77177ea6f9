"""Drill-offs: what level teams made in each of their readings, from sheets and from rulings."""

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from fractions import Fraction
from itertools import count, takewhile

from tourney.model.calls import CallBook
from tourney.model.decisions import Decisions
from tourney.model.plan import DrillOffHeat, Plan
from tourney.model.sheet import FilledSheet
from tourney.model.totals import HeatTotal
from tourney.scoring.heats import HeatScore, score_heat
from tourney.scoring.totals import with_totals

SETS = 3  # of a drill-off; who is level after the last of them shares the place: common practice, no source
Readings = Mapping[str, tuple[Fraction, ...]]  # team -> what it made, reading by reading


def drill_off_scores(
    plan: Plan,
    book: CallBook,
    sheets: Iterable[FilledSheet],
    decisions: Decisions,
    totals: Iterable[HeatTotal] = (),
) -> tuple[HeatScore, ...]:
    """The heats of drill-offs, in the order drawn. sheets: at most one a judge and heat."""
    if not plan.drill_offs:
        return ()
    filed = {(sheet.heat, sheet.judge): sheet for sheet in sheets}
    team_of = {member: team.id for team in plan.teams for member in team.members}
    held = [plan.heat[one.heat] for one in plan.drill_offs]
    scores = [
        score_heat(heat, plan.event.division(heat.division), book.set[heat.call_set], team_of, filed, decisions)
        for heat in held
    ]
    return with_totals(plan, scores, totals)


def in_force(plan: Plan) -> tuple[DrillOffHeat, ...]:
    """The plan's drill-offs, but for those about a heat of the finals that was drawn once more after them."""
    since = {heat.id: heat.since for heat in plan.heats}
    return tuple(one for one in plan.drill_offs if since.get(one.about, 0) <= since[one.heat])


def readings_of(plan: Plan, scores: Iterable[HeatScore], decisions: Decisions) -> dict[str, Readings]:
    """Heat of the finals, or a last place that advances (`pool_cut`) -> the readings of its drill-off.

    scores: of drill_off_scores. What was typed goes before what sheets say of that reading.
    """
    made: dict[tuple[str, str], dict[int, Fraction]] = defaultdict(dict)
    settled = {score.heat.id: score for score in scores if score.settled}
    for one in in_force(plan):
        for team in settled[one.heat].teams if one.heat in settled else ():
            made[one.about, team.team][one.reading] = team.made.points
    for (about, team_id, reading), points in decisions.drill_offs.items():
        made[about, team_id][reading] = Fraction(points)
    found: dict[str, dict[str, tuple[Fraction, ...]]] = defaultdict(dict)
    for (about, team_id), by_reading in made.items():
        numbers = takewhile(by_reading.__contains__, count(1))
        found[about][team_id] = tuple(by_reading[number] for number in numbers)
    return dict(found)


def at_the_cut(
    plan: Plan,
    book: CallBook,
    sheets: Iterable[FilledSheet],
    decisions: Decisions,
    totals: Iterable[HeatTotal] = (),
) -> dict[str, Readings]:
    """The readings of drill-offs by what they are about, those for the last places that advance among them."""
    return readings_of(plan, drill_off_scores(plan, book, sheets, decisions, totals), decisions)


def held_by_all(teams: Sequence[str], readings: Readings) -> int:
    """How many readings all of these level teams have held."""
    return min((len(readings.get(team, ())) for team in teams), default=0)
