"""Rules of finals that the plan alone can show: who may stand in their heats, when, and what they hear."""

from collections import Counter, defaultdict
from collections.abc import Iterator
from itertools import pairwise

from tourney.model.plan import DrawnFinals, Heat, Plan
from tourney.verify.line import Line, rule
from tourney.verify.plan import rotation

ONE_DEFEAT = ("knockout",)  # kinds in which who loses never stands in a heat again


def finals_lines(plan: Plan) -> Iterator[Line]:
    """All of a plan; nothing where no finals are drawn."""
    for drawn in plan.finals:
        rounds = {heat.id for heat in rotation(plan, drawn.division)}
        heats = [heat for heat in plan.heats if heat.division == drawn.division and heat.id not in rounds]
        yield rule("finals_of_seeds", drawn.division, _strangers(plan, drawn, heats))
        yield rule("finals_after_the_rounds", drawn.division, _early(plan, drawn, heats))
        yield rule("finals_hear_fresh_calls", drawn.division, _heard_before(plan, heats))
        yield rule("finals_stage_after_stage", drawn.division, _out_of_order(heats))
        if drawn.kind in ONE_DEFEAT and drawn.size == 2:
            yield rule("finals_without_who_lost", drawn.division, _too_many(drawn, heats))


def _strangers(plan: Plan, drawn: DrawnFinals, heats: list[Heat]) -> Iterator[str]:
    """Seeds are teams of the division, each once, no more of a club than may advance; nobody else stands there."""
    for team, times in Counter(drawn.seeds).items():
        if times > 1 or team not in plan.team or plan.team[team].division != drawn.division:
            yield f"{team} is no seed"
    if sorted(drawn.placed) != sorted(drawn.seeds):
        yield "the places hold other teams than the seeds"
    most = plan.event.division(drawn.division).advance_per_club
    clubs = Counter(plan.team[team].club for team in drawn.seeds if team in plan.team)
    yield from (f"{times} seeds of {club}" for club, times in clubs.items() if times > most)
    for heat in heats:
        yield from (f"{heat.id}: {team} is no seed" for team in heat.teams if team not in drawn.seeds)


def _early(plan: Plan, drawn: DrawnFinals, heats: list[Heat]) -> Iterator[str]:
    last = max((plan.wave[heat.wave].end for heat in rotation(plan, drawn.division)), default=None)
    for heat in heats:
        if last is not None and plan.wave[heat.wave].start < last:
            yield f"{heat.id} starts before the rounds are over"


def _heard_before(plan: Plan, heats: list[Heat]) -> Iterator[str]:
    """No team of the finals hears a set twice, nor one that a round heard."""
    heard: dict[tuple[str, str], list[str]] = defaultdict(list)
    theirs = {team for heat in heats for team in heat.teams}
    for heat in plan.heats:
        for team in theirs.intersection(heat.teams):
            heard[team, heat.call_set].append(heat.id)
    for (team, key), where in sorted(heard.items()):
        if len(where) > 1:
            yield f"{team} hears {key} in {' and '.join(where)}"


def _out_of_order(heats: list[Heat]) -> Iterator[str]:
    """Nobody stands in two heats of one stage."""
    stood = Counter((heat.round, team) for heat in heats for team in heat.teams)
    yield from (f"{team} has {times} heats of one stage" for (_, team), times in stood.items() if times > 1)


def _too_many(drawn: DrawnFinals, heats: list[Heat]) -> Iterator[str]:
    """A heat more than there are seeds to beat; or three who go on from a pair that met."""
    if len(heats) > len(drawn.seeds) - 1:
        yield f"{len(heats)} heats for {len(drawn.seeds)} seeds"
    stages = sorted({heat.round for heat in heats})
    for stage, after in pairwise(stages):
        going = {team for heat in heats if heat.round == after for team in heat.teams}
        for heat in heats:
            if heat.round == stage and going.issuperset(heat.teams):
                yield f"both of {heat.id} go on"
