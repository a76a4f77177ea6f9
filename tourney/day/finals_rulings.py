"""From what is typed about finals to rulings, checked against the day."""

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from tourney.errors import Refusal
from tourney.model.names import meant
from tourney.model.ruling import DrillOff, Ruling, Withdraw, heats_of

if TYPE_CHECKING:
    from tourney.day.finals import Asked
    from tourney.day.state import PlannedDay
    from tourney.finals.progress import Progress

MOST = 9999  # points of a drill-off


def finals_rulings(day: "PlannedDay", going: Sequence["Progress"], asked: "Asked") -> tuple[Ruling, ...]:
    """The rulings that were asked for. Refusal when one does not fit the day, or lacks who decided it and why."""
    rulings = (*_drill_off(day, going, asked), *_withdrawals(day, asked))
    held = {heat.id for found in going for heat in found.played.bracket.heats if heat.id in day.plan.heat}
    for heat in asked.replay:
        if heat not in held:
            known = ", ".join(sorted(held)) or "none is drawn yet"
            raise Refusal(f"{heat} is no heat of the finals.", cures=(f"Heats of the finals: {known}.",))
    if asked.shown_first and not (asked.by.strip() and asked.why.strip()):
        raise Refusal(
            "A withdrawal, a replay or a new draw needs who decided it and why.",
            cures=('Add --by "NAME" and --why "REASON".',),
        )
    return rulings


def need_teams(going: Sequence["Progress"], replay: Sequence[str]) -> None:
    """Refusal where a heat can't be held once more: who belongs in it is open, or it is decided without a heat.

    going: as if nothing were known of these heats.
    """
    for found in going:
        for heat in found.played.bracket.heats:
            if heat.id not in replay:
                continue
            if None in heat.teams:
                raise Refusal(
                    f"Who belongs in {heat.id} is open, so it can't be held once more.",
                    cures=("Settle the heats before it first; one stage after the other.",),
                )
            if not heat.needed or len(found.comers(heat)) < 2:
                raise Refusal(f"{heat.id} need not be held: fewer than two teams are left for it.")


def held_once_more(day: "PlannedDay", replay: Sequence[str]) -> tuple[str, ...]:
    """A sentence for each heat to be held once more."""
    ruled = {heat for one in day.state.rulings if one.stands for heat in heats_of(one.ruling)}
    end = {True: "; what was ruled about it before counts no longer.", False: "."}
    return tuple(f"{heat} is held once more, with calls that nobody heard{end[heat in ruled]}" for heat in replay)


def _drill_off(day: "PlannedDay", going: Sequence["Progress"], asked: "Asked") -> Iterator[Ruling]:
    """One ruling for all that were typed; each must be one of the level teams, and none may be left out."""
    if not asked.drill_off:
        return
    from tourney.finals.drill_offs import next_reading
    from tourney.finals.outcomes import score_finals
    from tourney.model.plan import pool_cut
    from tourney.scoring.drilled import readings_of
    from tourney.scoring.words import listing

    made = {_team(day, team): points for team, points in asked.drill_off}
    if len(made) < len(asked.drill_off):
        raise Refusal("A team is named twice in the drill-off.")
    if any(not 0 <= points <= MOST for points in made.values()):
        raise Refusal(f"Points of a drill-off go from 0 to {MOST}.")
    ties = [tie for found in going for tie in found.played.ties if tie.heat == asked.heat] if asked.heat else []
    before_finals = asked.heat in {"", *(pool_cut(day.plan.team[team].pool) for team in made)}
    if not before_finals and not any(set(tie.teams) == set(made) for tie in ties):
        said = "; ".join(listing([*tie.teams]) for tie in ties)
        raise Refusal(
            f"{listing(list(made))} are not level in {asked.heat}.",
            cures=(f"Level there: {said}. Name all of them." if said else "No drill-off is needed there.",),
        )
    if before_finals:
        divisions = {day.plan.team[team].division for team in made}
        pools = {pool_cut(day.plan.team[team].pool) for team in made}
        if asked.heat and pools != {asked.heat}:
            raise Refusal(f"{listing(list(made))} are not all of one pool.")
        begun = {drawn.division for drawn in day.plan.finals}
        if len(made) < 2 or len(divisions) > 1:
            raise Refusal("A drill-off is between two teams or more of one division.")
        if divisions & begun:
            raise Refusal(
                "The finals of that division are drawn already.",
                cures=("For a drill-off after a heat of the finals, name it: --heat J-F1-1.",),
            )
    decisions = day.state.decisions
    readings = readings_of(day.plan, score_finals(day.plan, day.called, day.state.sheets, decisions), decisions)
    reading = next_reading(list(made), readings.get(asked.heat, {}))
    yield DrillOff(tuple(sorted(made.items())), asked.heat, reading)


def _team(day: "PlannedDay", word: str) -> str:
    """The team of that number, or of a name that it alone has."""
    found = meant(word, {team.id: team.name for team in day.plan.teams})
    if len(found) > 1:
        raise Refusal(
            f"{len(found)} teams are called {word}.", cures=(f"Say which by its number: {', '.join(found)}.",)
        )
    if not found:
        cure = f"Teams go by their numbers, such as {day.plan.teams[0].id}, or by their names."
        raise Refusal(f"There is no team {word}.", cures=(cure,))
    return found[0]


def _withdrawals(day: "PlannedDay", asked: "Asked") -> Iterator[Ruling]:
    for team in (_team(day, word) for word in asked.withdraw):
        if team in day.state.decisions.withdrawn:
            raise Refusal(f"{team} has withdrawn already.")
        yield Withdraw(team)
