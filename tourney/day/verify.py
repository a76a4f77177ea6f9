"""Check a day anew: the plan, the draw and the record, by code that had no part in making them."""

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from tourney.errors import FaultsFound, FileTrouble
from tourney.model.calls import CallBook
from tourney.model.plan import Plan
from tourney.verify.line import Line

if TYPE_CHECKING:
    from tourney.canon.syllabus import Syllabus


@dataclass(frozen=True, slots=True)
class Verified:
    """A line a property. chain: the hash of the record's last row, empty for an empty record."""

    lines: tuple[Line, ...]
    chain: str

    @property
    def sound(self) -> bool:
        """Whether no rule is broken."""
        return all(line.status != "broken" for line in self.lines)


def verify(folder: Path, head: str = "") -> Verified:
    """Every property of an event folder. head: a hash from posted standings, that the record must hold."""
    from tourney.day.redrawn import first_plan, redrawn_lines
    from tourney.day.state import need_folder
    from tourney.files import read_json
    from tourney.record.folder import EventFiles, read_book, read_plan
    from tourney.record.journal import PURGE, Journal
    from tourney.verify.line import told
    from tourney.verify.record import check_plan, check_record

    need_folder(folder)
    plan = read_plan(folder)
    listed = _listed(folder, plan)
    secret = _secret(folder)
    book = read_book(folder)
    lines = [*_planned(folder, plan, book, listed, secret)]
    record = EventFiles(folder).record(plan.event)
    if isinstance(record, Path) and not record.exists() and not head:
        lines += redrawn_lines(plan, book, None, listed, secret)
        lines.append(told("record", "record", "not in this folder", "who has the whole folder can check it"))
        return Verified(tuple(lines), "")
    with Journal.open(record) as journal:
        rows = journal.stored()
        lines += redrawn_lines(plan, book, first_plan(journal.rows()), listed, secret)

        def kept(sha256: str) -> bytes | None:
            try:
                return journal.kept_file(sha256)
            except FileTrouble:  # altered: the check says so among the other properties
                return b""

        lines += check_record(rows, head, kept, purged=bool(rows) and rows[-1].kind == PURGE)
    lines.append(check_plan(rows, read_json(EventFiles(folder).plan)))
    return Verified(tuple(lines), rows[-1].hash if rows else "")


def _listed(folder: Path, plan: Plan) -> "Syllabus":
    """What may be called, as it lies in the folder now. FaultsFound when it can't be read."""
    from tourney.intake.findings import Findings
    from tourney.intake.folder import read_list

    findings = Findings()
    syllabus = read_list(folder, plan.event, findings)
    if findings.faults:
        raise FaultsFound(tuple(findings.faults))
    return syllabus


def _secret(folder: Path) -> str | None:
    """The folder's secret; None when its file is gone."""
    from tourney.files import read_bytes
    from tourney.record.folder import EventFiles

    path = EventFiles(folder).secret
    return read_bytes(path).decode("utf-8-sig", "replace").strip() if path.exists() else None


def _planned(folder: Path, plan: Plan, book: CallBook, listed: "Syllabus", secret: str | None) -> Iterator[Line]:
    """Plan, calls and draw, against the list of what may be called."""
    from tourney.files import read_json
    from tourney.record.folder import EventFiles
    from tourney.verify.planned import planned_lines
    from tourney.verify.syllabus import Listing, Row

    where = EventFiles(folder)
    rows = tuple(
        Row(
            item.id,
            item.section,
            place,
            (item.name, *listed.also(item.id)),
            item.kind,
            item.divisions,
            item.say or item.name,
            item.ending,
            item.difficulty,
        )
        for place, item in enumerate(listed.items, 1)
    )
    documents = read_json(where.plan), read_json(where.calls)
    return planned_lines(plan, book, Listing(rows, listed.sound_alikes), documents, secret)
