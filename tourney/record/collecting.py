"""What of the sheets that were read belongs into the journal. What it holds already is not written twice."""

import hashlib
from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import Any

from tourney.model.calls import CallBook
from tourney.model.documents import dump
from tourney.model.people import Roster
from tourney.model.plan import Plan
from tourney.model.sheet import FilledSheet, SheetNote, SheetReading
from tourney.model.totals import HeatTotal
from tourney.record.row import Entry
from tourney.record.sealing import Private, file_key
from tourney.record.state import DayState
from tourney.record.versions import completes, count_rulings, difference_words, same_entries


@dataclass(frozen=True, slots=True)
class ReceivedFile:
    """A file as it was dropped, what its sheets say, and the totals in it."""

    name: str
    content: bytes
    readings: tuple[SheetReading, ...]
    totals: tuple[HeatTotal, ...] = ()


@dataclass(frozen=True, slots=True)
class Collected:
    """What became of received files: rows to append, files to keep with them, and every sheet's reading.

    totals: those of new tables. rulings: those that settle which version of a sheet counts: see OpenMatter.
    """

    entries: tuple[Entry, ...]
    files: tuple[bytes, ...]
    sheets: tuple[SheetReading, ...]
    totals: tuple[HeatTotal, ...] = ()
    rulings: tuple[str, ...] = ()

    def count(self, state: str) -> int:
        """How many sheets are accepted, noted, refused or same."""
        return sum(sheet.state == state for sheet in self.sheets)

    def document(self) -> dict[str, Any]:
        """What `collect --json` prints."""
        counts = {state: self.count(state) for state in ("accepted", "noted", "refused", "same")}
        sheets = [
            {key: getattr(sheet, key) for key in ("file", "sheet", "code", "state")}
            | {"notes": [dump(note) for note in sheet.notes]}
            for sheet in self.sheets
        ]
        return {
            "format": "tourney-collect/1",
            **counts,
            "totals": len(self.totals),
            "sheets": sheets,
            "rulings": list(self.rulings),
        }


def collecting(state: DayState, received: Iterable[ReceivedFile]) -> Collected:
    """Sort the sheets of received files into new ones and those that the record has."""
    known: dict[str, list[FilledSheet]] = defaultdict(list)
    for version in state.versions:
        known[version.code].append(version)
    known_tables = set(state.totals_files)
    totals: list[HeatTotal] = []
    places: dict[str, str] = {}
    entries: list[Entry] = []
    files: list[bytes] = []
    sheets: list[SheetReading] = []
    rulings: list[str] = []
    for file in received:
        new = []
        for reading in file.readings:
            sheet = reading.sheet_read
            if sheet is None:
                sheets.append(reading)
            elif any(same_entries(sheet, version) for version in known[sheet.code]):
                sheets.append(replace(reading, state="same"))
            else:
                compared = _compared(reading, sheet, known[sheet.code], places.get(sheet.code, "in the record"))
                sheets.append(compared)
                known[sheet.code].append(sheet)
                if compared is not reading:
                    rulings += count_rulings(sheet.code, 1, len(known[sheet.code]))
                places.setdefault(
                    sheet.code, f"in {file.name}, {reading.sheet}" if reading.sheet else f"in {file.name}"
                )
                new.append(sheet)
        source = _Source(file.name, hashlib.sha256(file.content).hexdigest())
        added = () if source.sha256 in known_tables else file.totals
        if added:
            known_tables.add(source.sha256)
            totals += added
        if new or added:
            entries += [_sheet_entry(sheet, source) for sheet in new]
            if added:
                entries.append(Entry("totals", {"totals": [dump(total) for total in added], **source.document()}))
            files.append(file.content)
    return Collected(tuple(entries), tuple(files), tuple(sheets), tuple(totals), tuple(dict.fromkeys(rulings)))


def _compared(reading: SheetReading, sheet: FilledSheet, known: list[FilledSheet], where: str) -> SheetReading:
    """The reading, with a note where it contradicts the first that came in: keyed twice, copied, or changed since."""
    if not known or completes(known[0], sheet) or completes(sheet, known[0]):
        return reading
    words = (
        f"Sheet {sheet.code} is there already, {where}, and the two differ ({difference_words(known[0], sheet)}). "
        "Both are kept, and the chief judge settles which one counts. Was one of them a copy for another heat? "
        "Then write its marks on that heat's own sheet."
    )
    return replace(reading, state="noted", notes=(*reading.notes, SheetNote(reading.sheet, words)))


@dataclass(frozen=True, slots=True)
class _Source:
    """Where a row comes from."""

    name: str
    sha256: str

    def document(self) -> dict[str, Any]:
        """What the row says of it. The file's name may name a child: it is private."""
        return {"file": {"name": Private(file_key(self.sha256), self.name), "sha256": self.sha256}}


def _sheet_entry(sheet: FilledSheet, source: _Source) -> Entry:
    """The row for a sheet. What was written freely may name a child: it is private."""
    key = file_key(source.sha256)
    document = dump(sheet)
    document |= {free: Private(key, document[free]) for free in ("notes", "comments") if document.get(free)}
    return Entry("sheet", {"sheet": document, **source.document()})


def plan_entry(plan: Plan, roster: Roster, book: CallBook) -> Entry:
    """The row for a new plan: fingerprints of the calls alone, and what is private of each contestant sealed apart."""
    fingerprints = {found.id: found.fingerprint() for found in book.sets}
    people = dump(roster)
    people["contestants"] = [
        {"id": child["id"], "about": Private(f"contestant {child['id']}", child)} for child in people["contestants"]
    ]
    return Entry("plan", {"plan": dump(plan), "roster": people, "calls": fingerprints})
