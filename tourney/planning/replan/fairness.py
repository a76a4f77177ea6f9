"""The fairness page of a replanned day: measured anew from what the plan and its calls have become."""

from collections.abc import Iterator
from dataclasses import replace
from datetime import datetime, time
from fractions import Fraction

from tourney.canon.syllabus import Syllabus
from tourney.model.calls import CallBook, CallSet
from tourney.model.event import Division
from tourney.model.people import Roster
from tourney.model.plan import FairnessLine, Plan
from tourney.planning.calls.fairness import Day, fairness_lines
from tourney.planning.calls.need import Row, SetNeed
from tourney.planning.calls.pool import pool_of
from tourney.planning.calls.quotas import Demand, Quotas
from tourney.planning.calls.selection import fewest_neighbours
from tourney.planning.calls.shares import shares_of
from tourney.planning.calls.terms import DEFAULT_GAP, Terms
from tourney.planning.calls.turns import turn_lines
from tourney.planning.fairness import Fairness


def fairness_of(plan: Plan, book: CallBook, roster: Roster, syllabus: Syllabus, old: Plan) -> tuple[FairnessLine, ...]:
    """All lines. Those about the calls of a division whose sets are the same as before stay as they are."""
    day = (
        *Fairness(plan.event, roster, plan.waves, plan.rotation, plan.byes, _finish_bound(plan, old)).lines(),
        *turn_lines(plan.rotation, book.speakers_of),
    )
    measured = {(line.property, line.scope) for line in day}
    before = [line for line in old.fairness if (line.property, line.scope) not in measured]
    known = {sealed.id for sealed in old.call_sets}
    fresh = {found.division for found in book.sets if found.id not in known}
    calls: dict[tuple[str, str], FairnessLine] = {(line.property, line.scope): line for line in before}
    for division in plan.event.divisions:
        if division.name in fresh:
            sets = [found for found in book.sets if found.division == division.name]
            calls |= {(line.property, line.scope): line for line in _calls(division, sets, syllabus, before)}
    return (*day, *calls.values())


def _finish_bound(plan: Plan, old: Plan) -> datetime:
    """As it was before the day: what was lost on the day shows beside it."""
    said = next((line.bound for line in old.fairness if line.property == "finish"), None)
    last = max(wave.end for wave in plan.waves)
    if not isinstance(said, str):
        return last
    hour, minute = said.split(":")
    return datetime.combine(last.date(), time(int(hour), int(minute)), last.tzinfo)


def _calls(
    division: Division, sets: list[CallSet], syllabus: Syllabus, before: list[FairnessLine]
) -> Iterator[FairnessLine]:
    """Lines about a division's calls, from the sets as they are."""
    pool = pool_of(syllabus, division)
    place = {item.id: number for number, item in enumerate(pool.items)}

    def row(found: CallSet) -> Row:
        need = SetNeed(found.id, found.use, found.round, found.order)
        return Row(need, tuple(place[call.item] for call in found.calls))

    in_order = sorted((found for found in sets if found.use == "rotation"), key=lambda found: found.order or 0)
    rotation = [row(found) for found in in_order]
    others = [row(found) for found in sets if found.use != "rotation"]
    numbers = sorted({found.round or 0 for found in in_order})
    counts = [pool.counts(next(one.items for one in rotation if one.need.round == number)) for number in numbers]
    said = {line.property: line for line in before if line.scope == division.name}
    gap = DEFAULT_GAP if division.no_repeat_gap is None else division.no_repeat_gap
    if division.no_repeat_gap is None and "sets_between_reuse" in said:
        gap = int(said["sets_between_reuse"].limit or 0)
    demand = Demand(
        shares_of(division, pool), division.calls, tuple(numbers.index(f.round or 0) for f in in_order), gap
    )
    so_far = [[sum(column) for column in zip(*counts[: n + 1], strict=True)] for n in range(len(counts))]
    off = max(
        abs(Fraction(calls) - (n + 1) * share)
        for n, past in enumerate(so_far)
        for calls, share in zip(past, demand.exact, strict=True)
    )
    terms = Terms(demand, Quotas(tuple(counts), off, proven=False))
    neighbours = sum(fewest_neighbours(pool, pool.counts(one.items)) for one in rotation)
    columns = zip(*(pool.counts(one.items) for one in rotation), strict=True)
    uneven = max(int(sum(calls) % max(1, size) > 0) for calls, size in zip(columns, pool.size, strict=True))
    for line in fairness_lines(Day(division, pool, terms, rotation, others, neighbours, uneven)):
        if line.property == "calls_from_share_after_a_round" and line.property in said:
            line = replace(line, bound=said[line.property].bound)
        yield line
