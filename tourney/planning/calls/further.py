"""Sets more, once the others are sealed: for heats that move after their set was heard, or for a set that leaked.

The sealed sets stay as they are, so the new ones are fitted among them: calls a section as their rounds have them, no
neighbours, no item back too soon, the items of a section used as evenly as can be, as hard as the others.
"""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import count, pairwise
from math import comb, prod

from tourney.canon.syllabus import Syllabus
from tourney.draw import Draw
from tourney.errors import Refusal, Shortage
from tourney.model.calls import CallSet
from tourney.model.event import Division
from tourney.planning.calls.assembly import AIM
from tourney.planning.calls.board import Board
from tourney.planning.calls.draw import call_set_of
from tourney.planning.calls.fitting import Beside, Form, Items, NoFit, fit
from tourney.planning.calls.need import Row, SetNeed
from tourney.planning.calls.ordering import order_calls
from tourney.planning.calls.pool import Counts, Pool, pool_of
from tourney.planning.calls.profile import profile_of
from tourney.planning.calls.reserves import draw_reserves
from tourney.planning.calls.section_order import Known
from tourney.planning.calls.selection import fewest_neighbours
from tourney.planning.calls.sequence import A_DAY, SHORT, close_by, runs, standing
from tourney.planning.calls.terms import DEFAULT_GAP, sets_with


@dataclass(frozen=True, slots=True)
class Wanted:
    """A set to be found, with the calls a section of `like`."""

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
        forms = [Form(one.need.order, self.pool.counts(self.items(one.like))) for one in wanted]
        others = (*self.sets, *self.leaked)
        drawn = self._drawn or [self.items(wanted[0].like)]
        beside = Beside(
            self.pool,
            self.gap,
            tuple((one.order or 0, self.items(one)) for one in self.rotation),
            frozenset(frozenset(self.items(one)) for one in others),
            frozenset(item for one in self.leaked for item in self.items(one)),
            profile_of(Board(self.pool, drawn, 0)),
            self._sums(drawn),
        )
        try:
            chosen = fit(forms, beside, stream)
        except NoFit as reason:
            raise self._used_up(forms, reason.proven) from None
        made: list[CallSet] = []
        for one, items in zip(wanted, chosen, strict=True):
            heard = frozenset[int]().union(*(self.items(other) for other in self.beside(one.need, wanted)))
            row = Row(one.need, order_calls(self.pool, items, self._known(one.need, made), stream))
            spare = draw_reserves(self.pool, row.items, heard, stream)
            made.append(call_set_of(self.division, self.syllabus, self.pool, row, spare, stream))
        return tuple(made)

    def fits(self, ready: CallSet, one: Wanted, wanted: Sequence[Wanted]) -> bool:
        """May a sealed set that nobody heard step in: the sections of its round, no item too soon, even use.

        wanted: the one and all others that are still to be found.
        """
        row, held = self.items(ready), set(self.items(ready))
        others = [self.items(other) for other in self.rotation if other.id != ready.id]
        before, after = Board(self.pool, self._drawn, 0), Board(self.pool, [*others, row], 0)
        return (
            len(row) == len(ready.calls)
            and self.pool.counts(row) == self.pool.counts(self.items(one.like))
            and all(held.isdisjoint(self.items(by)) for by in self.beside(one.need, wanted) if by.id != ready.id)
            and all(after.use_spread(n) <= max(1, before.use_spread(n)) for n in range(len(self.pool.sections)))
            and self.pool.neighbours(row) <= fewest_neighbours(self.pool, self.pool.counts(row))
            and not close_by(row, self.pool.near)
        )

    def known_if_even(self, leaked: CallSet) -> int:
        """Calls of a leaked set that any in its place would have, were no two uses in a section more than one apart.

        At least, by counting section by section: what the sealed sets use least has to come, what they use most can't.
        """
        uses, seen, known = Board(self.pool, map(self.items, self.rotation), 0).uses(), set(self.items(leaked)), 0
        for members, calls in zip(self.pool.members, self.pool.counts(sorted(seen)), strict=True):
            if calls:
                least = (sum(uses[item] for item in members) + calls) // len(members)
                must = {item for item in members if uses[item] < least}
                may = {item for item in members if uses[item] == least}
                known += len(must & seen) + max(0, calls - len(must) - len(may - seen))
        return known

    def _used_up(self, forms: Sequence[Form], proven: bool) -> Refusal:
        """So few sets have the calls a section of these that no more are left which differ from every other."""
        taken = {frozenset(self.items(one)) for one in (*self.sets, *self.leaked)}
        asked = Counter(form.counts for form in forms)
        needs = {
            row: again + sum(self.pool.counts(sorted(one)) == row for one in taken) for row, again in asked.items()
        }
        counts = max(needs, key=lambda row: needs[row] - _different(self.pool.size, row))
        have, need = _different(self.pool.size, counts), needs[counts]
        why = "sets that were drawn already are among them, and none may come twice"
        short = Shortage(sets_with(self.pool, self.syllabus, counts), have, need, why)
        more = sorted((_items_more(self.pool.size, counts, at, need), at) for at, calls in enumerate(counts) if calls)
        return Refusal(
            f"No further call set is left for {self.division.name} that differs from every other set.",
            (short,) if proven else (),
            tuple(
                f"Let the division hear {items} item{'s' * (items != 1)} more of "
                f"{self.syllabus.section_name(self.pool.sections[at])}."
                for items, at in more
            ),
            proven,
        )

    def _known(self, need: SetNeed, made: Sequence[CallSet]) -> Known:
        """What the sealed sets and those made already show, where a set is heard in its place among them."""
        scored = [one for one in (*self.sets, *self.leaked, *made) if one.use != "practice"]
        rotation = sorted((one for one in scored if one.order is not None), key=lambda one: one.order or 0)
        in_order = [*rotation, *(one for one in scored if one.order is None)]
        at = len(in_order) if need.order is None else sum((one.order or 0) < need.order for one in rotation)
        sections = [[self.pool.section[item] for item in self.items(one)] for one in in_order]
        near = sections[max(0, at - A_DAY) : at + A_DAY]
        return Known(
            {run for row in sections for run in runs(row)},
            [standing(self.pool, row) for row in near if len(row) >= SHORT],
        )

    @cached_property
    def pool(self) -> Pool:
        """What the division may hear."""
        return pool_of(self.syllabus, self.division)

    @cached_property
    def _place(self) -> dict[str, int]:
        return {item.id: number for number, item in enumerate(self.pool.items)}

    def items(self, sealed: CallSet) -> Items:
        """Items of a set in calling order, as far as they are still in the list."""
        return tuple(self._place[call.item] for call in sealed.calls if call.item in self._place)

    @cached_property
    def rotation(self) -> tuple[CallSet, ...]:
        """Sets of the rotation in the order in which they are heard."""
        return tuple(sorted((one for one in self.sets if one.use == "rotation"), key=lambda one: one.order or 0))

    @property
    def _drawn(self) -> list[Items]:
        """The rotation as it was before a set of it leaked."""
        return [self.items(one) for one in (*self.rotation, *self.leaked) if one.use == "rotation"]

    def _sums(self, drawn: Sequence[Items]) -> tuple[float, float]:
        """Sums of difficulty that keep all sets within `AIM` of each other, or as far apart as they are already."""
        sums = [self.pool.total(items) for items in drawn]
        apart = max(max(sums) - min(sums), AIM * sum(sums) / len(sums))
        middle = (max(sums) + min(sums)) / 2
        return middle - apart / 2, middle + apart / 2

    @cached_property
    def gap(self) -> int:
        """Sets that lie between two uses of an item: as the settings say, else as sealed sets kept it when drawn."""
        if self.division.no_repeat_gap is not None:
            return self.division.no_repeat_gap
        drawn = sorted((one.order, one) for one in (*self.rotation, *self.leaked) if one.order is not None)
        heard = [set(self.items(one)) for _, one in drawn]
        return DEFAULT_GAP if all(one.isdisjoint(after) for one, after in pairwise(heard)) else 0

    def beside(self, need: SetNeed, wanted: Sequence[Wanted]) -> list[CallSet]:
        """Sealed sets that are heard so shortly before or after that no item may be in both. wanted: heard as well."""
        if need.order is None:
            return []
        places = {one.order: one for one in self.rotation} | dict.fromkeys(one.need.order for one in wanted)
        heard = sorted(order for order in places if order is not None)
        at = heard.index(need.order)
        window = heard[max(0, at - self.gap) : at + self.gap + 1]
        return [one for order in window if order != need.order and (one := places[order]) is not None]


def _different(sizes: Sequence[int], counts: Counts) -> int:
    """Sets with these calls a section, of sections with so many items."""
    return prod(comb(size, calls) for size, calls in zip(sizes, counts, strict=True))


def _items_more(sizes: Sequence[int], counts: Counts, section: int, need: int) -> int:
    """Fewest items more in a section with calls that make so many different sets possible."""
    grown = ([size + more * (at == section) for at, size in enumerate(sizes)] for more in count())
    return next(more for more, tried in enumerate(grown) if _different(tried, counts) >= need)


def stepping_in(ready: CallSet, need: SetNeed) -> CallSet:
    """A sealed set under the id and in the place of the one that it stands in for; its calls stay as they are."""
    return replace(ready, id=need.id, use=need.use, round=need.round, order=need.order)
