"""Whether every team meets each section as often as it should, and every item is used alike."""

from collections import Counter
from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction
from itertools import pairwise

from tourney.model.calls import Call, CallSet
from tourney.verify.division_sets import DivisionSets
from tourney.verify.line import Line, figure, rule

DRILL_OFF = 3  # calls of a drill-off set
RESERVES = 3  # reserve calls of a set
BAND = 1.0  # bits that a reserve call may be easier or harder than what it replaces
GAP = 1  # sets between two uses of an item, where the settings leave it open


def coverage_lines(sets: DivisionSets) -> Iterator[Line]:
    """All of a division."""
    name = sets.name
    yield rule("calls_in_a_set", name, _wrong_lengths(sets))
    yield rule("sets_in_the_order_heard", name, _wrong_order(sets))
    yield rule("sections_in_a_set", name, _off_share(sets))
    yield replace(rule("sections_alike_in_a_round", name, _unlike(sets)), rule=not sets.moved)
    yield _after_rounds(sets)
    yield _uses(sets)
    yield _gap(sets)
    yield rule("reserve_calls_like_their_set", name, _unlike_reserves(sets))
    misfits = [
        f"{found.id} reserve {call.no}" for found in sets.mine for call in found.reserves if _fits_none(found, call)
    ]
    yield figure("reserve_calls_that_fit_no_call", name, len(misfits), 0, "; ".join(misfits[:4]))
    fewest = min((len(found.reserves) for found in sets.mine), default=RESERVES)
    yield Line("reserve_calls_of_a_set", name, fewest, None, RESERVES, fewest >= RESERVES, rule=False)
    kept = sum(found.use == "reserve" for found in sets.mine)
    wanted = sets.division.reserve_sets
    short = "" if kept >= wanted else "fewer than the settings ask for"
    yield Line("sets_in_reserve", name, kept, None, wanted, not short, worst=short)


def _wrong_lengths(sets: DivisionSets) -> Iterator[str]:
    for found in sets.mine:
        wanted = DRILL_OFF if found.use == "drill_off" else sets.division.calls
        if len(found.calls) != wanted:
            yield f"{found.id} has {len(found.calls)} calls, not {wanted}"


def _wrong_order(sets: DivisionSets) -> Iterator[str]:
    placed = [(found.order, found.id) for found in sets.heard if found.use == "rotation"]
    yield from (f"{key} has no place" for order, key in placed if order is None)
    for (before, one), (after, other) in pairwise(placed):
        if before is not None and after is not None and before >= after:
            yield f"{one} is number {before} and is heard before {other}, number {after}"


def _off_share(sets: DivisionSets) -> Iterator[str]:
    """Equal sections differ by one call at most, others stand less than one call from their share."""
    for found in sets.scored:
        counts, calls = sets.counts(found), len(found.calls)
        if sets.equal:
            row = [counts.get(section, 0) for section in sets.shares]
            wrong = max(row) - min(row) > 1
        else:
            wrong = any(abs(counts.get(section, 0) - calls * share) >= 1 for section, share in sets.shares.items())
        if wrong:
            yield f"{found.id}: {', '.join(f'{section} {number}' for section, number in counts.items())}"


def _unlike(sets: DivisionSets) -> Iterator[str]:
    for number, heard in sets.rounds.items():
        for found in heard[1:]:
            if sets.counts(found) != sets.counts(heard[0]):
                yield f"round {number}: {heard[0].id} and {found.id}"


def _after_rounds(sets: DivisionSets) -> Line:
    """What a team has met after each round, in calls from a section's share. bound: no whole numbers are nearer."""
    met: Counter[str] = Counter()
    worst, bound, where = Fraction(0), Fraction(0), ""
    for number, heard in sets.rounds.items():
        met.update(sets.counts(heard[0]))
        exact = {section: met.total() * share for section, share in sets.shares.items()}
        off = max(abs(met[section] - share) for section, share in exact.items())
        bound = max(bound, *(min(share % 1, -share % 1) for share in exact.values()))
        if off > worst:
            worst, where = off, f"after round {number}"
    measured, best = round(float(worst), 3), round(float(bound), 3)
    return Line("calls_from_share_after_a_round", sets.name, measured, best, 1, worst < 1, not sets.moved, where)


def _uses(sets: DivisionSets) -> Line:
    """Most used item of a section less the least used. A rule where the calls a section leave room for it."""
    uses = Counter(call.item for found in sets.heard for call in found.calls)
    spreads = {
        section: max(times) - min(times)
        for section in sets.listing.sections
        if (times := [uses[row.id] for row in sets.rows if row.section == section])
    }
    worst = max(spreads, key=lambda section: spreads[section], default="")
    spread, bound = spreads.get(worst, 0), sets.bounds.use_spread() if sets.heard else 0
    forced = any(sets.bounds.neighbours(sets.counts(found)) for found in sets.heard)
    room = bound <= 1 and not forced and not sets.moved
    return Line("uses_in_a_section", sets.name, spread, bound, 1, spread <= 1, room, worst)


def _gap(sets: DivisionSets) -> Line:
    """Fewest sets heard between two uses of an item. A rule where the settings ask for it."""
    asked = sets.division.no_repeat_gap
    limit = GAP if asked is None else asked
    last: dict[str, int] = {}
    gaps: list[tuple[int, str]] = []
    for number, found in enumerate(sets.heard):
        items = [call.item for call in found.calls]
        gaps += [
            (number - last[item] - 1, f"{item} in {sets.heard[last[item]].id} and {found.id}")
            for item in items
            if item in last
        ]
        last |= dict.fromkeys(items, number)
    least, where = min(gaps, default=(None, ""))
    bound = sets.bounds.gap(limit) if sets.heard else limit
    ok = least is None or least >= limit
    return Line(
        "sets_between_two_uses", sets.name, least, bound, limit, ok, asked is not None and not sets.moved, where
    )


def _fits_none(found: CallSet, reserve: Call) -> bool:
    """Whether no call of the set is of its section and kind and about as hard."""
    return not any(
        (call.section, call.kind) == (reserve.section, reserve.kind)
        and abs(call.difficulty - reserve.difficulty) <= BAND
        for call in found.calls
    )


def _unlike_reserves(sets: DivisionSets) -> Iterator[str]:
    for found in sets.mine:
        there = {call.section for call in found.calls}
        for call in found.reserves:
            if call.section not in there:
                yield f"{found.id} reserve {call.no}: it has no call of {call.section} that could be replaced"
