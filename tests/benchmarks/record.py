"""What the record survives: kills, a full disk, a read-only folder, two desks at once. Writes record.md.

python -m tests.benchmarks.record [STORE] [PART ...] returns 1 when anything was lost. STORE: SQLite, PostgreSQL; PART:
disks, commands, kills, desks. Rows of what was not asked for stay as they are. For Linux; the full disk and the
read-only folder need the right to mount (root), PostgreSQL its programs: what is missing here is said in the table.
A kill is SIGKILL at a random moment: to whole commands, and to a process that writes without pause; that one is forked,
so that all moments fall into writing. The numbers are drawn from one seed, what they hit depends on the machine.
"""

import importlib.util
import os
import platform
import random
import shutil
import signal
import sys
import time
from collections.abc import Callable, Collection, Iterator
from contextlib import contextmanager
from datetime import UTC, datetime
from functools import partial
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import NamedTuple

from sqlalchemy import create_engine

from tests.benchmarks.bad_disks import FULL, READ_ONLY, commands_on_bad_disk, record_on_bad_disk
from tests.benchmarks.killed_commands import killed_commands
from tourney.day.rehearse import rehearse
from tourney.day.results import results
from tourney.day.state import read_day
from tourney.model.ruling import SettleCall
from tourney.record.journal import Journal
from tourney.record.row import Entry
from tourney.record.rulings import ruling_entry
from tourney.resources import sample_events
from tourney.verify.record import check_record

HERE = Path(__file__).parent
LONGEST = 0.12  # seconds before a kill, at most
FILE = bytes(range(256)) * 400  # a received workbook of 100 kB
KILLS, RULINGS = 200, 2000
STORES = ("SQLite", "PostgreSQL")
PARTS = ("disks", "commands", "kills", "desks")
TABLE = HERE / "record.md"
COMMANDS = "whole `tourney collect` and `tourney rule` commands"

Store = Path | str


class Line(NamedTuple):
    """A row of the table. lost: None where it could not be tried here."""

    what: str
    store: str
    tried: int
    acknowledged: int
    lost: int | None


NOT_TRIED = (0, 0, None)  # of a Line


def writes(store: Store, count: int | None, mark: str, *, files: bool) -> None:
    """Write sheets with their files and rulings in turn, and say on standard output what was acknowledged."""
    number = 0
    with Journal.open(store) as journal:
        while count is None or number < count:
            number += 1
            now = datetime.now(UTC)
            if files and number % 2:
                content = f"{mark} {number}".encode() + FILE
                rows = journal.append_all([Entry("note", {"mark": mark, "n": number})], at=now, files=[content])
            else:
                ruling = SettleCall("O-R1-1", 1, 1 + number % 8, ("L",) if number % 3 else ())
                rows = journal.append_all([ruling_entry(ruling, mark, f"slip {number}")], at=now)
            os.write(1, f"{rows[0]}\n".encode())


def forked(work: Callable[[], None]) -> tuple[int, int]:
    """A process of our own doing `work`: its id, and where it writes."""
    reading, writing = os.pipe()
    child = os.fork()
    if child:
        os.close(writing)
        return child, reading
    os.dup2(writing, 1)
    try:
        work()
    finally:
        os._exit(0)


def said(reading: int, first: bytes = b"") -> list[int]:
    """The whole lines that a process wrote; first: what of it was read already."""
    with os.fdopen(reading, "rb") as pipe:
        text = first + pipe.read()
    return [int(line) for line in text.split(b"\n")[:-1]]


def lost_of(store: Store, acknowledged: Collection[int]) -> int:
    """Acknowledged rows that are not there, or 1 where the record is not sound."""
    with Journal.open(store) as journal:
        stored = journal.stored()
        sound = all(line.ok for line in check_record(stored, "", journal.kept_file, purged=False))
    return len(set(acknowledged) - {row.seq for row in stored}) + (not sound)


def killed(folder: Path, store: Store, name: str, kills: int) -> Line:
    """Kill a writer again and again; after each kill the record is checked and the day is read."""
    chance = random.Random(f"record {name}")
    acknowledged: set[int] = set()
    lost = 0
    for number in range(kills):
        child, reading = forked(partial(writes, store, None, f"kill {number}", files=True))
        first = os.read(reading, 100)
        time.sleep(chance.uniform(0, LONGEST))
        os.kill(child, signal.SIGKILL)
        os.waitpid(child, 0)
        acknowledged |= set(said(reading, first))
        read_day(folder)
        if number % 20 == 19 or number == kills - 1:
            lost += lost_of(store, acknowledged)
            results(folder, datetime.now(UTC))
    return Line("kill -9 while received files and rulings are written", name, kills, len(acknowledged), lost)


def two_desks(store: Store, name: str, rulings: int) -> Line:
    """Two processes write rulings as fast as they can."""
    with Journal.open(store) as journal:
        before = len(journal.stored())
    both = [forked(partial(writes, store, rulings, mark, files=False)) for mark in ("first desk", "second desk")]
    acknowledged = [said(reading) for _, reading in both]
    for child, _ in both:
        os.waitpid(child, 0)
    with Journal.open(store) as journal:
        rows = journal.rows()[before:]
    lost = (
        2 * rulings - len({*acknowledged[0], *acknowledged[1]}) + lost_of(store, {*acknowledged[0], *acknowledged[1]})
    )
    for mark in ("first desk", "second desk"):
        wanted = [f"slip {number}" for number in range(1, rulings + 1)]
        lost += [row.why for row in rows if row.by == mark] != wanted
    return Line("two desks at once, order kept", name, 2 * rulings, sum(map(len, acknowledged)), lost)


@contextmanager
def postgresql() -> Iterator[str | None]:
    """The server that the tests start, with a database for the day; None where there is none."""
    spec = importlib.util.spec_from_file_location("record_conftest", HERE.parent / "record" / "conftest.py")
    assert spec is not None and spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    if module.postgresql_programs() is None:
        yield None
        return
    with module.running_server("-c", "fsync=on") as address:
        engine = create_engine(address.format("postgres"), isolation_level="AUTOCOMMIT")
        with engine.connect() as connection:
            connection.exec_driver_sql("CREATE DATABASE day")
        engine.dispose()
        yield address.format("day")


def played(into: Path, address: str | None) -> Path:
    """A rehearsed small day, its record in a file or on a server."""
    source = Path(shutil.copytree(sample_events() / "small_hall", into / "source"))
    if address:
        settings = source / "event.toml"
        text = settings.read_text(encoding="utf-8").replace("[day]\n", f'[day]\nrecord = "{address}"\n')
        settings.write_text(text, encoding="utf-8")
    rehearse(source, into / "day", lambda _: None)
    return into / "day"


def tried(here: Path, name: str, store: str | None, wanted: Collection[str]) -> Iterator[Line]:
    """What one kind of store has to survive. store: the server's address, None for a file. wanted: of PARTS."""
    here.mkdir()
    day = played(here, store)
    where = store or day / "record.sqlite"
    if store is None and "disks" in wanted:
        for what in (FULL, READ_ONLY):
            written = record_on_bad_disk(day, here / what, what, lost_of)
            yield Line(f"{what} while received files are written", name, *(written or NOT_TRIED))
            commands = commands_on_bad_disk(day, here / f"{what}, commands", what)
            yield Line(f"{what} at a moment of {COMMANDS}", name, *(commands or NOT_TRIED))
    if "commands" in wanted:
        yield Line(f"kill -9 of {COMMANDS}", name, *killed_commands(day, name, KILLS))
    if "kills" in wanted:
        yield killed(day, where, name, KILLS)
    if "desks" in wanted:
        yield two_desks(where, name, RULINGS)


def row(line: Line) -> str:
    """A line as Markdown."""
    found = "not tried here" if line.lost is None else str(line.lost)
    return f"| {line.what} | {line.store} | {line.tried:,} | {line.acknowledged:,} | {found} |"


def with_rows(new: list[str]) -> str:
    """The table with these rows, each in the place of an earlier one of the same matter and store."""
    text = TABLE.read_text(encoding="utf-8") if TABLE.exists() else ""
    rows = {tuple(line.split(" | ")[:2]): line for line in text.splitlines() if line.endswith(" |")}
    rows |= {tuple(line.split(" | ")[:2]): line for line in new}
    machine = f"{platform.machine()}, {os.cpu_count()} cores, Python {platform.python_version()}"
    head = f"# What the record survives\n\nMeasured {datetime.now(UTC):%Y-%m-%d} on {machine}.\n\n"
    columns = ["| what | record in | times | acknowledged | lost or broken |", "|---|---|---:|---:|---:|"]
    found = sorted(line for line in rows.values() if line not in columns)
    return head + "\n".join([*columns, *found]) + "\n"


def main(*words: str) -> int:
    """Try what is asked for, or everything, and write it into the table; 1 when anything was lost."""
    stores = [word for word in words if word in STORES] or STORES
    wanted = [word for word in words if word in PARTS] or PARTS
    lines: list[Line] = []
    with TemporaryDirectory() as work, postgresql() as address:
        for name in stores:
            store = address if name == "PostgreSQL" else None
            if name == "PostgreSQL" and store is None:
                lines.append(Line("kill -9 and two desks", name, 0, 0, None))
                continue
            for line in tried(Path(work) / name, name, store, wanted):
                lines.append(line)
                print(row(line), flush=True)
    TABLE.write_text(with_rows([row(line) for line in lines]), encoding="utf-8")
    return int(any(line.lost for line in lines))


if __name__ == "__main__":
    sys.exit(main(*sys.argv[1:]))
