"""The journal in plain words, and a copy of it."""

from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

from tourney.errors import Refusal

if TYPE_CHECKING:
    from tourney.record.listing import ListedRow


@dataclass(frozen=True, slots=True)
class Listed:
    """All rows; zone: the hall's. chain: the hash of the last row, empty for none. copied: rows in the copy, if any."""

    rows: "tuple[ListedRow, ...]"
    zone: ZoneInfo
    chain: str
    copied: int | None


def record(folder: Path, backup: Path | None) -> Listed:
    """Every row of the record as a sentence; with `backup`, also a copy of the whole record in a new file.

    Refusal when that file is there already. The copy is whole even while others go on writing.
    """
    from tourney.day.state import need_folder
    from tourney.files import save
    from tourney.record.folder import EventFiles, read_plan
    from tourney.record.journal import Journal
    from tourney.record.listing import listing_of

    need_folder(folder)
    event = read_plan(folder).event
    if backup is not None and backup.exists():
        raise Refusal(f"{backup} is there already.", cures=("Name a file that is not there yet.",))
    copied: list[int] = []
    with Journal.open(EventFiles(folder).record(event)) as journal:
        if backup is not None:
            save(backup, lambda beside: copied.append(journal.copy_to(beside)))
        rows = journal.rows()
    chain = rows[-1].hash if rows else ""
    return Listed(tuple(listing_of(rows)), ZoneInfo(event.timezone), chain, copied[0] if copied else None)
