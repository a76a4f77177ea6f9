"""All call sets of one division, from the draw words and the folder's secret."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import partial
from random import Random

from tourney.canon.syllabus import Syllabus
from tourney.draw import Draw
from tourney.errors import Refusal, Shortage
from tourney.model.calls import Call, CallSet
from tourney.model.event import Division
from tourney.model.plan import FairnessLine
from tourney.planning.calls.assembly import Assembly, NoRoom, assemble, equalise
from tourney.planning.calls.fairness import Day, fairness_lines
from tourney.planning.calls.kinds import call_of
from tourney.planning.calls.need import Row, SetNeed
from tourney.planning.calls.ordering import Known, order_calls
from tourney.planning.calls.others import Stream, draw_others
from tourney.planning.calls.pool import Pool, pool_of
from tourney.planning.calls.profile import profile_of
from tourney.planning.calls.reserves import draw_reserves
from tourney.planning.calls.terms import Terms, settle

QUOTA_DRAWS = 8  # drawn until the gap forces no neighbours


@dataclass(frozen=True, slots=True)
class DrawnSets:
    """sets: in the order in which they were asked for. fairness: what is true of them, beside the best possible."""

    sets: tuple[CallSet, ...]
    fairness: tuple[FairnessLine, ...]


def draw_call_sets(division: Division, needed: Sequence[SetNeed], syllabus: Syllabus, draw: Draw) -> DrawnSets:
    """Every set that a division needs. needed: rotation sets in the order heard, sets of other uses among them.

    draw: with the secret, so that the words alone reveal nothing. Refusal when the rules can't all be kept: which
    section is short, by how much, why, and the smallest changes that would help.
    """
    stream: Stream = partial(draw.stream, "calls", division.name)
    pool = pool_of(syllabus, division)
    rotation = [need for need in needed if need.use == "rotation"]
    numbers = sorted({need.round or 0 for need in rotation})
    # Without a rotation one set is drawn all the same: the measure of the others.
    rounds = [numbers.index(need.round or 0) for need in rotation] or [0]
    terms, assembly = _assemble(division, pool, syllabus, rounds, stream)
    board = equalise(assembly, stream("balance"))
    sets = [Row(need, tuple(sorted(held))) for need, held in zip(rotation, board.sets, strict=False)]
    others = [need for need in needed if need.use != "rotation"]
    sets += draw_others(pool, others, sets, terms, profile_of(board), stream)
    known = Known()
    rows = [replace(row, items=order_calls(pool, row.items, known, stream("order", row.need.id))) for row in sets]
    spares = [_spares(pool, row, rows[: len(rotation)], terms, stream) for row in rows]
    made = {
        row.need.id: call_set_of(division, syllabus, pool, row, spare) for row, spare in zip(rows, spares, strict=True)
    }
    day = Day(
        division,
        pool,
        terms,
        rows[: len(rotation)],
        rows[len(rotation) :],
        assembly.neighbours,
        assembly.use_spread,
    )
    return DrawnSets(tuple(made[need.id] for need in needed), fairness_lines(day))


def _assemble(
    division: Division, pool: Pool, syllabus: Syllabus, rounds: Sequence[int], stream: Stream
) -> tuple[Terms, Assembly]:
    """The rotation's sets: of a few drawn quotas those whose sets have fewest neighbours.

    A gap that nobody asked for gives way to fewer neighbours.
    """
    found: list[tuple[Terms, Assembly]] = []
    for attempt in range(QUOTA_DRAWS):
        terms = settle(division, pool, syllabus, rounds, stream("quotas", str(attempt)))
        found.append((terms, _assembled(division, pool, terms, stream("items", str(attempt)))))
        if found[-1][1].neighbours == found[-1][1].alone or terms.quotas.forced:
            break
    terms, best = min(found, key=lambda pair: pair[1].neighbours)
    if best.neighbours > best.alone and division.no_repeat_gap is None and terms.demand.gap:
        terms = replace(terms, demand=replace(terms.demand, gap=0))
        best = _assembled(division, pool, terms, stream("items"))
    return terms, best


def _assembled(division: Division, pool: Pool, terms: Terms, random: Random) -> Assembly:
    counts = [terms.quotas.rounds[number] for number in terms.demand.rounds]
    try:
        return assemble(pool, counts, terms.demand.gap, random)
    except NoRoom as reason:
        raise Refusal(
            f"The calls of division {division.name} can't be drawn: in sets of {division.calls} calls neighbours "
            "would be called within three calls of each other, and give each other's answers away.",
            (Shortage("Items of which no two are neighbours", pool.room(range(len(pool.items))), division.calls),),
            ("Let the division hear more of the list.", "Ask for fewer calls in a set, or for 8 and more."),
            # Proven for these counts a section; for the division only where no others are possible.
            reason.proven and terms.quotas.forced,
        ) from None


def _spares(pool: Pool, row: Row, rotation: Sequence[Row], terms: Terms, stream: Stream) -> tuple[int, ...]:
    """Reserve calls of a set, away from what its contestants hear just before and after."""
    reach = terms.demand.gap
    place = rotation.index(row) if row in rotation else None
    beside = [] if place is None else rotation[max(0, place - reach) : place + reach + 1]
    heard = frozenset[int]().union(*row.heard, *(other.items for other in beside))
    return draw_reserves(pool, row.items, heard, stream("reserves", row.need.id))


def call_set_of(division: Division, syllabus: Syllabus, pool: Pool, row: Row, spare: Sequence[int]) -> CallSet:
    """A drawn set in words. spare: items of its reserve calls."""

    def calls(items: Sequence[int]) -> tuple[Call, ...]:
        return tuple(call_of(syllabus, number, pool.items[item].id) for number, item in enumerate(items, 1))

    need = row.need
    return CallSet(
        need.id, division.name, need.use, need.round, need.order, division.seconds, calls(row.items), calls(spare)
    )
