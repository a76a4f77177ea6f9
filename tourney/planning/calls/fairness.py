"""What is true of a division's call sets, beside the best that can be proven possible. Names no call."""

from collections.abc import Callable, Collection, Iterable, Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import combinations
from math import gcd
from typing import TypeVar

import numpy as np

from tourney.canon.counting import guessing_chances
from tourney.model.event import Division
from tourney.model.plan import FairnessLine
from tourney.planning.calls.need import Row
from tourney.planning.calls.pool import UNIT, Counts, Pool
from tourney.planning.calls.profile import BANDS, terciles
from tourney.planning.calls.run_supply import fewest_again
from tourney.planning.calls.selection import fewest_neighbours, fewest_of
from tourney.planning.calls.sequence import (
    A_DAY,
    SHORT,
    Run,
    close_by,
    halves,
    least_twice_running,
    likeness,
    runs,
    standing,
    thirds,
    twice_running,
)
from tourney.planning.calls.terms import Terms

Number = int | float
Measured = TypeVar("Measured", int, float, Fraction)
FEW_SECTIONS = 6  # of fewer sections there are too few orders for all sets to differ
FEW_CALLS = 10  # of more, the ways to halve a set are too many to try
CLEAN = ("final", "drill_off", "reserve")  # uses of sets that nobody may have heard before they are called
LIKE_ORDER = 0.5  # most that the section orders of two sets may be correlated
PERCENT, BITS = 1.0, 0.3  # limits: spread of the sums, in percent of their mean; means of parts of a set


@dataclass(frozen=True, slots=True)
class Day:
    """All that was drawn for a division. neighbours, use_spread: the least possible in the rotation's sets."""

    division: Division
    pool: Pool
    terms: Terms
    rotation: Sequence[Row]
    others: Sequence[Row]
    neighbours: int
    use_spread: int

    @property
    def scored(self) -> tuple[Row, ...]:
        """Every set but practice."""
        return (*self.rotation, *(row for row in self.others if row.need.use != "practice"))

    def counts(self, row: Row) -> Counts:
        """Calls a section of a set."""
        return self.pool.counts(row.items)

    def fewest_of(self, row: Row, unwanted: Collection[int]) -> int:
        """Fewest unwanted items in a set like this one."""
        return fewest_of(self.pool, self.counts(row), unwanted, self.pool.neighbours(row.items))

    def bits(self, row: Row) -> list[float]:
        """Difficulties in calling order."""
        return [self.pool.bits[item] for item in row.items]

    def line(
        self, name: str, measured: Number | None, limit: Number | None, bound: Number | None, worst: str = ""
    ) -> FairnessLine:
        """A line about this division, good when measured is within the limit."""
        good = limit is None or measured is None or measured <= limit
        return FairnessLine(name, self.division.name, measured, limit, bound, good, worst if measured else "")

    def sum_line(self, name: str, bound: Number, rows: Iterable[Row], count: Callable[[Row], int]) -> FairnessLine:
        """A line that adds up something unwanted over sets and names the worst of them."""
        found = [(0, ""), *((count(row), row.need.id) for row in rows)]
        return self.line(name, sum(n for n, _ in found), 0, bound, _most(found)[1])


def fairness_lines(day: Day) -> tuple[FairnessLine, ...]:
    """Every property of the call sets; those of a rotation only where there is one."""
    lines = [*_clues(day), *_meetings(day)]
    if day.rotation:
        lines = [*_coverage(day), *_uses(day), *lines, *_difficulty(day), _guessing(day)]
    return tuple(lines)


def _coverage(day: Day) -> Iterator[FairnessLine]:
    """Calls a section in a set, and what a team has met after each round."""
    exact, quotas = day.terms.demand.exact, day.terms.quotas
    off = _most((_distance(day.counts(row), exact), row.need.id) for row in day.rotation)
    yield _below_one(day, "calls_from_share_in_a_set", off[0], _least_distance(exact), off[1])
    if day.division.sections == "equal":
        spread = _most((_spread(day.counts(row)), row.need.id) for row in day.rotation)
        yield day.line("section_spread_in_a_set", spread[0], 1, int(day.division.calls % len(exact) > 0), spread[1])
        totals = [
            [sum(column) for column in zip(*quotas.rounds[:n], strict=True)] for n in range(1, len(quotas.rounds) + 1)
        ]
        spread = _most((_spread(row), f"after round {n}") for n, row in enumerate(totals, 1))
        uneven = max(int(sum(row) % len(exact) > 0) for row in totals)
        yield day.line("section_spread_after_a_round", spread[0], 1, uneven, spread[1])
    yield _below_one(
        day, "calls_from_share_after_a_round", quotas.deviation, quotas.deviation if quotas.proven else None
    )


def _below_one(day: Day, name: str, measured: Fraction, bound: Fraction | None, worst: str = "") -> FairnessLine:
    """A distance from a share, which has to be less than one call."""
    best = None if bound is None else round(float(bound), 3)
    return FairnessLine(name, day.division.name, round(float(measured), 3), 1, best, measured < 1, worst)


def _uses(day: Day) -> Iterator[FairnessLine]:
    """How evenly a section's items are used, and how soon one comes back."""
    uses = [sum(item in row.items for row in day.rotation) for item in range(len(day.pool.items))]
    rows = zip(day.pool.members, day.pool.sections, strict=True)
    spread = _most((_spread([uses[item] for item in members]), key) for members, key in rows if members)
    yield day.line("use_spread_in_a_section", spread[0], 1, day.use_spread, spread[1])
    last: dict[int, int] = {}
    gaps: list[int] = []
    for place, row in enumerate(day.rotation):
        gaps += [place - last[item] - 1 for item in row.items if item in last]
        last |= dict.fromkeys(row.items, place)
    least, gap = min(gaps, default=None), day.terms.demand.gap
    note = "counting allows no more" if day.division.no_repeat_gap is None and not gap else ""
    ok = least is None or least >= gap
    yield FairnessLine("sets_between_reuse", day.division.name, least, gap, _widest_gap(day), ok, note)


def _widest_gap(day: Day) -> int | None:
    """Most sets that can lie between two uses of every item, with these calls a section; None if no item comes back."""
    rows = [day.counts(row) for row in day.rotation]
    for gap in range(1, len(rows)):
        windows = (rows[first : first + gap + 1] for first in range(len(rows) - gap))
        calls = ([sum(column) for column in zip(*window, strict=True)] for window in windows)
        if any(most > size for row in calls for most, size in zip(row, day.pool.size, strict=True)):
            return gap - 1
    return None


def _clues(day: Day) -> Iterator[FairnessLine]:
    """What earlier calls of a set tell about later ones."""
    pool, others = day.pool, day.scored[len(day.rotation) :]
    forced = day.neighbours + sum(fewest_neighbours(pool, day.counts(row)) for row in others)
    yield day.sum_line("neighbours_in_one_set", forced, day.scored, lambda row: pool.neighbours(row.items))
    yield day.sum_line("neighbours_within_three_calls", 0, day.scored, lambda row: close_by(row.items, pool.near))
    yield day.sum_line("sound_alikes_within_three_calls", 0, day.scored, lambda row: close_by(row.items, pool.alike))
    sections = {row.need.id: [pool.section[item] for item in row.items] for row in day.scored}
    unavoidable = sum(map(least_twice_running, sections.values()))
    yield day.sum_line(
        "section_twice_running", unavoidable, day.scored, lambda row: twice_running(sections[row.need.id])
    )
    again, known = dict[str, int](), set[Run]()
    for key, order in sections.items():
        own = runs(order)
        again[key] = len(own) - len(set(own) - known)
        known.update(own)
    least = fewest_again([day.counts(row) for row in day.scored], apart=not any(map(twice_running, sections.values())))
    yield day.sum_line("five_sections_running_alike", least, day.scored, lambda row: again[row.need.id])
    yield from _section_orders(day)


def _section_orders(day: Day) -> Iterator[FairnessLine]:
    """The most alike of the orders in which two sets, heard on one day, call their sections."""
    rows = [row for row in day.scored if len(row.items) >= SHORT]
    orders = [standing(day.pool, [day.pool.section[item] for item in row.items]) for row in rows]
    called = sum(any(day.counts(row)[section] for row in rows) for section in range(len(day.pool.sections)))
    alike = [
        (float(likeness(order, np.array([orders[at]]))[0]), f"{rows[at].need.id} and {rows[number].need.id}")
        for number, order in enumerate(orders)
        for at in range(max(0, number - A_DAY), number)
    ]
    if alike and called >= FEW_SECTIONS:
        most, where = _most(alike)
        # So many directions can't all be further apart: Rankin, Proceedings of the Glasgow Mathematical Association 2
        # (1955) 139-144. Orders of n sections are directions in n - 1 dimensions.
        together = min(len(rows), A_DAY + 1)
        bound = -1 / (together - 1) if together <= called else 0.0
        yield day.line("sections_in_like_order", round(most, 3), LIKE_ORDER, round(bound, 3), where)


def _meetings(day: Day) -> Iterator[FairnessLine]:
    """Calls of finals, drill-offs and practice that their contestants hear in a set beside them."""
    known = {frozenset(row.items) for row in day.rotation}
    spare = [row for row in day.others if row.need.use in CLEAN]
    if spare and known:
        yield day.sum_line("clean_sets_heard_before", 0, spare, lambda row: frozenset(row.items) in known)
    finals = [row for row in day.others if row.need.use in ("final", "drill_off")]
    if finals and known:
        drawn = frozenset[int]().union(*known)
        fewest = sum(day.fewest_of(row, drawn) for row in finals)
        again = [(len(drawn.intersection(row.items)), row.need.id) for row in finals]
        yield day.line("calls_of_finals_heard_in_the_rounds", sum(n for n, _ in again), None, fewest, _most(again)[1])
    rows = [row for row in day.others if row.heard]
    heard = {row.need.id: frozenset[int]().union(*row.heard) for row in rows}
    least = sum(day.fewest_of(row, heard[row.need.id]) for row in rows)
    found = [(len(heard[row.need.id].intersection(row.items)), row.need.id) for row in rows]
    if rows:
        yield day.line("calls_heard_just_before_or_after", sum(n for n, _ in found), least, least, _most(found)[1])


def _difficulty(day: Day) -> Iterator[FairnessLine]:
    """Whether every set of the rotation is as hard as every other, as a whole and in its parts."""
    sums = [(sum(day.bits(row)), row.need.id) for row in day.rotation]
    mean = sum(bits for bits, _ in sums) / len(sums)
    (high, hardest), (low, easiest) = _most(sums), min(sums)
    percent = round(100 * (high - low) / mean, 3) if mean else 0.0
    least = round(100 * _least_spread(day) / mean, 3) if mean else 0.0
    yield day.line("difficulty_spread_percent", percent, PERCENT, least, f"{hardest} over {easiest}")
    band = terciles(day.pool, [sum(item in row.items for row in day.rotation) for item in range(len(day.pool.items))])
    mixed = [[[band[item] for item in row.items].count(n) for row in day.rotation] for n in range(BANDS)]
    uneven = max(int(sum(calls) % len(calls) > 0) for calls in mixed)
    yield day.line("difficulty_thirds_of_list_spread_calls", max(map(_spread, mixed)), 2, uneven)
    if day.division.calls >= SHORT:
        tilt = _most((abs(halves(day.bits(row))), row.need.id) for row in day.rotation)
        yield day.line("difficulty_halves_bits", round(tilt[0], 3), BITS, _least_tilt(day), tilt[1])
        parts = zip(*(thirds(day.bits(row)) for row in day.rotation), strict=True)
        # Thirds that are all alike add up to sets that are: some third shares in what lies between two sets.
        least = round((high - low) / day.division.calls, 3)
        yield day.line("difficulty_thirds_of_set_bits", round(max(map(_spread, parts)), 3), BITS, least)


def _least_spread(day: Day) -> float:
    """A spread of the sums, in bits, that no sets with as hard calls in all can go below.

    All difficulties are whole multiples of some unit. A total that the sets can't share out in whole units leaves one
    unit between some two of them.
    """
    parts = [day.pool.parts[item] for row in day.rotation for item in row.items]
    unit = gcd(*parts)
    return unit / UNIT if unit and sum(parts) % (unit * len(day.rotation)) else 0.0


def _least_tilt(day: Day) -> float:
    """Halves can't be closer in the worst set, whatever the order: by all ways to halve it, or by units where many.

    With all difficulties multiples of a unit, calls times the first half less half of the calls times the whole is one.
    """
    calls, half = day.division.calls, day.division.calls // 2
    if calls > FEW_CALLS:
        rows = [[day.pool.parts[item] for item in row.items] for row in day.rotation]
        unit = gcd(*(part for row in rows for part in row)) or 1
        over = [sum(row) // unit * half % calls for row in rows]
        return round(max(min(rest, calls - rest) for rest in over) * unit / UNIT / (half * (calls - half)), 3)
    best = [
        min(abs(halves([*first, *_without(bits, first)])) for first in combinations(bits, half))
        for bits in map(day.bits, day.rotation)
    ]
    return round(max(best), 3)


def _without(values: Sequence[float], taken: Sequence[float]) -> list[float]:
    left = list(values)
    for value in taken:
        left.remove(value)
    return left


def _guessing(day: Day) -> FairnessLine:
    """Mean chance of guessing the next section by counting, exact, beside that of a blind guess."""
    chances = [guessing_chances(counts) for counts in dict.fromkeys(map(day.counts, day.rotation))]
    mean = max(sum(row, Fraction(0)) / len(row) for row in chances)
    blind = Fraction(1, sum(calls > 0 for calls in day.terms.demand.exact))
    return day.line("next_section_guessed_percent", _percent(mean), None, _percent(blind))


def _percent(part: Fraction) -> float:
    return round(100 * float(part), 1)


def _distance(counts: Counts, exact: Sequence[Fraction]) -> Fraction:
    return max(abs(calls - share) for calls, share in zip(counts, exact, strict=True))


def _least_distance(exact: Sequence[Fraction]) -> Fraction:
    """No whole numbers stand closer to these shares."""
    return max(min(share % 1, -share % 1) for share in exact)


def _spread(values: Sequence[Number]) -> Number:
    return max(values) - min(values)


def _most(found: Iterable[tuple[Measured, str]]) -> tuple[Measured, str]:
    """The largest figure and where it stands, the first of equals."""
    return max(found, key=lambda pair: pair[0])
