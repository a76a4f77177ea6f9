"""How far the finals of a division have come: what is drawn, what is in, what comes next, what is waited for."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from tourney.finals.drawing import bracket_of
from tourney.finals.drill_offs import Tied, drawn_for
from tourney.finals.outcomes import Heard
from tourney.finals.playing import Absent, Played, meant_for, play
from tourney.model.bracket import BracketHeat
from tourney.model.decisions import Decisions
from tourney.model.plan import DrawnFinals, Plan
from tourney.model.standing import OpenMatter
from tourney.scoring.words import listing

NOBODY_CAME = "nobody_came"


@dataclass(frozen=True, slots=True)
class Progress:
    """One division's finals. due: heats of the next stage that are to be drawn, with those who belong in them.

    unsettled: ids of heats that others were drawn for, or heard, than those who belong in them now: heats of the next
    stage are among the due; later ones wait for theirs. waiting: what is open about heats that are drawn, drill-offs
    among them. needless: ids of heats that were drawn for others than those who belong in them, and are decided without
    a heat. out: teams that left.
    """

    drawn: DrawnFinals
    played: Played
    due: tuple[BracketHeat, ...]
    unsettled: tuple[str, ...]
    waiting: tuple[OpenMatter, ...]
    needless: tuple[str, ...]
    out: frozenset[str]

    @property
    def halted(self) -> tuple[str, ...]:
        """A sentence for each drawn heat that must not be held as it is drawn, and can't be drawn anew yet."""
        due = {heat.id for heat in self.due}
        return tuple(
            f"{heat}: don’t hold it as it is drawn. Who belongs in it is open once more."
            for heat in self.unsettled
            if heat not in due
        )

    @property
    def ties(self) -> tuple[Tied, ...]:
        """Level teams that a drill-off has to separate."""
        return tuple(Tied(tie.heat, tie.teams, tie.readings) for tie in self.played.ties)

    def comers(self, heat: BracketHeat) -> tuple[str, ...]:
        """The teams that stand in a heat whose teams are known."""
        return tuple(team for team in heat.teams if team is not None and team not in self.out)


def progress(plan: Plan, drawn: DrawnFinals, heard: Heard, decisions: Decisions) -> Progress:
    """Where these finals stand, from all that is known of their heats."""
    out = frozenset(drawn.seeds) & (decisions.withdrawn | decisions.disqualified | {*plan.gone})
    played = play(bracket_of(drawn), heard.outcomes, out, heard.absent)
    heats = tuple(_in_the_day(plan, heat) for heat in played.bracket.heats)
    notes = (*played.bracket.footnotes, *_absences(plan, heats, heard, out))
    played = replace(played, bracket=replace(played.bracket, heats=heats, footnotes=notes))
    undecided = [heat for heat in heats if heat.needed and not heat.order]
    tied = {tie.heat for tie in played.ties}
    stage = min((heat.stage for heat in undecided), default=0)
    due = tuple(
        heat for heat in undecided if heat.stage == stage and heat.id not in tied and not _drawn_for(plan, heat, out)
    )
    unsettled = _unsettled(plan, heats, out)
    absent = {one.heat for one in played.absent}
    open_heats = {heat.id for heat in undecided}.difference(unsettled, absent, (heat.id for heat in due))
    for tie in played.ties:
        open_heats.update(drawn_for(plan, Tied(tie.heat, tie.teams, tie.readings)))
    waiting = tuple(matter for matter in heard.open_matters if matter.heat in open_heats)
    waiting += tuple(_nobody(plan, one) for one in played.absent)
    needless = tuple(
        heat.id
        for heat in heats
        if heat.id in plan.heat and heat.order and not heat.points and not _drawn_for(plan, heat, out)
    )
    return Progress(drawn, played, due, unsettled, waiting, needless, out)


def _absences(plan: Plan, heats: Sequence[BracketHeat], heard: Heard, out: frozenset[str]) -> Iterator[str]:
    """A sentence for each heat to which teams that belong in it did not come."""
    for heat in heats:
        absent = heard.absent.get(heat.id)
        if absent and meant_for(absent.drawn, [team for team in heat.teams if team is not None], out):
            yield f"{heat.name}: {listing([plan.team[team].name for team in absent.teams])} did not come."


def _nobody(plan: Plan, one: Absent) -> OpenMatter:
    """Teams that did not come, of which none can be said to have won."""
    who = listing([plan.team[team].name for team in one.teams])
    return OpenMatter(
        NOBODY_CAME,
        one.heat,
        f"{who} did not come. Let those withdraw who go on no more (--withdraw TEAM), or hold the heat once more "
        f"(--replay {one.heat}).",
    )


def _in_the_day(plan: Plan, heat: BracketHeat) -> BracketHeat:
    """A heat with its place in the day, once it is drawn."""
    held = plan.heat.get(heat.id)
    return heat if held is None else replace(heat, wave=held.wave, room=held.room, call_set=held.call_set)


def _drawn_for(plan: Plan, heat: BracketHeat, out: frozenset[str]) -> bool:
    """Is a heat in the plan for those who belong in it."""
    held = plan.heat.get(heat.id)
    return held is not None and meant_for(held.teams, [team for team in heat.teams if team is not None], out)


def _unsettled(plan: Plan, heats: Sequence[BracketHeat], out: frozenset[str]) -> tuple[str, ...]:
    """Heats that the plan has for others than those who belong in them, or whose teams are open once more."""
    return tuple(
        heat.id for heat in heats if heat.id in plan.heat and not heat.order and not _drawn_for(plan, heat, out)
    )


def changes(before: Sequence[Progress], after: Sequence[Progress], names: Mapping[str, str]) -> tuple[str, ...]:
    """What a ruling does to heats that were decided or drawn already, a sentence a heat. names: of teams by id."""
    found = []
    for old, new in zip(before, after, strict=True):
        then = {heat.id: heat for heat in old.played.bracket.heats}
        for heat in new.played.bracket.heats:
            was = then.get(heat.id)
            if heat.id in new.unsettled and heat.id not in old.unsettled:
                found.append(_unsettled_words(heat, was, names))
            elif was is not None and heat.order[:1] != was.order[:1]:
                found.append(_winner_words(heat, was, names))
    return tuple(found)


def _unsettled_words(heat: BracketHeat, was: BracketHeat | None, names: Mapping[str, str]) -> str:
    drawn = _listed(was.teams if was else (), names)
    if not heat.needed:
        return f"{heat.id}, {heat.name}: drawn for {drawn}; it is not needed any more."
    if None in heat.teams:
        return f"{heat.id}, {heat.name}: drawn for {drawn}; who belongs in it is open once more."
    return f"{heat.id}, {heat.name}: drawn for {drawn}; now {_listed(heat.teams, names)} belong in it."


def _winner_words(heat: BracketHeat, was: BracketHeat, names: Mapping[str, str]) -> str:
    if not heat.order:
        return f"{heat.id}, {heat.name}: was decided, and is open once more."
    if not heat.points:
        return f"{heat.id}, {heat.name}: {names[heat.order[0]]} wins without a heat."
    instead = f" instead of {names[was.order[0]]}" if was.order else ""
    return f"{heat.id}, {heat.name}: {names[heat.order[0]]} wins{instead}."


def _listed(teams: Sequence[str | None], names: Mapping[str, str]) -> str:
    return listing([names[team] for team in teams if team is not None]) or "nobody"
