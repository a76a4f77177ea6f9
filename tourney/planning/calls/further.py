"""Sets more, once the others are sealed: for heats that move after their set was heard, or for a set that leaked.

The sealed sets stay as they are, so the new ones are fitted among them: calls a section as their rounds have them, no
neighbours, no item back too soon, the items of a section used as evenly as can be, as hard as the others. All of that
is one small model (van der Linden 2005: forms assembled around forms that are in use), solved by CP-SAT.
"""

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from random import Random

from ortools.sat.python import cp_model

from tourney.canon.syllabus import Syllabus
from tourney.draw import Draw
from tourney.errors import Refusal
from tourney.model.calls import CallSet
from tourney.model.event import Division
from tourney.planning.calls.balance import BANDS, profile_of
from tourney.planning.calls.board import Board
from tourney.planning.calls.draw import call_set_of
from tourney.planning.calls.need import Row, SetNeed
from tourney.planning.calls.ordering import close_by, order_calls, runs
from tourney.planning.calls.pool import Pool, pool_of
from tourney.planning.calls.reserves import draw_reserves
from tourney.planning.calls.selection import fewest_neighbours
from tourney.planning.calls.solver import found, solve
from tourney.planning.calls.terms import DEFAULT_GAP

RULES, LIKENESS = 0.5, 0.05  # deterministic time of the search for sets that keep the rules, and that are alike
# Prices: neighbours in a set, an item too soon, a section's use further apart by one, a call that leaked.
NEIGHBOUR, SOON, UNEVEN, KNOWN = 40, 12, 3, 1
BAND, OFF = 100, 5  # prices of a call too many in a tercile, of a hundredth bit
TASTE = 8  # values of what is drawn
UNIT = 100  # parts of a bit
NEAR_ENOUGH = 0.01  # distance from the mean sum of difficulty, in parts of it, that costs nothing

Vars = list[cp_model.IntVar]


@dataclass(frozen=True, slots=True)
class Wanted:
    """A set to be drawn, with the calls a section of `like`."""

    need: SetNeed
    like: CallSet


@dataclass(frozen=True)
class Sealed:
    """The sets of one division that are sealed already. leaked: sets of it that left the book since they are known."""

    division: Division
    syllabus: Syllabus
    sets: tuple[CallSet, ...]
    leaked: tuple[CallSet, ...]

    def further(self, wanted: Sequence[Wanted], draw: Draw) -> tuple[CallSet, ...]:
        """These sets, in the order of the needs. Refusal when none are found that differ from every other set."""
        stream = draw.stream("calls", self.division.name, "further", *(one.need.id for one in wanted))
        chosen = _Model(self, wanted, stream).solved()
        known_runs = {run for sealed in self.sets for run in runs(self.pool, self.items(sealed))}
        made = []
        for one, items in zip(wanted, chosen, strict=True):
            heard = frozenset[int]().union(*(self.items(other) for other in self.beside(one.need, wanted)))
            row = Row(one.need, order_calls(self.pool, items, known_runs, stream))
            spare = draw_reserves(self.pool, row.items, heard, stream)
            made.append(call_set_of(self.division, self.syllabus, self.pool, row, spare))
        return tuple(made)

    def fits(self, ready: CallSet, one: Wanted, wanted: Sequence[Wanted]) -> bool:
        """May a sealed set that nobody heard step in: the sections of its round, no item too soon, even use.

        wanted: the one and all others that are still to be found.
        """
        row, held = self.items(ready), set(self.items(ready))
        others = [self.items(other) for other in self.rotation if other.id != ready.id]
        drawn = [self.items(other) for other in (*self.rotation, *self.leaked) if other.use == "rotation"]
        before, after = Board(self.pool, drawn, 0), Board(self.pool, [*others, row], 0)
        return (
            len(row) == len(ready.calls)
            and self.pool.counts(row) == self.pool.counts(self.items(one.like))
            and all(held.isdisjoint(self.items(by)) for by in self.beside(one.need, wanted) if by.id != ready.id)
            and all(after.use_spread(n) <= max(1, before.use_spread(n)) for n in range(len(self.pool.sections)))
            and self.pool.neighbours(row) <= fewest_neighbours(self.pool, self.pool.counts(row))
            and not close_by(row, self.pool.near)
        )

    @cached_property
    def pool(self) -> Pool:
        """What the division may hear."""
        return pool_of(self.syllabus, self.division)

    @cached_property
    def _place(self) -> dict[str, int]:
        return {item.id: number for number, item in enumerate(self.pool.items)}

    def items(self, sealed: CallSet) -> tuple[int, ...]:
        """Items of a set in calling order, as far as they are still in the list."""
        return tuple(self._place[call.item] for call in sealed.calls if call.item in self._place)

    @cached_property
    def rotation(self) -> tuple[CallSet, ...]:
        """Sets of the rotation in the order in which they are heard."""
        return tuple(sorted((one for one in self.sets if one.use == "rotation"), key=lambda one: one.order or 0))

    @property
    def gap(self) -> int:
        """Sets that lie between two uses of an item where that can be."""
        return DEFAULT_GAP if self.division.no_repeat_gap is None else self.division.no_repeat_gap

    def beside(self, need: SetNeed, wanted: Sequence[Wanted]) -> list[CallSet]:
        """Sealed sets that are heard so shortly before or after that no item may be in both. wanted: heard as well."""
        places = {one.order: one for one in self.rotation} | dict.fromkeys(one.need.order for one in wanted)
        heard = sorted(order for order in places if order is not None)
        if need.order is None:
            return []
        at = heard.index(need.order)
        window = heard[max(0, at - self.gap) : at + self.gap + 1]
        return [one for order in window if order != need.order and (one := places[order]) is not None]


def stepping_in(ready: CallSet, need: SetNeed) -> CallSet:
    """A sealed set under the id and in the place of the one that it stands in for; its calls stay as they are."""
    return replace(ready, id=need.id, use=need.use, round=need.round, order=need.order)


class _Model:
    """Which items the wanted sets hold. holds[set][item]; every unwanted thing has a price."""

    def __init__(self, sealed: Sealed, wanted: Sequence[Wanted], random: Random) -> None:
        self.sealed, self.wanted, self.pool = sealed, wanted, sealed.pool
        self.model = cp_model.CpModel()
        self.broken: list[cp_model.LinearExprT] = []  # what breaks a rule, each with its price
        self.unlike: list[cp_model.LinearExprT] = []  # what is only unwanted
        self.seed = random.randrange(2**31)
        self.holds = [[self.model.new_bool_var("") for _ in self.pool.items] for _ in wanted]
        for one, row in zip(wanted, self.holds, strict=True):
            self._keep_counts(one, row)
            self._keep_apart(one, row)
            self._as_hard_as_the_others(one, row)
            self.unlike += [random.randrange(TASTE) * held for held in row]
        self._no_set_twice()
        self._apart_from_each_other()
        self._even_use()

    def solved(self) -> list[tuple[int, ...]]:
        """The items of each set. Refusal when none are found."""
        self.model.minimize(sum(self.broken))
        solver, status = solve(self.model, self.seed, RULES)
        if not found(status):
            raise Refusal(
                f"No further call set was found for {self.sealed.division.name} that differs from every other set.",
                cures=("Let the division hear more of the list.",),
                proven=status == cp_model.INFEASIBLE,
            )
        self.model.add(sum(self.broken) <= round(solver.objective_value))
        for row in self.holds:
            for held in row:
                self.model.add_hint(held, solver.value(held))
        self.model.minimize(sum(self.unlike))
        better, status = solve(self.model, self.seed, LIKENESS)
        best = better if found(status) else solver
        return [tuple(item for item, held in enumerate(row) if best.value(held)) for row in self.holds]

    def _keep_counts(self, one: Wanted, row: Vars) -> None:
        for members, calls in zip(self.pool.members, self.pool.counts(self.sealed.items(one.like)), strict=True):
            self.model.add(sum(row[item] for item in members) == calls)

    def _keep_apart(self, one: Wanted, row: Vars) -> None:
        """Neighbours in the set, items of the sets beside it, items of sets that leaked."""
        for item in range(1, len(row)):
            if self.pool.joined[item]:
                self._price_both(row[item - 1], row[item], NEIGHBOUR)
        for other in self.sealed.beside(one.need, self.wanted):
            self.broken += [SOON * row[item] for item in self.sealed.items(other)]
        for other in self.sealed.leaked:
            self.broken += [KNOWN * row[item] for item in self.sealed.items(other)]

    def _price_both(self, one: cp_model.IntVar, other: cp_model.IntVar, price: int) -> None:
        both = self.model.new_bool_var("")
        self.model.add_bool_or(~one, ~other, both)
        self.broken.append(price * both)

    def _as_hard_as_the_others(self, one: Wanted, row: Vars) -> None:
        calls = len(one.like.calls)
        sets = [self.sealed.items(other) for other in self.sealed.rotation] or [self.sealed.items(one.like)]
        profile = profile_of(Board(self.pool, sets, 0))
        part = calls / max(1, sum(profile.wanted))
        aim, bits = round(UNIT * profile.bits * part), [round(UNIT * bit) for bit in self.pool.bits]
        made = sum(bit * held for bit, held in zip(bits, row, strict=True))
        self.unlike.append(OFF * self._beyond(made - aim, round(NEAR_ENOUGH * aim), UNIT * UNIT * calls))
        for band in range(BANDS):
            held = sum(row[item] for item in range(len(row)) if profile.band[item] == band)
            self.unlike.append(BAND * self._beyond(held - round(profile.wanted[band] * part), 1, calls))

    def _beyond(self, value: cp_model.LinearExprT, free: int, most: int) -> cp_model.IntVar:
        """By how much a value is further from 0 than is free, at the least."""
        off = self.model.new_int_var(0, most, "")
        self.model.add(value - free <= off)
        self.model.add(-value - free <= off)
        return off

    def _no_set_twice(self) -> None:
        taken = {frozenset(self.sealed.items(other)) for other in (*self.sealed.sets, *self.sealed.leaked)}
        for row in self.holds:
            for items in sorted(map(sorted, taken)):
                self.model.add(sum(row[item] for item in items) <= len(items) - 1)

    def _apart_from_each_other(self) -> None:
        """No item in two wanted sets that are heard shortly after each other, and no two alike."""
        for one, other in self._pairs_close_by():
            for item in range(len(self.pool.items)):
                self._price_both(self.holds[one][item], self.holds[other][item], SOON)

    def _pairs_close_by(self) -> Iterator[tuple[int, int]]:
        orders = [other.order for other in self.sealed.rotation] + [one.need.order for one in self.wanted]
        heard = sorted(order for order in orders if order is not None)
        for one, first in enumerate(self.wanted):
            for other, second in enumerate(self.wanted[:one]):
                if first.need.order is not None and second.need.order is not None:
                    apart = abs(heard.index(first.need.order) - heard.index(second.need.order))
                    if apart <= self.sealed.gap:
                        yield other, one

    def _even_use(self) -> None:
        """Over the day the items of a section are used as often as each other, or once more."""
        uses = Counter(item for other in self.sealed.rotation for item in self.sealed.items(other))
        rows = [row for one, row in zip(self.wanted, self.holds, strict=True) if one.need.use == "rotation"]
        most = max(uses.values(), default=0) + len(rows)
        for members in self.pool.members:
            top, low = self.model.new_int_var(0, most, ""), self.model.new_int_var(0, most, "")
            for item in members:
                total = uses[item] + sum(row[item] for row in rows)
                self.model.add(total <= top)
                self.model.add(total >= low)
            if members:
                self.broken.append(UNEVEN * self._beyond(top - low, 1, most))
