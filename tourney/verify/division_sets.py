"""The call sets of one division as a re-check sees them: from the documents alone."""

from collections import Counter
from dataclasses import dataclass
from datetime import datetime
from fractions import Fraction
from functools import cached_property

from tourney.model.calls import CallBook, CallSet
from tourney.model.event import Division
from tourney.model.plan import Heat, Plan, ReservedHeat
from tourney.verify.call_bounds import CallBounds, Counts, counted
from tourney.verify.plan import rotation
from tourney.verify.syllabus import Listing, Row


@dataclass(frozen=True)
class DivisionSets:
    """A division with all its sets."""

    plan: Plan
    book: CallBook
    listing: Listing
    division: Division

    @property
    def name(self) -> str:
        """The division's name: the scope of every line about it."""
        return self.division.name

    @cached_property
    def mine(self) -> tuple[CallSet, ...]:
        """All sets."""
        return tuple(found for found in self.book.sets if found.division == self.name)

    @cached_property
    def scored(self) -> tuple[CallSet, ...]:
        """All but practice."""
        return tuple(found for found in self.mine if found.use != "practice")

    @cached_property
    def heats(self) -> tuple[Heat | ReservedHeat, ...]:
        """Heats of the rounds, those that are still to be drawn too."""
        reserved = tuple(heat for heat in self.plan.reserved if heat.division == self.name)
        return (*rotation(self.plan, self.name), *reserved)

    @cached_property
    def heard(self) -> tuple[CallSet, ...]:
        """Sets of the rounds in the order heard."""
        start: dict[str, datetime] = {heat.call_set: self.plan.wave[heat.wave].start for heat in self.heats}
        return tuple(sorted((found for found in self.mine if found.id in start), key=lambda found: start[found.id]))

    @cached_property
    def rounds(self) -> dict[int, tuple[CallSet, ...]]:
        """Sets heard in each round, in the order heard."""
        used = {(heat.round, heat.call_set) for heat in self.heats}
        numbers = sorted({number for number, _ in used})
        return {number: tuple(found for found in self.heard if (number, found.id) in used) for number in numbers}

    @cached_property
    def moved(self) -> bool:
        """Whether heats were changed during the day, so that the rounds are not as they were drawn."""
        changed = any(heat.since > 1 for heat in rotation(self.plan, self.name))
        # A heat still to be drawn has no sheets that could be older; a lost room gives it another set all the same.
        changed |= bool(self.plan.closed_rooms) and any(slot.division == self.name for slot in self.plan.reserved)
        return changed or any(found.use != "rotation" for found in self.heard)

    @cached_property
    def rows(self) -> tuple[Row, ...]:
        """What the division may hear."""
        return self.listing.callable(self.name, self.division.first_last)

    @cached_property
    def bounds(self) -> CallBounds:
        """What the counts of the sets heard force."""
        return CallBounds(self.listing, self.rows, tuple(map(self.counts, self.heard)))

    @cached_property
    def shares(self) -> dict[str, Fraction]:
        """Part of the calls that each section should have."""
        asked = self.division.sections
        weights = dict.fromkeys(self.listing.sections, Fraction(1))
        if asked == "by_size":
            size = Counter(row.section for row in self.rows)
            weights = {section: Fraction(size[section]) for section in weights}
        elif isinstance(asked, dict):
            weights = {section: Fraction(str(asked.get(section, 0))) for section in weights}
        whole = sum(weights.values())
        return {section: weight / whole for section, weight in weights.items()}

    @property
    def equal(self) -> bool:
        """Whether every section should have as many calls as every other."""
        return len(set(self.shares.values())) == 1

    def counts(self, found: CallSet) -> Counts:
        """Calls a section of a set."""
        return counted(call.section for call in found.calls)
