"""The plan of a day: schedule, officials, call sets, fairness page."""

from collections.abc import Sequence
from dataclasses import replace

from tourney.canon.syllabus import Syllabus
from tourney.draw import Draw, digest
from tourney.errors import Refusal
from tourney.model.calls import CallBook, CallSet
from tourney.model.event import Event
from tourney.model.people import Roster
from tourney.model.plan import DrawRecord, FairnessLine, Heat, Plan, PublicOfficial, ReservedHeat, SealedSet
from tourney.planning.calls.draw import draw_call_sets
from tourney.planning.calls.need import needs_of
from tourney.planning.calls.speakers import draw_speakers
from tourney.planning.calls.turns import turn_lines
from tourney.planning.clock import moment
from tourney.planning.fairness import ALL, Fairness
from tourney.planning.officials import Gap, fill_seats, find_gaps
from tourney.planning.prefixes import division_prefixes
from tourney.planning.redraw import calls_by
from tourney.planning.schedule import Schedule, benches, draw_schedule, saved_by_one_more_room
from tourney.planning.shortage import (
    gaps_without_ties,
    hopeless_heat,
    people_missing,
    team_without_officials,
    too_few_officials,
)

TRIES = 20  # draws of the rotation before the plan is given up for want of officials without a tie


def plan_day(event: Event, roster: Roster, syllabus: Syllabus, secret: str, inputs: str) -> tuple[Plan, CallBook]:
    """The plan and its call sets, revision 1. secret: what calls are drawn from besides the words. inputs: their hash.

    Where rounds are drawn by standing, round 1 alone is drawn: the others have their place in the day kept, and their
    call sets. `next_round` draws them.
    Everything but the calls follows from the public draw words. The same arguments give the same plan.
    Refusal when the rules can't all be kept, with what is short and the least cure.
    """
    draw = Draw(event.draw_words)
    schedule = _staffed(event, roster, draw)
    heats = _with_officials(schedule, event, roster)
    book, about_calls = _book(schedule, event, roster, syllabus, Draw(event.draw_words, secret))
    fairness = Fairness(
        event, roster, schedule.waves, heats, schedule.byes, moment(event, schedule.finish_bound)
    ).lines()
    saved = {"room": saved_by_one_more_room(schedule, event, draw), "judge": 0, "caller": 0}  # rooms set the pace
    more = (FairnessLine(f"minutes_saved_by_one_more_{one}", ALL, n, None, None, True) for one, n in saved.items())
    plan = Plan(
        revision=1,
        event=event,
        draw=DrawRecord(event.draw_words, inputs, digest(secret), calls_by()),
        teams=roster.teams,
        drawn_rounds=schedule.rounds,
        officials=tuple(PublicOfficial.of(official) for official in roster.officials),
        waves=schedule.waves,
        heats=heats,
        byes=schedule.byes,
        call_sets=tuple(SealedSet(found.id, found.division, found.use, found.fingerprint()) for found in book.sets),
        fairness=(*fairness, *more, *about_calls),
        reserved=tuple(
            ReservedHeat(heat.id, heat.division, heat.round, heat.wave, heat.room, heat.call_set)
            for heat in schedule.heats
            if not heat.teams
        ),
    )
    return plan, book


def _staffed(event: Event, roster: Roster, draw: Draw) -> Schedule:
    """The first schedule whose seats can all be filled. Refusal with the least cure that any of the draws needs."""
    best: list[Gap] = []
    certain: list[Gap] = []
    hopeless: Gap | None = None
    for attempt in range(1, TRIES + 1):
        schedule = draw_schedule(event, roster, draw, attempt)
        waves = benches(schedule, event, roster)
        gaps = find_gaps(waves, roster.officials)
        if not gaps:
            return schedule
        if attempt == 1:
            hopeless = hopeless_heat(event, roster, waves[0][0])
            certain = gaps_without_ties(waves, roster.officials)
        best = min(best or gaps, gaps, key=_shortness)
        if people_missing(best) <= people_missing([*certain, *([hopeless] if hopeless else [])]):
            break  # no draw needs fewer people
    if hopeless:
        raise team_without_officials(hopeless, best)
    fewer_rooms = _fewer_rooms(event, roster, draw)
    if certain:
        raise too_few_officials(certain, attempt, True, fewer_rooms, best)
    raise too_few_officials(best, TRIES, False, fewer_rooms)


def _shortness(gaps: Sequence[Gap]) -> tuple[int, int]:
    return people_missing(gaps), sum(gap.missing for gap in gaps)


def _fewer_rooms(event: Event, roster: Roster, draw: Draw) -> str | None:
    """The cure that leaves out the last rooms of the event, as few as help."""
    for kept in range(len(event.rooms) - 1, 0, -1):
        smaller = event.model_copy(update={"rooms": event.rooms[:kept]})
        try:
            schedule = draw_schedule(smaller, roster, draw, 1)
        except Refusal:  # the rooms that are left are too narrow
            return None
        if not find_gaps(benches(schedule, smaller, roster), roster.officials):
            left_out = " and ".join(room.name for room in event.rooms[kept:])
            end = max(wave.end for wave in schedule.waves)
            return f"Leave out {left_out}: then the officials are enough, and the day ends at {end:%H:%M}."
    return None


def _with_officials(schedule: Schedule, event: Event, roster: Roster) -> tuple[Heat, ...]:
    filled = fill_seats(benches(schedule, event, roster), roster.officials)
    people = {(bench.heat, bench.duty): found for bench, found in filled.items()}
    return tuple(
        replace(
            heat,
            judges=people[heat.id, "judge"],
            caller=people[heat.id, "caller"][0],
            timekeeper=people.get((heat.id, "timekeeper"), (None,))[0],
        )
        for heat in schedule.heats
        if heat.teams
    )


def _book(
    schedule: Schedule, event: Event, roster: Roster, syllabus: Syllabus, draw: Draw
) -> tuple[CallBook, tuple[FairnessLine, ...]]:
    sets: list[CallSet] = []
    lines: list[FairnessLine] = []
    prefixes = division_prefixes([division.name for division in event.divisions])
    for division in event.divisions:
        if any(team.division == division.name for team in roster.teams):
            heard = {heat.call_set: heat.round for heat in schedule.heats if heat.division == division.name}
            drawn = draw_call_sets(division, needs_of(division, prefixes[division.name], heard), syllabus, draw)
            sets += drawn.sets
            lines += drawn.fairness
    heats = [heat for heat in schedule.heats if heat.teams]
    book = CallBook(tuple(sets), draw_speakers(heats, sets, draw))
    return book, (*lines, *turn_lines(heats, book.speakers_of, at_once=True))
