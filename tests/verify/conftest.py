"""A sound day, drawn once, as documents that a test may spoil."""

import copy
import hashlib
import json
from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Any

import pytest

from tourney.draw import digest
from tourney.intake.folder import read_folder
from tourney.model.calls import CallBook
from tourney.model.documents import dump, load
from tourney.model.plan import Plan
from tourney.planning.plan import plan_day
from tourney.planning.roster import enrol
from tourney.resources import sample_events
from tourney.verify.line import Line
from tourney.verify.planned import planned_lines
from tourney.verify.syllabus import Listing, Row

SECRET = "a jar of buttons"


@dataclass
class Spoilt:
    """plan.json and calls.json of a day, the list of what may be called, the secret."""

    plan: Any
    calls: Any
    rows: list[Row]
    alike: list[tuple[str, ...]]
    secret: str | None = SECRET
    sealed: bool = field(default=True)

    def set(self, key: str) -> Any:
        """A call set by its id."""
        return next(found for found in self.calls["sets"] if found["id"] == key)

    def heat(self, key: str) -> Any:
        """A heat by its id."""
        return next(heat for heat in self.plan["heats"] if heat["id"] == key)

    def team(self, key: str) -> Any:
        """A team by its id."""
        return next(team for team in self.plan["teams"] if team["id"] == key)

    def official(self, key: str) -> Any:
        """An official by its id."""
        return next(official for official in self.plan["officials"] if official["id"] == key)

    def division(self, name: str) -> Any:
        """The rules of a division."""
        return next(division for division in self.plan["event"]["divisions"] if division["name"] == name)

    def call(self, set_id: str, number: int, item: str) -> None:
        """Put another item, with its true answer, in the place of one call."""
        place = next(at for at, row in enumerate(self.rows) if row.id == item)
        names = ["none", *(row.names[0] for row in self.rows), "none"]
        row, call = self.rows[place], self.set(set_id)["calls"][number - 1]
        answer = {"book": names[place : place + 3], "finish": [row.ending, row.names[0]]}.get(row.kind, [row.names[0]])
        call.update(item=item, section=row.section, kind=row.kind, say=row.say, answer=answer, also=[])
        call["difficulty"] = round(row.bits, 3)

    def seal(self) -> None:
        """Fingerprints anew, so that only the spoilt property is wrong."""
        for found in self.plan["call_sets"]:
            document = next((row for row in self.calls["sets"] if row["id"] == found["id"]), None)
            text = json.dumps(document, sort_keys=True, separators=(",", ":"), ensure_ascii=False)
            found["fingerprint"] = "sha256:" + hashlib.sha256(text.encode()).hexdigest()

    def lines(self) -> list[Line]:
        """What the re-check says."""
        if self.sealed:
            self.seal()
        plan, book = load(Plan, self.plan), load(CallBook, self.calls)
        listing = Listing(tuple(self.rows), tuple(self.alike))
        return list(planned_lines(plan, book, listing, (self.plan, self.calls), self.secret))


@pytest.fixture(scope="session")
def drawn_day() -> Spoilt:
    """The garden day: two divisions, two rooms, a list of 60 items in seven sections."""
    found = read_folder(sample_events() / "garden_catalogue")
    assert found.event is not None
    roster = enrol(found.teams, found.officials, found.event, None)
    plan, book = plan_day(found.event, roster, found.syllabus, SECRET, digest("inputs"))
    rows = [
        Row(
            item.id,
            item.section,
            place,
            (item.name, *found.syllabus.also(item.id)),
            item.kind,
            item.divisions,
            item.say or item.name,
            item.ending,
            item.difficulty,
        )
        for place, item in enumerate(found.syllabus.items, 1)
    ]
    return Spoilt(dump(plan), dump(book), rows, list(found.syllabus.sound_alikes))


@pytest.fixture
def day(drawn_day: Spoilt) -> Spoilt:
    """A copy to spoil."""
    return copy.deepcopy(drawn_day)


Change = Callable[[Spoilt], None]
