"""All call sets of one division, from the draw words and the folder's secret."""

from collections.abc import Iterator, Sequence
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
from tourney.planning.calls.board import Board
from tourney.planning.calls.cures import cures
from tourney.planning.calls.fairness import Day, fairness_lines
from tourney.planning.calls.kinds import call_of
from tourney.planning.calls.need import Row, SetNeed
from tourney.planning.calls.ordering import order_calls
from tourney.planning.calls.others import Stream, draw_others
from tourney.planning.calls.parting import part
from tourney.planning.calls.pool import Counts, Pool, pool_of
from tourney.planning.calls.profile import profile_of
from tourney.planning.calls.reserves import draw_reserves
from tourney.planning.calls.section_order import Known, supply_of
from tourney.planning.calls.terms import Terms, settle

LONGER = "Make the list of what may be called longer, or let the division hear more of it."
SALT = 128  # bits of a set's salt
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
    try:
        return _drawn(division, needed, syllabus, stream)
    except Refusal as reason:
        tried = tuple(cures(division, syllabus, lambda rules, list_: _can_be_drawn(rules, list_, needed, stream)))
        raise replace(reason, cures=(*tried, *reason.cures) or (LONGER,)) from None


def _drawn(division: Division, needed: Sequence[SetNeed], syllabus: Syllabus, stream: Stream) -> DrawnSets:
    pool = pool_of(syllabus, division)
    rotation = [need for need in needed if need.use == "rotation"]
    terms, assembly = _assemble(division, pool, syllabus, _rounds(rotation), stream)
    board = equalise(assembly, stream("balance"))
    thirds = part(board, stream("parts"))
    sets = list(_rows(pool, syllabus, needed, board, terms, stream))
    known = Known(supply=supply_of(pool, [row.items for row in sets], stream("runs")))
    wanted = [thirds if row.need.use == "rotation" else None for row in sets]
    rows = [
        replace(row, items=order_calls(pool, row.items, known, stream("order", row.need.id), bits))
        for row, bits in zip(sets, wanted, strict=True)
    ]
    spares = [_spares(pool, row, rows[: len(rotation)], terms, stream) for row in rows]
    made = {
        row.need.id: call_set_of(division, syllabus, pool, row, spare, stream("salt", row.need.id))
        for row, spare in zip(rows, spares, strict=True)
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


def _rounds(rotation: Sequence[SetNeed]) -> list[int]:
    """The round of each set, from 0. Without a rotation one set is drawn all the same: the measure of the others."""
    numbers = sorted({need.round or 0 for need in rotation})
    return [numbers.index(need.round or 0) for need in rotation] or [0]


def _rows(
    pool: Pool, syllabus: Syllabus, needed: Sequence[SetNeed], board: Board, terms: Terms, stream: Stream
) -> Iterator[Row]:
    """Every set with its items in the order of the list: those of the rotation, then the others."""
    rotation = [need for need in needed if need.use == "rotation"]
    rows = [Row(need, tuple(sorted(held))) for need, held in zip(rotation, board.sets, strict=False)]
    yield from rows
    others = [need for need in needed if need.use != "rotation"]
    yield from draw_others(pool, syllabus, others, rows, terms, profile_of(board), stream)


def _can_be_drawn(changed: Division, syllabus: Syllabus, needed: Sequence[SetNeed], stream: Stream) -> bool:
    """Whether the sets exist under changed rules; of reserve sets as many as these ask for."""
    reserve = [need for need in needed if need.use == "reserve"]
    kept = [need for need in needed if need not in reserve[changed.reserve_sets :]]
    rounds = _rounds([need for need in kept if need.use == "rotation"])
    pool = pool_of(syllabus, changed)
    try:
        terms = settle(changed, pool, syllabus, rounds, stream("quotas", "0"))
        board = _assembled(changed, pool, syllabus, terms, stream("items", "0")).board
        return bool([*_rows(pool, syllabus, kept, board, terms, stream)])
    except Refusal:
        return False


def _assemble(
    division: Division, pool: Pool, syllabus: Syllabus, rounds: Sequence[int], stream: Stream
) -> tuple[Terms, Assembly]:
    """The rotation's sets: of a few drawn quotas those whose sets have fewest neighbours.

    A gap that nobody asked for gives way to fewer neighbours.
    """
    found: list[tuple[Terms, Assembly]] = []
    for attempt in range(QUOTA_DRAWS):
        terms = settle(division, pool, syllabus, rounds, stream("quotas", str(attempt)))
        found.append((terms, _assembled(division, pool, syllabus, terms, stream("items", str(attempt)))))
        if found[-1][1].neighbours == found[-1][1].alone or terms.quotas.forced:
            break
    terms, best = min(found, key=lambda pair: pair[1].neighbours)
    if best.neighbours > best.alone and division.no_repeat_gap is None and terms.demand.gap:
        terms = replace(terms, demand=replace(terms.demand, gap=0))
        best = _assembled(division, pool, syllabus, terms, stream("items"))
    return terms, best


def _assembled(division: Division, pool: Pool, syllabus: Syllabus, terms: Terms, random: Random) -> Assembly:
    counts = [terms.quotas.rounds[number] for number in terms.demand.rounds]
    try:
        return assemble(pool, counts, terms.demand.gap, random)
    except NoRoom as reason:
        raise Refusal(
            f"The calls of division {division.name} can't be drawn as its rules are.",
            (_crowded(pool, syllabus, counts),),
            # Proven for these counts a section; for the division only where no others are possible.
            proven=reason.proven and terms.quotas.forced,
        ) from None


def _crowded(pool: Pool, syllabus: Syllabus, counts: Sequence[Counts]) -> Shortage:
    """Of sections that follow each other in the list, those that are furthest from giving their calls apart."""
    found = [(sum(row[n] for n in run) - room, -len(run), run, room) for row in counts for run, room in pool.runs]
    over, _, run, room = max(found)
    first, last = (syllabus.section_name(pool.sections[run[end]]) for end in (0, -1))
    names = first if len(run) == 1 else f"{first} to {last}"
    return Shortage(
        f"Items in {names} of which no two are neighbours",
        room,
        room + over,
        "a set has so many calls of them, and neighbours called within three calls give each other's answers away",
    )


def _spares(pool: Pool, row: Row, rotation: Sequence[Row], terms: Terms, stream: Stream) -> tuple[int, ...]:
    """Reserve calls of a set, away from what its contestants hear just before and after."""
    reach = terms.demand.gap
    place = rotation.index(row) if row in rotation else None
    beside = [] if place is None else rotation[max(0, place - reach) : place + reach + 1]
    heard = frozenset[int]().union(*row.heard, *(other.items for other in beside))
    return draw_reserves(pool, row.items, heard, stream("reserves", row.need.id))


def call_set_of(
    division: Division, syllabus: Syllabus, pool: Pool, row: Row, spare: Sequence[int], random: Random
) -> CallSet:
    """A drawn set in words. spare: items of its reserve calls. random: for its salt."""

    def calls(items: Sequence[int]) -> tuple[Call, ...]:
        return tuple(call_of(syllabus, number, pool.items[item].id) for number, item in enumerate(items, 1))

    need = row.need
    return CallSet(
        need.id,
        division.name,
        need.use,
        need.round,
        need.order,
        division.seconds,
        calls(row.items),
        calls(spare),
        f"{random.getrandbits(SALT):032x}",
    )
