"""Measures of call sets that share nothing with the code that makes them, and lists made for tests."""

from collections import Counter
from collections.abc import Callable, Sequence
from itertools import pairwise
from typing import Any

import pytest

from tourney.canon.syllabus import Item, Syllabus
from tourney.draw import Draw
from tourney.model.calls import CallSet
from tourney.model.event import Division
from tourney.planning.calls.draw import DrawnSets, draw_call_sets
from tourney.planning.calls.need import SetNeed

Needs = Callable[..., list[SetNeed]]
Listed = Callable[..., Syllabus]
Ruled = Callable[..., Division]


class Measured:
    """What can be counted in the sets of one division, from the documents alone."""

    def __init__(self, drawn: DrawnSets, syllabus: Syllabus, division: Division) -> None:
        self.sets, self.syllabus = drawn.sets, syllabus
        self.callable = syllabus.allowed(division.name, division.first_last)
        self.place = {item.id: n for n, item in enumerate(syllabus.items)}
        self.rotation = sorted((s for s in drawn.sets if s.use == "rotation"), key=lambda s: s.order or 0)
        self.fairness = {line.property: line for line in drawn.fairness}

    def items(self, call_set: CallSet) -> list[str]:
        return [call.item for call in call_set.calls]

    def sections(self, call_set: CallSet) -> dict[str, int]:
        return {key: [call.section for call in call_set.calls].count(key) for key in self.syllabus.sections}

    def neighbours(self, call_set: CallSet) -> int:
        places = sorted(self.place[key] for key in self.items(call_set))
        return sum(b - a == 1 for a, b in pairwise(places))

    def close_neighbours(self, call_set: CallSet) -> int:
        row = [self.place[key] for key in self.items(call_set)]
        return sum(abs(row[i] - row[j]) == 1 for i in range(len(row)) for j in range(len(row)) if i < j and j - i <= 3)

    def twice_running(self, call_set: CallSet) -> int:
        return sum(a.section == b.section for a, b in pairwise(call_set.calls))

    def least_gap(self) -> int | None:
        rows = [set(self.items(s)) for s in self.rotation]
        shared = [j - i - 1 for i, a in enumerate(rows) for j, b in enumerate(rows) if i < j and a & b]
        return min(shared, default=None)

    def use_spread(self) -> int:
        uses = Counter(key for s in self.rotation for key in self.items(s))
        by_section: dict[str, list[int]] = {}
        for item in self.callable:
            by_section.setdefault(item.section, []).append(uses[item.id])
        return max(max(row) - min(row) for row in by_section.values())

    def spread_percent(self) -> float:
        sums = [sum(self.syllabus.item(key).difficulty for key in self.items(s)) for s in self.rotation]
        return 100 * (max(sums) - min(sums)) / (sum(sums) / len(sums))


@pytest.fixture(scope="session")
def needs() -> Needs:
    """needs(rounds): a rotation set for each number in rounds, and the sets of every other use."""

    def made(rounds: Sequence[int], others: bool = True) -> list[SetNeed]:
        rotation = [SetNeed(f"J-W{n:02}", "rotation", number, n) for n, number in enumerate(rounds, 1)]
        spare: list[tuple[str, Any]] = [("J-FINAL-1", "final"), *((f"J-DRILLOFF-{n}", "drill_off") for n in (1, 2, 3))]
        spare += [("J-RESERVE-1", "reserve"), ("J-PRACTICE", "practice")]
        return rotation + [SetNeed(key, use, None, None) for key, use in spare if others]

    return made


@pytest.fixture(scope="session")
def listed() -> Listed:
    """listed(sizes): a list of invented items in sections of these sizes, some harder than others."""

    def made(sizes: Sequence[int], divisions: Sequence[str] = ()) -> Syllabus:
        return Syllabus(
            tuple(
                Item(
                    f"{section}{n}",
                    f"Lamp {section}{n}",
                    f"shelf{section}",
                    1 + (7 * n + section) % 5,
                    (),
                    "book",
                    tuple(divisions),
                )
                for section, size in enumerate(sizes)
                for n in range(size)
            )
        )

    return made


@pytest.fixture(scope="session")
def ruled() -> Ruled:
    """ruled(calls=...): a division with these rules."""
    return lambda **rules: Division(**({"name": "Junior", "ages": (8, 10)} | rules))


@pytest.fixture(scope="session")
def measured(needs: Needs, ruled: Ruled) -> Callable[..., Measured]:
    """measured(syllabus, rounds, **rules): the sets of a division, drawn and wrapped in measures."""

    def made(syllabus: Syllabus, rounds: Sequence[int], secret: str = "salt", **rules: Any) -> Measured:
        division = ruled(**rules)
        return Measured(draw_call_sets(division, needs(rounds), syllabus, Draw("words", secret)), syllabus, division)

    return made
