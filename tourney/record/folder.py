"""The files of an event folder: where they lie, how they are read and written."""

import secrets
from dataclasses import dataclass
from pathlib import Path
from typing import Any, TypeVar

from pydantic import ValidationError

from tourney import files
from tourney.errors import FileTrouble
from tourney.model.calls import CallBook
from tourney.model.documents import dump, load
from tourney.model.event import Event
from tourney.model.plan import Plan

T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class EventFiles:
    """Paths within one event folder."""

    folder: Path

    @property
    def secret(self) -> Path:
        """What the calls are drawn from besides the draw words."""
        return self.folder / "draw_secret.txt"

    @property
    def plan(self) -> Path:
        """Who, where, when, with whom."""
        return self.folder / "plan.json"

    @property
    def calls(self) -> Path:
        """The call sets, for callers alone."""
        return self.folder / "calls.json"

    @property
    def papers(self) -> Path:
        """What people are handed."""
        return self.folder / "papers"

    @property
    def returned(self) -> Path:
        """Where filled score sheets are dropped."""
        return self.folder / "returned"

    @property
    def results(self) -> Path:
        """Standings, as workbook and document."""
        return self.folder / "results"

    def record(self, event: Event) -> Path | str:
        """Where the journal is kept: a file of the folder, or the database that the settings name."""
        return event.day.record or self.folder / "record.sqlite"


def read_plan(folder: Path) -> Plan:
    """The plan of an event folder. FileTrouble when there is none or it was damaged."""
    return _read(EventFiles(folder).plan, Plan, "tourney-plan/1", "There is no plan yet: run tourney plan first.")


def read_book(folder: Path) -> CallBook:
    """The calls of an event folder. FileTrouble when there are none or they were damaged."""
    return _read(
        EventFiles(folder).calls, CallBook, "tourney-calls/1", "There are no calls yet: run tourney plan first."
    )


def write_plan(folder: Path, plan: Plan) -> None:
    """Write plan.json."""
    files.write_json(EventFiles(folder).plan, dump(plan))


def write_book(folder: Path, book: CallBook) -> None:
    """Write calls.json."""
    files.write_json(EventFiles(folder).calls, dump(book))


def _read(path: Path, kind: type[T], format_: str, missing: str) -> T:
    if path.parent.is_dir() and not path.exists():
        raise FileTrouble(f"{path} does not exist.", missing)
    document: Any = files.read_json(path)
    written_as = document.get("format") if isinstance(document, dict) else None
    if isinstance(written_as, str) and written_as != format_:
        raise FileTrouble(
            f"{path.name} is of the kind {written_as}, but this version reads {format_}.",
            "Use the version of tourney that wrote it, or plan again.",
        )
    try:
        return load(kind, document)
    except ValidationError as reason:
        place = ".".join(map(str, reason.errors()[0]["loc"]))
        raise FileTrouble(
            f"{path.name} is damaged: {place or 'the whole of it'} is not what was written.",
            "Take the file from a copy, or plan again.",
        ) from reason


def new_secret() -> str:
    """128 random bits of the operating system, as 32 hexadecimal digits."""
    return secrets.token_hex(16)


def secret(folder: Path) -> str:
    """The folder's secret, made once and never overwritten. FileTrouble when its file is empty or unreadable."""
    path = EventFiles(folder).secret
    if not path.exists():
        files.write_text(path, new_secret() + "\n")
    found = files.read_bytes(path).decode("utf-8-sig", "replace").strip()
    if not found:
        raise FileTrouble(
            f"{path.name} is empty, so the calls can't be drawn.",
            "Take it from a copy. Delete it only if nothing was planned yet: a new one draws other calls.",
        )
    return found
