"""How heats of finals ended, from the sheets that are in: in each heat the division's tie-breaks, then a drill-off."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from itertools import accumulate

from tourney.model.calls import CallBook
from tourney.model.decisions import Decisions
from tourney.model.plan import Heat, Plan
from tourney.model.sheet import FilledSheet
from tourney.model.standing import OpenMatter
from tourney.model.totals import HeatTotal
from tourney.scoring.chain import Level as Separated
from tourney.scoring.chain import separate
from tourney.scoring.drilled import Readings, held_by_all, readings_of
from tourney.scoring.heats import HeatScore, score_heat
from tourney.scoring.lots import lots_of
from tourney.scoring.open_matters import heat_matters, keeps_provisional
from tourney.scoring.reasons import sentence
from tourney.scoring.table import Table
from tourney.scoring.tie_breaks import criteria_of
from tourney.scoring.totals import with_totals


@dataclass(frozen=True, slots=True)
class Level:
    """Teams of a heat that nothing has separated. readings: of a drill-off, which has not done so either."""

    teams: tuple[str, ...]
    readings: int = 0


@dataclass(frozen=True, slots=True)
class Outcome:
    """A heat that was heard: its teams best first, level ones together; what each made.

    reasons: a sentence for each place that points alone don't decide.
    """

    levels: tuple[Level, ...]
    points: dict[str, Fraction]
    reasons: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Absence:
    """Teams that did not come to a heat. drawn: all for which it was drawn."""

    drawn: tuple[str, ...]
    teams: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Heard:
    """The heats of finals that are in the plan. outcomes: of those that are settled. open_matters: of the others.

    Drill-offs have no outcomes of their own; what is open about their sheets is among the open matters. absent: by
    heat. Neither who did not come nor who is disqualified is in an outcome.
    """

    outcomes: dict[str, Outcome]
    open_matters: tuple[OpenMatter, ...]
    absent: dict[str, Absence] = field(default_factory=dict)


def hear(
    plan: Plan,
    book: CallBook,
    sheets: Iterable[FilledSheet],
    decisions: Decisions,
    totals: Iterable[HeatTotal] = (),
) -> Heard:
    """What is known of every heat of finals and of drill-offs.

    sheets: at most one a judge and heat. totals: of rooms that kept no sheets, at most one a team and heat.
    """
    scores = with_totals(plan, score_finals(plan, book, sheets, decisions), totals)
    matters = [matter for score in scores for matter in heat_matters(plan, score, decisions)]
    drill_offs, held = {one.heat for one in plan.drill_offs}, readings_of(plan, scores, decisions)
    heats = [score for score in scores if score.heat.id not in drill_offs]
    outcomes, absent = {}, {}
    for score in heats:
        missing = _absent(plan, score.heat, decisions)
        if missing:
            absent[score.heat.id] = Absence(score.heat.teams, missing)
        away = {*missing, *decisions.disqualified}
        came = [team for team in score.heat.teams if team not in away]
        if score.settled and came:
            outcomes[score.heat.id] = _outcome(plan, score, came, held.get(score.heat.id, {}))
    return Heard(outcomes, tuple(matter for matter in matters if keeps_provisional(matter)), absent)


def score_finals(
    plan: Plan, book: CallBook, sheets: Iterable[FilledSheet], decisions: Decisions
) -> Iterator[HeatScore]:
    """Every heat of finals and drill-offs, in the plan's order, with what is known of it.

    sheets: at most one a judge and heat.
    """
    rounds = {heat.id for heat in plan.rotation}
    filed = {(sheet.heat, sheet.judge): sheet for sheet in sheets}
    team_of = {member: team.id for team in plan.teams for member in team.members}
    for heat in plan.heats:
        if heat.id not in rounds:
            division = plan.event.division(heat.division)
            yield score_heat(heat, division, book.set[heat.call_set], team_of, filed, decisions)


def _outcome(plan: Plan, score: HeatScore, came: Sequence[str], readings: Readings) -> Outcome:
    held = {team: readings[team] for team in came if team in readings}
    levels = separate(came, criteria_of(plan.event.division(score.heat.division), _table(plan, score, held)))
    found = tuple(Level(level.teams, held_by_all(level.teams, held)) for level in levels)
    made = {one.team: one.made.points for one in score.teams}
    return Outcome(found, made, tuple(_reasons(plan, levels)))


def _absent(plan: Plan, heat: Heat, decisions: Decisions) -> tuple[str, ...]:
    """Teams of a heat of which it was ruled that none of their children came."""
    there = {child for child in heat.line if (heat.id, child) not in decisions.absent}
    return tuple(team for team in heat.teams if there.isdisjoint(plan.team[team].members))


def _reasons(plan: Plan, levels: Sequence[Separated]) -> Iterator[str]:
    """How teams with the same points were separated: the better one's sentence."""
    places = list(accumulate((len(level.teams) for level in levels), initial=1))
    names = {team: plan.team[team].name for level in levels for team in level.teams}
    for at, level in enumerate(levels):
        if level.decided and level.decided.name != "points" and len(level.teams) == 1:
            (team,) = level.teams
            yield f"{names[team]} is {sentence(team, levels, at, places, names)}."


def _table(plan: Plan, score: HeatScore, held: Readings) -> Table:
    """One heat alone, as if it were all the division's day; by points, whatever ranks the rounds. The lot stays."""
    teams = [team.id for team in plan.teams if team.division == score.heat.division]
    lots = lots_of(plan.draw.words, score.heat.division, teams)
    return Table(score.heat.teams, (score.teams,), lots=lots, drill_offs=held)
