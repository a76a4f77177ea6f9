"""Check a day anew: the plan, the draw and the record, by code that had no part in making them."""

from dataclasses import dataclass
from pathlib import Path

from tourney.errors import FileTrouble
from tourney.verify.line import Line


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
    from tourney.day.state import need_folder
    from tourney.record.folder import EventFiles, read_plan
    from tourney.record.journal import PURGE, Journal
    from tourney.verify.record import check_record

    need_folder(folder)
    plan = read_plan(folder)
    lines: list[Line] = []
    with Journal.open(EventFiles(folder).record(plan.event)) as journal:
        rows = journal.stored()

        def kept(sha256: str) -> bytes | None:
            try:
                return journal.kept_file(sha256)
            except FileTrouble:  # altered: the check says so among the other properties
                return b""

        lines += check_record(rows, head, kept, purged=bool(rows) and rows[-1].kind == PURGE)
    return Verified(tuple(lines), rows[-1].hash if rows else "")
