"""A disk that fills up, and a folder that may no longer be written: the record itself, and whole commands.

Both are tried on a small disk in memory that is mounted for it, so Linux and the right to mount (root) are needed. A
file that is open for writing can't be made read-only by the system; the attempt is repeated until the file is closed.
"""

import random
import shutil
import subprocess
import time
from collections.abc import Callable, Collection, Iterator
from contextlib import contextmanager, suppress
from datetime import UTC, datetime
from pathlib import Path
from typing import NamedTuple

from tests.benchmarks.killed_commands import Bench, Tried, run_to_end, said_done, started, usual_seconds
from tourney.day.results import results
from tourney.day.state import read_day
from tourney.errors import FileTrouble
from tourney.record.journal import Journal
from tourney.record.row import Entry

MOMENTS = 20
FULL, READ_ONLY = "full disk", "read-only folder"
SIZE = "16M"
FREE = 4096, 60_000  # bytes left on a full disk, at the least and at the most: a row fits, a workbook does not always
CONTENT = bytes(range(256)) * 160  # a received workbook of 40 kB

LostOf = Callable[[Path, Collection[int]], int]


class Disk(NamedTuple):
    """A small disk that is mounted at a folder."""

    mounted: Path

    def spoil(self, what: str, chance: random.Random) -> bool:
        """Fill it up to a few bytes, or make it read-only; whether the system allowed that."""
        if what == READ_ONLY:
            return not subprocess.run(self._remount("ro"), check=False, capture_output=True).returncode
        free = max(0, shutil.disk_usage(self.mounted).free - chance.randrange(*FREE))
        with suppress(OSError), self._ballast.open("wb") as file:  # others may take the room first
            file.write(bytes(free))
        return True

    def mend(self) -> None:
        """Make it writable and roomy again."""
        subprocess.run(self._remount("rw"), check=True)
        self._ballast.unlink(missing_ok=True)

    @property
    def _ballast(self) -> Path:
        return self.mounted / "ballast"

    def _remount(self, how: str) -> list[str]:
        return ["mount", "-o", f"remount,{how}", str(self.mounted)]


@contextmanager
def day_on_small_disk(day: Path, into: Path) -> Iterator[tuple[Disk, Path] | None]:
    """A small disk with a copy of a day on it, and where the copy lies; None where mounting is not allowed."""
    into.mkdir()
    made = subprocess.run(
        ["mount", "-t", "tmpfs", "-o", f"size={SIZE}", "tmpfs", into], check=False, capture_output=True
    )
    if made.returncode:
        yield None
        return
    try:
        left_out = shutil.ignore_patterns("papers", "returned", "entries")
        yield Disk(into), Path(shutil.copytree(day, into / "day", ignore=left_out))
    finally:
        subprocess.run(["umount", into], check=True)


def record_on_bad_disk(day: Path, into: Path, what: str, lost_of: LostOf) -> Tried | None:
    """At random moments the disk is spoilt while the record is written; then it is mended and the day goes on."""
    chance = random.Random(f"record {what}")
    with day_on_small_disk(day, into) as there:
        if there is None:
            return None
        disk, folder = there
        store = folder / "record.sqlite"
        acknowledged: set[int] = set()
        lost = 0
        for number in range(MOMENTS):
            with Journal.open(store) as journal:
                before = journal.stored()[-1].seq
            disk.spoil(what, chance)
            refused = 0
            for n in range(3):
                with suppress(FileTrouble), Journal.open(store) as journal:
                    content, now = f"{number} {n}".encode() + CONTENT, datetime.now(UTC)
                    acknowledged |= {*journal.append_all([Entry("note", {"n": n})], at=now, files=[content])}
                    continue
                refused += 1
            lost += not refused
            if what == READ_ONLY:
                read_day(folder)  # an archived day can still be looked at
            disk.mend()
            lost += lost_of(store, acknowledged)
            with Journal.open(store) as journal:
                acknowledged.add(journal.append("note", {"after": number}, at=datetime.now(UTC)))
                lost += journal.stored()[-1].seq <= before
            read_day(folder)
        return Tried(MOMENTS, len(acknowledged), lost + lost_of(store, acknowledged))


def commands_on_bad_disk(day: Path, into: Path, what: str) -> Tried | None:
    """`tourney collect` and `tourney rule` in turns; at a random moment of each, its disk is spoilt.

    What a command said it had done is there; what it had not said is there whole or not at all, it has said why in a
    sentence, and once the disk is mended the same line does it.
    """
    chance = random.Random(f"commands {what}")
    with day_on_small_disk(day, into) as there:
        if there is None:
            return None
        disk, folder = there
        bench = Bench(folder)
        usual = usual_seconds(bench)
        acknowledged = lost = 0
        for number in range(1, MOMENTS + 1):
            command = bench.command(number)
            with started(command) as process:
                time.sleep(chance.uniform(0, usual[number % 2]))
                while not disk.spoil(what, chance) and process.poll() is None:
                    time.sleep(0.001)
                out = process.communicate()[0]
            disk.mend()
            done = said_done(out)
            acknowledged += done
            found, whole = bench.rows_of(read_day(folder), number), bench.whole[number % 2]
            lost += found not in ((whole,) if done else (0, whole))
            lost += not done and (process.returncode != 1 or b"tourney-stopped/1" not in out)
            if not found:
                run_to_end(command)
                lost += bench.rows_of(read_day(folder), number) != whole
            results(folder, datetime.now(UTC))
        assert acknowledged < MOMENTS, "no moment was hit: nothing was tried"
        bench.verify()
        return Tried(MOMENTS, acknowledged, lost)
