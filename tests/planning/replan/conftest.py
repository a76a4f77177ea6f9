"""Planned days in which something goes wrong, and the rules that hold whatever happens."""

from collections import Counter
from collections.abc import Callable
from itertools import pairwise
from typing import Any

import pytest

from tourney.canon.syllabus import built_in
from tourney.draw import Draw
from tourney.model.plan import Plan
from tourney.planning.plan import plan_day
from tourney.planning.replan.changes import Changes
from tourney.planning.replan.replan import PlayedDay, Replanned, replan
from tourney.planning.replan.sets import Source

SYLLABUS = built_in()
SOURCE = Source(SYLLABUS, Draw("words", "a secret revision 2"))

Played = Callable[[PlayedDay, str], PlayedDay]
Broken = Callable[[PlayedDay, Replanned], list[str]]


@pytest.fixture(scope="session")
def barns(make: Any) -> PlayedDay:
    """Twelve teams of four clubs, three rounds, three rooms of which one is narrow, a pause; ten free officials."""
    rules = {"name": "Junior", "rounds": 3, "judges": 1, "timekeeper": "caller"}
    event = make.event([rules], 3, day={"pauses": [{"after_wave": 4, "minutes": 20, "label": "Juice"}]})
    roster = make.roster(event, {"Junior": 8}, 10, clubs=4, tied=0.3)
    plan, book = plan_day(event, roster, SYLLABUS, "a secret", "sha256:0")
    return PlayedDay(plan, book, roster, frozenset(), "00:00", {wave.id: wave.start for wave in plan.waves})


@pytest.fixture(scope="session")
def played() -> Played:
    """played(day, at): the day when every wave has begun that starts at or before "HH:MM"."""

    def until(day: PlayedDay, at: str) -> PlayedDay:
        held = frozenset(wave.id for wave in day.plan.waves if f"{wave.start:%H:%M}" <= at)
        return PlayedDay(day.plan, day.book, day.roster, held, at, day.announced)

    return until


@pytest.fixture(scope="session")
def change() -> Callable[[PlayedDay, Changes], Replanned]:
    """change(day, changes): the next revision."""
    return lambda day, changes: replan(day, changes, SOURCE)


def rules_broken(day: PlayedDay, found: Replanned) -> list[str]:
    """What is wrong with a replanned day, read from the plan alone, whoever made it."""
    plan, old, wrong = found.plan, day.plan, []
    for kind, who in (
        ("team", lambda heat: heat.teams),
        ("official", lambda heat: [person for _, person in heat.seats]),
        ("room", lambda heat: [heat.room]),
    ):
        times = Counter((heat.wave, key) for heat in plan.heats for key in who(heat))
        wrong += [f"{kind} {key} twice in {wave}" for (wave, key), count in times.items() if count > 1]
    for heat in old.heats:
        if heat.wave in day.held and plan.heat.get(heat.id) != heat:
            wrong.append(f"{heat.id} was played and has changed")
    wrong += [f"{wave.id} was held and has changed" for wave in old.waves if wave.id in day.held
              and plan.wave[wave.id] != wave]  # fmt: skip
    wrong += _times(plan)
    for heat in plan.heats:
        if heat.wave in day.held:
            continue
        limit = next(room.line_limit for room in plan.event.rooms if room.name == heat.room)
        rules = plan.event.division(heat.division)
        if len(heat.line) > limit or heat.room in plan.closed_rooms:
            wrong.append(f"{heat.id}: {heat.room}")
        if len(heat.judges) != rules.judges or not heat.caller:
            wrong.append(f"{heat.id}: seats")
        if {child.rsplit("-", 1)[0] for child in heat.line} != set(heat.teams):
            wrong.append(f"{heat.id}: line")
        if set(plan.gone) & {*heat.line, *heat.teams}:
            wrong.append(f"{heat.id}: someone who left")
        for duty, person in heat.seats:
            official, wave = found.roster.official[person], plan.wave[heat.wave]
            clubs = {plan.team[team].club for team in heat.teams}
            if clubs & set(official.clubs) or set(official.people) & set(heat.line):
                wrong.append(f"{heat.id}: {person} is tied")
            if official.roles and duty not in official.roles:
                wrong.append(f"{heat.id}: {person} is no {duty}")
            if official.end and f"{wave.end:%H:%M}" > official.end:
                wrong.append(f"{heat.id}: {person} has left")
    sets = {(heat.division, heat.wave, heat.call_set) for heat in plan.heats}
    if len({key[:2] for key in sets}) != len(sets) or len({key[2] for key in sets}) != len(sets):
        wrong.append("a set in two waves, or two sets in one")
    sealed = {one.id: one.fingerprint for one in old.call_sets}
    wrong += [f"{one.id}: another fingerprint" for one in plan.call_sets if sealed.get(one.id, one.fingerprint)
              != one.fingerprint]  # fmt: skip
    if {one.id: one.fingerprint for one in plan.call_sets} != {one.id: one.fingerprint() for one in found.book.sets}:
        wrong.append("plan and calls")
    return wrong + _calls(found)


def _times(plan: Plan) -> list[str]:
    wrong = []
    pauses = {pause.after_wave: pause.minutes for pause in plan.event.day.pauses}
    for number, (before, after) in enumerate(pairwise(plan.waves), 1):
        apart = (after.start - before.end).total_seconds() / 60
        if apart < max(plan.event.day.changeover, pauses.get(number, 0)):
            wrong.append(f"{before.id}, {after.id}: {apart} minutes apart")
    for team in plan.teams:
        heats = sorted((heat for heat in plan.heats if team.id in heat.teams), key=lambda h: plan.wave[h.wave].start)
        wrong += [f"{team.id}: round {n} x{c}" for n, c in Counter(heat.round for heat in heats).items() if c > 1]
        for one, other in pairwise(heats):
            rest = (plan.wave[other.wave].start - plan.wave[one.wave].end).total_seconds() / 60
            if rest < plan.event.day.rest:
                wrong.append(f"{team.id}: {rest} minutes of rest before {other.id}")
    return wrong


def _calls(found: Replanned) -> list[str]:
    wrong = []
    rank = {item.id: place for place, item in enumerate(SYLLABUS.items)}
    start = {heat.call_set: found.plan.wave[heat.wave].start for heat in found.plan.heats}
    heard = sorted((one for one in found.book.sets if one.id in start), key=lambda one: start[one.id])
    for division in found.plan.event.divisions:
        orders = [one.order or 0 for one in heard if one.division == division.name]
        if orders != sorted(set(orders)):
            wrong.append(f"{division.name}: orders {orders}")
    by_round: dict[tuple[str, int | None], set[tuple[tuple[str, int], ...]]] = {}
    for one in found.book.sets:
        items = [call.item for call in one.calls]
        if len(set(items)) != len(items):
            wrong.append(f"{one.id}: an item twice")
        if one.use == "rotation":
            counts = tuple(sorted(Counter(call.section for call in one.calls).items()))
            by_round.setdefault((one.division, one.round), set()).add(counts)
        for at, item in enumerate(items):
            if any(abs(rank[item] - rank[other]) < 2 for other in items[at + 1 : at + 4]):
                wrong.append(f"{one.id}: neighbours close by")
    wrong += [f"{key}: unlike sections" for key, counts in by_round.items() if len(counts) > 1]
    for heat in found.plan.heats:
        lines = found.book.speakers_of[heat.id]
        turns = Counter(lines)
        if heat.id in {move.heat for move in found.moved} and max(turns.values()) - min(turns.values()) > 1:
            wrong.append(f"{heat.id}: turns {turns}")
        if not set(lines) <= set(range(1, len(heat.line) + 1)) or len(lines) != len(
            found.book.set[heat.call_set].calls
        ):
            wrong.append(f"{heat.id}: speakers")
    return wrong


@pytest.fixture(scope="session")
def broken() -> Broken:
    """broken(day, replanned): every rule that the new revision breaks."""
    return rules_broken
