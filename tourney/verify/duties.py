"""Rules about officials: who may serve in which heat, and as what."""

from collections import Counter
from collections.abc import Iterator

from tourney.model.plan import Plan
from tourney.verify.line import Line, rule
from tourney.verify.plan import divisions, officials_of, rotation, same_name


def duty_lines(plan: Plan) -> Iterator[Line]:
    """All of a plan."""
    yield rule("official_holds_one_seat", "all", _two_seats(plan))
    yield rule("officials_without_tie", "all", _ties(plan))
    yield rule("officials_do_their_roles", "all", _wrong_roles(plan))
    for name in divisions(plan):
        yield rule("judges_and_timekeeper", name, _panels(plan, name))


def _two_seats(plan: Plan) -> Iterator[str]:
    for heat in plan.heats:
        for key, seats in Counter(officials_of(heat)).items():
            if seats > 1:
                yield f"{key} has {seats} seats in {heat.id}"


def _ties(plan: Plan) -> Iterator[str]:
    for heat in plan.heats:
        clubs = {same_name(plan.team[team].club) for team in heat.teams}
        children = {child for team in heat.teams for child in plan.team[team].members}
        for key in officials_of(heat):
            official = plan.official[key]
            for club in official.clubs:
                if same_name(club) in clubs:
                    yield f"{heat.id}: {key} is tied to {club}"
            yield from (f"{heat.id}: {key} is tied to {child}" for child in official.people if child in children)


def _wrong_roles(plan: Plan) -> Iterator[str]:
    for heat in plan.heats:
        duties = {"judge": heat.judges, "caller": (heat.caller,), "timekeeper": (heat.timekeeper,)}
        for duty, people in duties.items():
            for key in filter(None, people):
                roles = plan.official[key].roles
                if roles and duty not in roles:
                    yield f"{heat.id}: {key} is no {duty}"


def _panels(plan: Plan, name: str) -> Iterator[str]:
    division = plan.event.division(name)
    exact = {heat.id for heat in rotation(plan, name)}
    for heat in plan.heats:
        if heat.division == name:
            judges = len(heat.judges)
            if judges < division.judges or (judges > division.judges and heat.id in exact):
                yield f"{heat.id}: {judges} judges, not {division.judges}"
            if (heat.timekeeper is None) != (division.timekeeper == "caller"):
                yield f"{heat.id}: {'no' if heat.timekeeper is None else 'a separate'} timekeeper"
            zones = division.zones or ()
            watched = {line for first, last in zones[:judges] for line in range(first, last + 1)}
            for line in range(1, len(heat.line) + 1) if zones else ():
                if line not in watched:
                    yield f"{heat.id}: nobody judges line {line}"
