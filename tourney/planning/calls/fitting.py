"""Which items further sets hold, fitted among sets that are sealed: one small model, solved by CP-SAT.

van der Linden, Linear Models for Optimal Test Design (2005): forms assembled beside forms that are in use already.
"""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import combinations
from random import Random

from ortools.sat.python import cp_model

from tourney.planning.calls.pool import Counts, Pool
from tourney.planning.calls.profile import BANDS, Profile
from tourney.planning.calls.solver import found, solve

RULES, LIKENESS = 0.5, 0.05  # deterministic time of the search for sets that keep the rules, and for two to be alike
# Prices of what breaks a rule: neighbours in a set, dearer than all else; an item too soon; use further apart by one.
NEIGHBOUR, SOON, UNEVEN = 1000, 12, 3
# And of what is only unwanted: a call too many in a tercile, a hundredth bit too many, a call that leaked.
BAND, OFF, KNOWN = 1000, 50, 40
TASTE = 8  # values of what is drawn
UNIT = 100  # parts of a bit

Items = tuple[int, ...]
Vars = list[cp_model.IntVar]


@dataclass(frozen=True, slots=True)
class Form:
    """A set to be found. order: its place among the sets heard, None for one outside the rotation."""

    order: int | None
    counts: Counts


@dataclass(frozen=True, slots=True)
class Beside:
    """What further sets are fitted among. heard: (order, items) of the rotation. taken: sets that none may equal.

    gap: sets between two uses of an item. leaked: items that should come back as little as can be. like: what a set of
    the rotation is like; bits: the least and the most that it may be in sum.
    """

    pool: Pool
    gap: int
    heard: tuple[tuple[int, Items], ...]
    taken: frozenset[frozenset[int]]
    leaked: frozenset[int]
    like: Profile
    bits: tuple[float, float]


@dataclass
class NoFit(Exception):
    """No set differs from every other one. proven: there is none; else none was found."""

    proven: bool


def fit(forms: Sequence[Form], beside: Beside, random: Random) -> list[Items]:
    """Items of each form: all at once by the rules, then two by two, round the ring, as hard as the others. NoFit."""
    whole = _Model(forms, beside, random)
    chosen = whole.by_the_rules()
    if len(forms) <= 2:
        return whole.alike(chosen)
    places = range(len(forms))
    for pair in sorted({tuple(sorted({at, (at + 1) % len(forms)})) for at in places}):
        fixed = [(order, chosen[at]) for at in places if at not in pair and (order := forms[at].order) is not None]
        others = frozenset(frozenset(chosen[at]) for at in places if at not in pair)
        among = replace(beside, heard=(*beside.heard, *fixed), taken=beside.taken | others)
        better = _Model([forms[at] for at in pair], among, random).alike([chosen[at] for at in pair])
        for at, items in zip(pair, better, strict=True):
            chosen[at] = items
    return chosen


class _Model:
    """holds[form][item]; whatever breaks a rule, and whatever is only unwanted, has its price."""

    def __init__(self, forms: Sequence[Form], beside: Beside, random: Random) -> None:
        self.forms, self.beside, self.pool = forms, beside, beside.pool
        self.model, self.seed = cp_model.CpModel(), random.randrange(2**31)
        self.least: int | None = None  # of what breaks a rule, once that is known
        self.broken: list[cp_model.LinearExprT] = []
        self.unlike: list[cp_model.LinearExprT] = []
        orders = [order for order, _ in beside.heard]
        self.orders = sorted([*orders, *(one.order for one in forms if one.order is not None)])
        self.holds = [[self.model.new_bool_var("") for _ in self.pool.items] for _ in forms]
        for one, row in zip(forms, self.holds, strict=True):
            for members, calls in zip(self.pool.members, one.counts, strict=True):
                self.model.add(sum(row[item] for item in members) == calls)
            self._keep_apart(one, row)
            self._as_hard_as_the_others(one, row)
            self.unlike += [random.randrange(TASTE) * held for held in row]
            self.unlike += [KNOWN * row[item] for item in sorted(self.beside.leaked)]
            for items in sorted(sorted(chosen) for chosen in beside.taken if len(chosen) == sum(one.counts)):
                self.model.add(sum(row[item] for item in items) <= len(items) - 1)
        self._apart_from_each_other()
        self._even_use()

    def by_the_rules(self) -> list[Items]:
        """The items of each form with the least that breaks a rule: nothing, if that is found. NoFit."""
        clean = self.model.clone()
        clean.add(sum(self.broken) == 0)
        self.least, (held, _, _) = 0, self._search(clean, RULES)
        if held is None:
            self.model.minimize(sum(self.broken))
            held, status, price = self._search(self.model, RULES)
            if held is None:
                raise NoFit(status == cp_model.INFEASIBLE)
            self.least = price
        return held

    def alike(self, start: Sequence[Items]) -> list[Items]:
        """The items of each form, as hard as the others, and no rule broken more than at the start."""
        for row, items in zip(self.holds, start, strict=True):
            for item, held in enumerate(row):
                self.model.add_hint(held, item in items)
        best = list(start)
        if self.least is None:
            best = self.by_the_rules()
        self.model.add(sum(self.broken) <= (self.least or 0))
        self.model.minimize(sum(self.unlike))
        return self._search(self.model, LIKENESS)[0] or best

    def _search(
        self, model: cp_model.CpModel, effort: float
    ) -> tuple[list[Items] | None, cp_model.CpSolverStatus, int]:
        """The items of each form, no two the same, None when none were found; the status; the price."""
        while True:
            solver, status = solve(model, self.seed, effort)
            if not found(status):
                return None, status, 0
            held = [tuple(item for item, in_it in enumerate(row) if solver.value(in_it)) for row in self.holds]
            twins = [(one, other) for one, other in combinations(range(len(held)), 2) if held[one] == held[other]]
            if not twins:
                return held, status, round(solver.objective_value)
            for one, other in twins:  # seldom, so they are told to differ only then
                both = [model.new_bool_var("") for _ in self.pool.items]
                for first, second, shared in zip(self.holds[one], self.holds[other], both, strict=True):
                    model.add_bool_or(~first, ~second, shared)
                model.add(sum(both) < len(held[one]))

    def _keep_apart(self, one: Form, row: Vars) -> None:
        """Neighbours in the set, and items of the sets heard shortly before or after."""
        for item in range(1, len(row)):
            if self.pool.joined[item]:
                self._price_both(row[item - 1], row[item], NEIGHBOUR)
        for order, items in self.beside.heard:
            if self._close(order, one.order):
                self.broken += [SOON * row[item] for item in items]

    def _close(self, one: int | None, other: int | None) -> bool:
        """Are two sets heard so shortly after each other that no item may be in both."""
        if one is None or other is None:
            return False
        return abs(self.orders.index(one) - self.orders.index(other)) <= self.beside.gap

    def _price_both(self, one: cp_model.IntVar, other: cp_model.IntVar, price: int) -> None:
        both = self.model.new_bool_var("")
        self.model.add_bool_or(~one, ~other, both)
        self.broken.append(price * both)

    def _as_hard_as_the_others(self, one: Form, row: Vars) -> None:
        """The sum of difficulty, and the calls of each tercile, as in the other sets."""
        profile, calls = self.beside.like, sum(one.counts)
        part = calls / max(1, sum(profile.wanted))
        low, high = (round(UNIT * part * bits) for bits in self.beside.bits)
        made = sum(round(UNIT * bits) * held for bits, held in zip(self.pool.bits, row, strict=True))
        self.unlike.append(OFF * self._outside(made, low, high, UNIT * UNIT * calls))
        for band in range(BANDS):
            held = sum(row[item] for item in range(len(row)) if profile.band[item] == band)
            wanted = round(profile.wanted[band] * part)
            self.unlike.append(BAND * self._outside(held, wanted - 1, wanted + 1, calls))

    def _outside(self, value: cp_model.LinearExprT, low: int, high: int, most: int) -> cp_model.IntVar:
        """By how much a value is outside its limits, at the least."""
        off = self.model.new_int_var(0, most, "")
        self.model.add(value - high <= off)
        self.model.add(low - value <= off)
        return off

    def _apart_from_each_other(self) -> None:
        """No item in two of the forms that are heard shortly after each other."""
        for (one, row), (other, second) in combinations(list(zip(self.forms, self.holds, strict=True)), 2):
            if self._close(one.order, other.order):
                for item in range(len(self.pool.items)):
                    self._price_both(row[item], second[item], SOON)

    def _even_use(self) -> None:
        """Over the day the items of a section are used as often as each other, or once more; twice more after a leak.

        At most once more would bring most of the leaked calls back: what the other sets use too seldom is in that one.
        """
        free = 2 if self.beside.leaked else 1
        uses = Counter(item for _, items in self.beside.heard for item in items)
        rows = [row for one, row in zip(self.forms, self.holds, strict=True) if one.order is not None]
        most = max(uses.values(), default=0) + len(rows)
        for members in self.pool.members:
            top, low = self.model.new_int_var(0, most, ""), self.model.new_int_var(0, most, "")
            for item in members:
                total = uses[item] + sum(row[item] for row in rows)
                self.model.add(total <= top)
                self.model.add(total >= low)
            if members:
                self.broken.append(UNEVEN * self._outside(top - low, 0, free, most))
