"""Finals: draw them when the rounds are settled, take what is in, draw the next stage, tell the places."""

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import datetime, timedelta
from pathlib import Path
from typing import TYPE_CHECKING, Any
from zoneinfo import ZoneInfo

from tourney.day.step import typed
from tourney.errors import Refusal
from tourney.model.bracket import Bracket

if TYPE_CHECKING:
    from tourney.day.state import PlannedDay
    from tourney.finals.drill_offs import Tied
    from tourney.finals.outcomes import Heard
    from tourney.finals.progress import Progress
    from tourney.model.plan import DrawnFinals, Plan
    from tourney.model.standing import Results
    from tourney.planning.finals import DueHeat

SHOWN = 6  # open matters that a refusal names


@dataclass(frozen=True, slots=True)
class Asked:
    """What the coordinator types. drill_off: (team, points). heat: of the finals, which the drill-off was about.

    withdraw: teams. replay: heats to be held once more. redraw: divisions whose finals are drawn anew.
    """

    drill_off: tuple[tuple[str, int], ...] = ()
    heat: str = ""
    withdraw: tuple[str, ...] = ()
    replay: tuple[str, ...] = ()
    redraw: tuple[str, ...] = ()
    by: str = ""
    why: str = ""

    @property
    def shown_first(self) -> bool:
        """Whether it is only shown until it is confirmed."""
        return bool(self.withdraw or self.replay or self.redraw)


@dataclass(frozen=True, slots=True)
class DivisionFinals:
    """One division. bracket: None before it is drawn. places: as far as they are decided. waiting: sentences.

    over: nothing is left to be decided.
    """

    division: str
    bracket: Bracket | None
    places: tuple[tuple[int, str], ...] = ()
    ties: tuple["Tied", ...] = ()
    waiting: tuple[str, ...] = ()
    over: bool = False


@dataclass(frozen=True, slots=True)
class FinalsDay:
    """Where the finals stand. state: final once all is decided and the time for protests is over.

    drawn: ids of heats drawn now. files: written, relative to the event folder. unsettled: sentences about heats that
    a ruling changes. to_drill: how each tie is separated, in words that end before the line to type.
    again: ids of heats that were heard by others than those who belong in them, and wait for a word whether they are
    held once more. unlike: sentences on rounds that would now lead to other finals.
    preview: nothing was recorded.
    """

    divisions: tuple[DivisionFinals, ...]
    plan: "Plan"
    team_names: dict[str, str]
    state: str = "provisional"
    drawn: tuple[str, ...] = ()
    files: tuple[str, ...] = ()
    unsettled: tuple[str, ...] = ()
    to_drill: Mapping["Tied", str] = field(default_factory=dict)
    again: tuple[str, ...] = ()
    unlike: tuple[str, ...] = ()
    preview: bool = False

    def document(self) -> dict[str, Any]:
        """results/finals.json, which `finals --json` prints."""
        from tourney.finals.document import finals_document

        return finals_document([found.bracket for found in self.divisions if found.bracket], self.state)


def finals(folder: Path, asked: Asked, now: datetime, *, confirm: bool = False, override: bool = False) -> FinalsDay:
    """Record what was asked, draw the next stage of every division that is ready, and write what is known.

    A withdrawal, a replay or a new draw is only shown unless confirm, and a heat that the wrong teams have heard is
    not held once more. override: do not wait until the time for protests about the rounds is over. Refusal when
    nothing that was asked fits the day, or when no division can begin: what is missing.
    """
    from tourney.day.drill_offs import due_drill_offs, how_to_drill
    from tourney.day.finals_record import record_stage, was_final, write_finals
    from tourney.day.finals_rulings import finals_rulings, held_once_more, need_teams
    from tourney.day.reseeding import redrawn, rounds_alone, unlike_finals
    from tourney.day.results import team_names
    from tourney.day.state import read_day
    from tourney.finals.progress import changes
    from tourney.record.rulings import ruling_entry

    day = read_day(folder)
    names, before = team_names(day.plan), stand(day)
    rulings = finals_rulings(day, before, asked)
    entries = [ruling_entry(one, asked.by.strip(), asked.why.strip()) for one in rulings]
    for entry in entries:
        day = day.with_entry(entry, now)
    rounds = rounds_alone(day, now)
    day = redrawn(day, asked.redraw, rounds)
    going = stand(day, asked.replay)
    need_teams(going, asked.replay)
    unsettled = (*changes(before, going, names), *held_once_more(day, asked.replay))
    if asked.shown_first and not confirm:
        return FinalsDay(_told(going), day.plan, names, unsettled=unsettled, preview=True)
    begun, waiting = begin(day, rounds, now, override=override)
    day = replace(day, plan=replace(day.plan, finals=(*day.plan.finals, *begun)))
    going = stand(day, asked.replay)
    ties = [*(tie for one in going for tie in one.ties), *(tie for one in waiting for tie in one.ties)]
    due = [*_due(going, asked.replay), *due_drill_offs(day, going, ties)]
    if not before and not begun and not entries and not due:
        raise _not_yet(folder, day, waiting)
    again = () if confirm else tuple(sorted(heats_in(day).intersection(one.heat for one in due)))
    due = [one for one in due if one.heat not in again]
    day, files = record_stage(folder, day, entries, due, asked, now)
    divisions = (*_told(stand(day)), *waiting)
    told = FinalsDay(
        divisions,
        day.plan,
        names,
        _state(day, divisions, now),
        tuple(one.heat for one in due),
        unsettled=unsettled,
        to_drill={tie: how_to_drill(day, tie) for one in divisions for tie in one.ties},
        again=again,
        unlike=unlike_finals(day, rounds) if before else (),
    )
    if was_final(folder, told):
        told = replace(told, state="final")
    return replace(told, files=(*write_finals(folder, day, told, rounds), *files))


def stand(day: "PlannedDay", replay: Collection[str] = ()) -> tuple["Progress", ...]:
    """Where the finals of every division that has begun stand. replay: heats whose outcome no longer counts."""
    from tourney.finals.progress import progress

    state, heard = day.state, heard_finals(day)
    open_ = [matter for matter in state.open_matters if matter.kind == "two_versions" and matter.heat in day.finals]
    gone = {*replay, *(matter.heat for matter in open_)}
    heard = replace(
        heard,
        outcomes={heat: outcome for heat, outcome in heard.outcomes.items() if heat not in gone},
        open_matters=(*heard.open_matters, *open_),
        absent={heat: teams for heat, teams in heard.absent.items() if heat not in replay},
    )
    return tuple(progress(day.plan, drawn, heard, state.decisions) for drawn in day.plan.finals)


def heats_in(day: "PlannedDay") -> set[str]:
    """Heats, as the plan has them now, of which any sheet or total is in."""
    return {*(sheet.heat for sheet in day.state.sheets), *(total.heat for total in day.state.totals)}


def heard_finals(day: "PlannedDay") -> "Heard":
    """What the sheets of finals and drill-offs come to."""
    from tourney.finals.outcomes import hear

    return hear(day.plan, day.called, day.state.sheets, day.state.decisions, day.state.totals)


def _due(going: Iterable["Progress"], replay: Sequence[str]) -> list["DueHeat"]:
    """The heats of every next stage, and those to be held once more."""
    from tourney.planning.finals import DueHeat

    return [
        DueHeat(heat.id, found.drawn.division, heat.stage, found.comers(heat))
        for found in going
        for heat in found.played.bracket.heats
        if heat in found.due or heat.id in replay
    ]


def begin(
    day: "PlannedDay", ranked: "Results", now: datetime, *, override: bool
) -> tuple[list["DrawnFinals"], tuple[DivisionFinals, ...]]:
    """Finals that can be drawn now, and what the others wait for."""
    from tourney.finals.drawing import draw_finals
    from tourney.finals.drill_offs import Tied, drawn_for
    from tourney.finals.readiness import readiness

    begun, waiting = [], []
    there = {drawn.division for drawn in day.plan.finals}
    for standing in ranked.divisions:
        rules = day.plan.event.division(standing.division)
        if rules.finals == "none" or rules.name in there or not standing.teams:
            continue
        found = readiness(day.plan, ranked, standing, None if override else _protests_until(day, rules.name, now))
        if found.ready:
            begun.append(draw_finals(day.plan, standing))
        else:
            ties = tuple(Tied(tie.about, tie.teams, tie.readings) for tie in found.ties)
            sentences = (*found.waiting, *_open_in(day, [heat for tie in ties for heat in drawn_for(day.plan, tie)]))
            waiting.append(DivisionFinals(rules.name, None, (), ties, sentences, found.never))
    return begun, tuple(waiting)


def _open_in(day: "PlannedDay", heats: Sequence[str]) -> list[str]:
    """Sentences on what is open in these drill-offs."""
    open_ = heard_finals(day).open_matters if heats else ()
    return [f"{matter.heat}: {matter.what}" for matter in open_ if matter.heat in heats]


def _protests_until(day: "PlannedDay", division: str, now: datetime) -> datetime | None:
    """When the time for protests about a division's rounds ends; None when that is over."""
    arrived = day.state.arrived
    last = max((arrived[h.id] for h in day.plan.rotation if h.division == division and h.id in arrived), default=now)
    end = last + timedelta(minutes=day.plan.event.day.protest_minutes)
    return end.astimezone(ZoneInfo(day.plan.event.timezone)) if now < end else None


def _not_yet(folder: Path, day: "PlannedDay", waiting: Sequence[DivisionFinals]) -> Refusal:
    """Why no division can begin."""
    from tourney.day.drill_offs import after_sets, drill_off_line, how_to_drill, level_words
    from tourney.day.results import team_names

    if not waiting:
        return Refusal(
            "No division has finals.",
            cures=('Set finals of a division to "line", "knockout" or another kind, before the day is planned.',),
        )
    sentences = [sentence for found in waiting for sentence in found.waiting]
    if all(found.over for found in waiting):
        stand_so = f"The places of the rounds are the last word: {typed('results', folder)}"
        return Refusal("There will be no finals.", cures=(stand_so,), details=tuple(sentences))
    tied = [tie for found in waiting for tie in found.ties]
    details = sentences[:SHOWN] + ([f"and {len(sentences) - SHOWN} more"] if len(sentences) > SHOWN else [])
    names = team_names(day.plan)
    details += [f"{level_words(tie, names)}{after_sets(tie)}." for tie in tied]
    cures = (
        ["Collect what is missing, or settle it with tourney rule; then run tourney finals again."] if sentences else []
    )
    cures += [f"{how_to_drill(day, tie)} {drill_off_line(folder, tie)}" for tie in tied]
    return Refusal("The finals can't be drawn yet.", cures=tuple(cures), details=tuple(details))


def _state(day: "PlannedDay", told: Sequence[DivisionFinals], now: datetime) -> str:
    """Final once every heat is decided and the time for protests about them is over."""
    last = max((at for heat, at in day.state.arrived.items() if heat in day.finals), default=now)
    closed = now >= last + timedelta(minutes=day.plan.event.day.protest_minutes)
    return "final" if closed and told and all(found.over for found in told) else "provisional"


def _told(going: Iterable["Progress"]) -> tuple[DivisionFinals, ...]:
    from tourney.finals.playing import final_places

    return tuple(
        DivisionFinals(
            found.drawn.division,
            found.played.bracket,
            final_places(found.played.bracket),
            found.ties,
            (*found.halted, *(f"{matter.heat}: {matter.what}" for matter in found.waiting)),
            found.played.over,
        )
        for found in going
    )
