"""Whether the rounds still lead to the finals that were drawn."""

from collections.abc import Sequence
from dataclasses import replace
from datetime import datetime
from typing import TYPE_CHECKING

from tourney.errors import Refusal
from tourney.scoring.words import counted

if TYPE_CHECKING:
    from tourney.day.state import PlannedDay
    from tourney.model.standing import Results

MAY_DO = (
    "They stand as they were drawn. The chief judge decides by your local rules: play on and tell the coaches why, or "
    "draw them anew with tourney finals FOLDER --redraw DIVISION, which first shows what that changes."
)


def unlike_finals(day: "PlannedDay", rounds: "Results") -> tuple[str, ...]:
    """A sentence for each division whose finals would be drawn otherwise now, then what may be done.

    rounds: see `rounds_alone`.
    """
    from tourney.day.results import team_names
    from tourney.finals.reseeding import unlike_seeds

    standing, names = {found.division: found for found in rounds.divisions}, team_names(day.plan)
    said = [unlike_seeds(day.plan, drawn, standing[drawn.division], names) for drawn in day.plan.finals]
    told = tuple(sentence for sentence in said if sentence)
    return (*told, MAY_DO) if told else ()


def redrawn(day: "PlannedDay", divisions: Sequence[str], rounds: "Results") -> "PlannedDay":
    """The day with finals of these divisions drawn anew, from the rounds as they stand. Refusal where that can't be.

    rounds: see `rounds_alone`.
    """
    from tourney.finals.drawing import draw_finals, finalists

    drawn = {one.division: one for one in day.plan.finals}
    standings = {found.division: found for found in rounds.divisions}
    for division in divisions:
        if division not in drawn:
            known = ", ".join(drawn) or "none"
            raise Refusal(f"No finals of {division} are drawn.", cures=(f"Finals are drawn of: {known}.",))
        standing = standings[division]
        if standing.cut:
            raise Refusal(
                f"{division}: it is open who reaches the finals.",
                cures=("Settle the rounds first: tourney results says what is open.",),
            )
        now, then = len(finalists(standing)), len(drawn[division].seeds)
        if now < then:
            raise Refusal(
                f"{division}: {counted(now, 'team reaches', 'teams reach')} the finals now, and they were drawn for "
                f"{then}.",
                cures=(
                    "Let the team that is out withdraw instead (--withdraw TEAM): whoever was to meet it moves on.",
                ),
            )
        drawn[division] = draw_finals(day.plan, standing)
    return replace(day, plan=replace(day.plan, finals=tuple(drawn.values())))


def rounds_alone(day: "PlannedDay", now: datetime) -> "Results":
    """What the rounds come to, as if no finals were drawn.

    Teams that left the finals count as if they had stayed: that is no change of the rounds.
    """
    from tourney.day.results import standings

    seeds = {team for drawn in day.plan.finals for team in drawn.seeds}
    decisions = replace(day.state.decisions, withdrawn=day.state.decisions.withdrawn - seeds)
    plan = replace(day.plan, finals=(), gone=tuple(one for one in day.plan.gone if one not in seeds))
    return standings(replace(day, plan=plan, state=replace(day.state, decisions=decisions)), now)
