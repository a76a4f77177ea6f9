"""Rules of finals that the plan alone can show: who may stand in their heats, when, and what they hear."""

from collections import Counter, defaultdict
from collections.abc import Iterator
from dataclasses import replace
from itertools import pairwise

from tourney.model.plan import DrawnFinals, DrillOffHeat, Heat, Plan
from tourney.verify.line import Line, rule
from tourney.verify.plan import divisions, rotation

ONE_DEFEAT = ("knockout",)  # kinds in which who loses never stands in a heat again


def finals_lines(plan: Plan) -> Iterator[Line]:
    """All of a plan; nothing where neither finals nor drill-offs are drawn."""
    drilled = {one.heat for one in plan.drill_offs}
    for name in divisions(plan):
        rounds = {heat.id for heat in rotation(plan, name)}
        after = [heat for heat in plan.heats if heat.division == name and heat.id not in rounds]
        if after:
            yield rule("finals_after_the_rounds", name, _early(plan, name, after))
            yield rule("finals_hear_fresh_calls", name, _heard_before(plan, after))
        if not drilled.isdisjoint(heat.id for heat in after):
            yield rule("drill_offs_of_the_level", name, _not_level(plan, name))
    for drawn in plan.finals:
        rounds = {heat.id for heat in rotation(plan, drawn.division)} | drilled
        heats = [heat for heat in plan.heats if heat.division == drawn.division and heat.id not in rounds]
        yield rule("finals_of_seeds", drawn.division, _strangers(plan, drawn, heats))
        yield _stage_after_stage(drawn.division, heats)
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


def _not_level(plan: Plan, division: str) -> Iterator[str]:
    """Who drills has stood in the heat that it is about, which is over; each set is one for drill-offs.

    A heat that is held once more tells nothing of the drill-offs that came before.
    """
    use = {sealed.id: sealed.use for sealed in plan.call_sets}
    for one in plan.drill_offs:
        heat = plan.heat[one.heat]
        about = next((held for held in plan.heats if held.id == one.about and held.since <= heat.since), None)
        if heat.division != division:
            continue
        if use.get(heat.call_set) != "drill_off":
            yield f"{heat.id} hears {heat.call_set}"
        if len(_with_it(plan, one)) < 2:
            yield f"{heat.id} has one team alone"
        if about and not set(heat.teams) <= set(about.teams):
            yield f"{heat.id}: not all stood in {about.id}"
        if about and plan.wave[heat.wave].start < plan.wave[about.wave].end:
            yield f"{heat.id} starts before {about.id} is over"


def _with_it(plan: Plan, one: DrillOffHeat) -> set[str]:
    """Who hears the set of a drill-off at the same time: where one line is too short, parts of them stand apart."""
    same = [other for other in plan.drill_offs if (other.about, other.reading) == (one.about, one.reading)]
    held = [plan.heat[other.heat] for other in same]
    return {team for heat in held if heat.wave == plan.heat[one.heat].wave for team in heat.teams}


def _early(plan: Plan, division: str, heats: list[Heat]) -> Iterator[str]:
    last = max((plan.wave[heat.wave].end for heat in rotation(plan, division)), default=None)
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


def _stage_after_stage(division: str, heats: list[Heat]) -> Line:
    """Nobody stands in two heats of one stage.

    Two of different revisions are only noted: an earlier heat was corrected since, and the older one is open once more.
    """
    stood = Counter((heat.round, team) for heat in heats for team in heat.teams)
    at_once = Counter((heat.round, team, heat.since) for heat in heats for team in heat.teams)
    found = rule(
        "finals_stage_after_stage",
        division,
        (f"{team} has {times} heats of one stage" for (_, team), times in stood.items() if times > 1),
    )
    return replace(found, rule=bool(found.ok) or max(at_once.values()) > 1)


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
