"""The calls of a planned day drawn once more, from what anyone may have when the day is over."""

from importlib.metadata import version

from tourney.canon.syllabus import Syllabus
from tourney.draw import Draw
from tourney.model.calls import CallBook, CallSet
from tourney.model.plan import Heat, Plan, ReservedHeat
from tourney.planning.calls.draw import draw_call_sets
from tourney.planning.calls.need import needs_of
from tourney.planning.calls.speakers import draw_speakers
from tourney.planning.prefixes import division_prefixes

WAY = 2  # of drawing calls and speakers: one more with each change that draws others from the same words and secret


def calls_by() -> str:
    """What draws the calls: the same words and secret give the same ones only by the same."""
    return f"way {WAY}, ortools {version('ortools')}"


def draw_again(plan: Plan, syllabus: Syllabus, secret: str) -> CallBook:
    """Every set as `plan_day` draws it, and who is asked in the heats of the rounds.

    plan: with the rounds' heats as they were drawn; other heats don't matter.
    Refusal when the list or the rules allow no such sets any more.
    """
    found: list[CallSet] = []
    draw = Draw(plan.draw.words, secret)
    use = {sealed.id: sealed.use for sealed in plan.call_sets}
    wave = {wave.id: number for number, wave in enumerate(plan.waves)}
    drawn: list[Heat | ReservedHeat] = [*plan.heats, *plan.reserved]
    heats = sorted(drawn, key=lambda heat: wave[heat.wave])
    prefixes = division_prefixes([division.name for division in plan.event.divisions])
    for division in plan.event.divisions:
        if any(team.division == division.name for team in plan.teams):
            mine = [heat for heat in heats if heat.division == division.name and use[heat.call_set] == "rotation"]
            needed = needs_of(division, prefixes[division.name], {heat.call_set: heat.round for heat in mine})
            found += draw_call_sets(division, needed, syllabus, draw).sets
    rounds = [heat for heat in plan.heats if use[heat.call_set] == "rotation"]
    return CallBook(tuple(found), draw_speakers(rounds, found, draw))
