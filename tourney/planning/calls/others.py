"""Sets that are not of the rotation: finals, drill-offs, whole reserve sets, practice."""

from collections.abc import Callable, Collection, Iterator, Sequence
from dataclasses import replace
from fractions import Fraction
from random import Random

from tourney.canon.syllabus import Syllabus
from tourney.errors import Refusal, Shortage
from tourney.model.calls import Use
from tourney.planning.calls.assembly import NoRoom
from tourney.planning.calls.need import Row, SetNeed
from tourney.planning.calls.pool import Counts, Pool
from tourney.planning.calls.profile import Profile
from tourney.planning.calls.quotas import Demand, draw_quotas, least_items
from tourney.planning.calls.single import draw_single
from tourney.planning.calls.terms import Terms, sets_with

Stream = Callable[..., Random]  # names of a purpose -> its random stream
NAMES: dict[Use, str] = {"final": "finals", "drill_off": "drill-offs", "reserve": "reserve", "practice": "practice"}
DRILL_OFF = 3  # calls of a drill-off set
MEETINGS: tuple[Use, ...] = ("final", "drill_off")  # heard by contestants who have just drilled


def draw_others(
    pool: Pool,
    syllabus: Syllabus,
    needed: Sequence[SetNeed],
    rotation: Sequence[Row],
    terms: Terms,
    profile: Profile,
    stream: Stream,
) -> Iterator[Row]:
    """One set for each need, items in the order of the list, as hard as a rotation set.

    A set for finals or a drill-off keeps away from the last round and the other sets of that kind, and in sections with
    enough other items from every round; practice from the first round; a reserve set from nothing: it may stand in for
    any. None has all the items of another set.
    Refusal when the counts or the neighbours leave no such set.
    """
    counts = _counts(pool, syllabus, needed, rotation, terms, stream)
    taken = [frozenset(row.items) for row in rotation]
    ends = (rotation[0].need.round, rotation[-1].need.round) if rotation else (None, None)
    first, last = (tuple(frozenset(row.items) for row in rotation if row.need.round == number) for number in ends)
    every = frozenset[int]().union(*taken)
    meetings: list[frozenset[int]] = []
    for at, need in enumerate(needed):
        wanted = counts[need.id]
        heard = first if need.use == "practice" else ()
        if need.use in MEETINGS:
            heard = (_spared(pool, wanted, every.union(*meetings)), *last, *meetings)
        like = profile.scaled(Fraction(sum(wanted), terms.demand.calls))
        try:
            items = draw_single(pool, wanted, heard, taken, like, stream("one set", need.id))
        except NoRoom as reason:
            still = [counts[other.id] for other in needed[at:]]
            found = _used_up(pool, syllabus, need.id, still, taken, reason.proven)
            # Other rounds or counts might leave some, unless the sets beside the rounds alone need more than there are.
            forced = all((sum(wanted) * share).denominator == 1 for share in terms.demand.shares)
            own = list(counts.values()).count(wanted) + (wanted in map(pool.counts, taken[: len(rotation)]))
            raise replace(found, proven=reason.proven and forced and found.shortages[0].have < own) from None
        taken.append(frozenset(items))
        if need.use in MEETINGS:
            meetings.append(frozenset(items))
        yield Row(need, items, heard)


def _spared(pool: Pool, wanted: Counts, called: Collection[int]) -> frozenset[int]:
    """What was called, of the sections that can do without."""
    return frozenset(
        item
        for members, calls in zip(pool.members, wanted, strict=True)
        if pool.room(item for item in members if item not in called) >= calls
        for item in members
        if item in called
    )


def _used_up(
    pool: Pool, syllabus: Syllabus, key: str, still: Sequence[Counts], taken: Collection[frozenset[int]], all_: bool
) -> Refusal:
    """Every set with the calls of this one is in use already; all_: it is certain that these are all.

    still: calls a section of this and all later ones.
    """
    wanted = still[0]
    used = {chosen for chosen in taken if pool.counts(chosen) == wanted}
    short = Shortage(
        sets_with(pool, syllabus, wanted),
        len(used),
        len(used) + still.count(wanted),
        "no others keep neighbours more than three calls apart"
        if all_
        else "no other was found that keeps neighbours more than three calls apart",
    )
    return Refusal(f"The calls of {key} can't be drawn as the division's rules are.", (short,))


def _counts(
    pool: Pool, syllabus: Syllabus, needed: Sequence[SetNeed], rotation: Sequence[Row], terms: Terms, stream: Stream
) -> dict[str, Counts]:
    """Calls a section of each set: those of its round if it has one, else the sets of one use share as rounds do."""
    of_round = {row.need.round: pool.counts(row.items) for row in rotation}
    found = {need.id: of_round[need.round] for need in needed if need.round in of_round and need.round is not None}
    for use in dict.fromkeys(need.use for need in needed if need.id not in found):
        group = [need for need in needed if need.use == use and need.id not in found]
        calls = DRILL_OFF if use == "drill_off" else terms.demand.calls
        demand = replace(terms.demand, calls=calls, rounds=tuple(range(len(group))), gap=0)
        quotas = draw_quotas(demand, pool, stream("counts", use))
        if quotas is None:
            raise _too_few(pool, syllabus, demand, use)
        found |= {need.id: row for need, row in zip(group, quotas.rounds, strict=True)}
    return found


def _too_few(pool: Pool, syllabus: Syllabus, demand: Demand, use: Use) -> Refusal:
    """The sections can't give so many calls to the sets of one use."""
    why = f"each of the sets for {NAMES[use]} has {demand.calls} calls and no item comes twice in one"
    short = [
        Shortage(f"Items in {syllabus.section_name(key)}", have, need, why)
        for section, (key, have) in enumerate(zip(pool.sections, pool.size, strict=True))
        if (need := least_items(demand, section)) > have
    ] or [Shortage("Items of all sections", len(pool.items), demand.calls, why)]
    return Refusal(f"No calls can be drawn for {NAMES[use]}: the list is too short.", tuple(short))
