"""Rules about the clock: rest, changing over, pauses."""

from collections.abc import Iterator
from datetime import timedelta
from itertools import pairwise

from tourney.model.plan import Plan
from tourney.verify.line import Line, rule


def hour_lines(plan: Plan) -> Iterator[Line]:
    """All of a plan."""
    yield rule("rest_between_heats", "all", _too_soon(plan))
    yield rule("waves_follow_each_other", "all", _waves(plan))


def _too_soon(plan: Plan) -> Iterator[str]:
    for team in plan.teams:
        waves = sorted((plan.wave[heat.wave] for heat in plan.heats if team.id in heat.teams), key=lambda w: w.start)
        for before, after in pairwise(waves):
            if after.start - before.end < timedelta(minutes=plan.event.day.rest):
                yield f"{team.id} from {before.id} to {after.id}: less than {plan.event.day.rest} minutes"


def _waves(plan: Plan) -> Iterator[str]:
    """Between two waves lie the minutes to change over, or the pause that is set for that place."""
    pauses = {pause.after_wave: pause.minutes for pause in plan.event.day.pauses}
    ordered = sorted(plan.waves, key=lambda wave: wave.start)
    for number, (before, after) in enumerate(pairwise(ordered), 1):
        least = max(plan.event.day.changeover, pauses.get(number, 0))
        if after.start - before.end < timedelta(minutes=least):
            yield f"from {before.id} to {after.id}: less than {least} minutes"
