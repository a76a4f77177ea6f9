"""Take filled score sheets into the record."""

from collections.abc import Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING

from tourney.errors import FileTrouble

if TYPE_CHECKING:
    from tourney.day.state import PlannedDay
    from tourney.record.collecting import Collected, ReceivedFile

OF_PROGRAMS = ("~$", ".")  # how the names of lock files and hidden files begin
OF_SYSTEMS = ("thumbs.db", "desktop.ini")


@dataclass(frozen=True, slots=True)
class Taken:
    """What became of the files. missing: codes of the sheets that are still out, in the order of the day.

    behind: minutes behind the plan, None before the first wave was said to have started. totals_open: sentences about
    totals that came in differently. in_finals: heats of finals or drill-offs are drawn.
    """

    collected: "Collected"
    missing: tuple[str, ...]
    behind: int | None = None
    totals_open: tuple[str, ...] = ()
    in_finals: bool = False


def collect(folder: Path, files: Sequence[Path], now: datetime) -> Taken:
    """Take these files, or all of returned/, into the record; what it holds already is not taken twice.

    files: a folder among them stands for all that lies in it.
    FileTrouble when a named file can't be read or the record can't be written: nothing is taken then.
    """
    from tourney.intake.reader import AT_ONCE, start_reading

    start_reading()  # it gets ready while everything else is loaded
    from tourney.files import read_bytes
    from tourney.intake.grid import MOST_BYTES
    from tourney.intake.returned import open_returned, read_returned
    from tourney.record.folder import EventFiles

    where = EventFiles(folder)
    named = [found for path in files for found in (dropped(path) if path.is_dir() else (path,))]
    paths = named if files else dropped(where.returned)
    contents = [(_shown(path, folder), read_bytes(path, MOST_BYTES + 1)) for path in paths]

    def received(file: tuple[str, bytes]) -> "ReceivedFile":
        from tourney.record.collecting import ReceivedFile

        name, content = file
        opened = open_returned(content)
        day = planned.result()
        said = read_returned(name, opened, day.plan, day.roster.contestant)
        return ReceivedFile(name, content, said.readings, said.totals)

    with ThreadPoolExecutor(AT_ONCE + 2) as team:  # files are opened while the day and one before them are read
        planned = team.submit(_read_day, folder)
        arrived = list(team.map(received, contents))
        day = planned.result()
    from tourney.day.next_finals import needless_heats
    from tourney.model.decisions import minutes_behind
    from tourney.model.sheet_layout import sheet_code
    from tourney.model.totals import in_full
    from tourney.record.collecting import collecting
    from tourney.record.journal import Journal
    from tourney.record.state import counting_totals
    from tourney.scoring.open_matters import keeps_provisional

    collected = collecting(day.state, arrived)
    if collected.entries:
        with Journal.open(where.record(day.plan.event)) as journal:
            journal.append_all(collected.entries, at=now, files=collected.files)
    there = {sheet.code for sheet in day.state.sheets}
    there |= {sheet.code for sheet in collected.sheets if sheet.sheet_read is not None}
    there |= day.state.decisions.lost
    totals, differing = counting_totals((*day.state.every_total, *collected.totals), day.plan)
    known_by_totals = in_full(day.plan, dict.fromkeys(totals))
    needless = known_by_totals.keys() | (needless_heats(day) if day.finals else set())
    heats = (heat for heat in day.plan.heats if heat.id not in needless)
    wanted = (sheet_code(heat.id, judge) for heat in heats for judge in range(1, len(heat.judges) + 1))
    missing = tuple(code for code in wanted if code not in there)
    return Taken(
        collected,
        missing,
        minutes_behind(day.plan, day.state.decisions.started),
        tuple(f"{matter.heat}: {matter.what}" for matter in differing if keeps_provisional(matter)),
        bool(day.finals),
    )


def _read_day(folder: Path) -> "PlannedDay":
    from tourney.day.state import read_day  # the database takes long to load

    return read_day(folder)


def dropped(returned: Path) -> list[Path]:
    """Files in the folder for filled sheets; lock files of open workbooks are passed over."""
    try:
        found = sorted(path for path in returned.rglob("*") if path.is_file())
    except OSError as reason:
        raise FileTrouble(f"{returned} can't be read: {reason.strerror}.") from reason
    return [path for path in found if not path.name.startswith(OF_PROGRAMS) and path.name.casefold() not in OF_SYSTEMS]


def _shown(path: Path, folder: Path) -> str:
    """A file's name for people: from the event folder on where it lies inside."""
    return path.relative_to(folder).as_posix() if path.is_relative_to(folder) else path.as_posix()
