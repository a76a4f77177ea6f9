"""What children heard on the day, call by call, and whether anything is still to be called."""

from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

if TYPE_CHECKING:
    from tourney.day.state import PlannedDay
    from tourney.model.heard import Heard
    from tourney.model.standing import Results
    from tourney.scoring.heats import HeatScore


@dataclass(frozen=True, slots=True)
class HeardDay:
    """scores: of the heats of the rounds. rounds, finals: the calls that were heard in them."""

    scores: tuple["HeatScore", ...]
    rounds: tuple["Heard", ...]
    finals: tuple["Heard", ...]


def heard_on(day: "PlannedDay") -> HeardDay:
    """What is known of every call, from the sheets that are in."""
    from tourney.finals.outcomes import score_finals
    from tourney.scoring.heard import heard_calls
    from tourney.scoring.heats import score_heats
    from tourney.scoring.totals import with_totals

    plan, state = day.plan, day.state
    known = day.called, state.sheets, state.decisions
    rounds = with_totals(plan, score_heats(plan, *known), state.totals)
    finals = with_totals(plan, score_finals(plan, *known), state.totals)
    return HeardDay(
        rounds,
        heard_calls(plan, day.called, rounds, state.decisions),
        heard_calls(plan, day.called, finals, state.decisions),
    )


def all_is_called(day: "PlannedDay", results: "Results", now: datetime) -> bool:
    """Whether calls may be told: results are final, and finals are decided or the day's date is past."""
    from tourney.day.finals import stand

    if results.state != "final":
        return False
    if now.astimezone(ZoneInfo(day.plan.event.timezone)).date() > day.plan.event.date:
        return True
    decided = {found.drawn.division for found in stand(day) if found.played.over}
    ranked = {standing.division for standing in results.divisions if standing.teams}
    return all(
        rules.finals == "none" or rules.name in decided for rules in day.plan.event.divisions if rules.name in ranked
    )
