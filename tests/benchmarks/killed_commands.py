"""Whole `tourney collect` and `tourney rule` processes, each ended by SIGKILL at a random moment of its life.

What a command said it had done is looked for afterwards; what it had not said is there whole or not at all; and the
folder is used as it was left.
"""

import hashlib
import json
import random
import subprocess
import sys
import time
from collections.abc import Sequence
from contextlib import suppress
from datetime import UTC, datetime
from pathlib import Path
from statistics import median
from typing import NamedTuple

from tourney.day.collect import collect
from tourney.day.results import results
from tourney.day.state import PlannedDay, read_day
from tourney.model.sheet import SheetEntries
from tourney.model.sheet_layout import TICK, sheet_code
from tourney.papers.fill import fill_workbook
from tourney.papers.heat_copy import write_heat_copy

PAST = 1.1  # moments are drawn from the usual length of the command, and a little beyond
USUAL = 5  # runs by which that length is found


class Tried(NamedTuple):
    """What became of so many attempts. acknowledged: what was said to be done."""

    tried: int
    acknowledged: int
    lost: int


class Bench:
    """An event folder, and the commands that are given there."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        day = read_day(folder)
        self.heat = day.plan.heats[0]
        self.calls = [call.no for call in day.called.set[self.heat.call_set].calls]
        write_heat_copy(folder, day.plan, day.book, day.roster, self.heat.id)
        self._sheets = folder / "papers" / "judges" / "heats" / f"{self.heat.id}.xlsx"

    def filled(self, number: int) -> Path:
        """A workbook of all sheets of a heat, like no other: its number stands in the initials."""
        chance = random.Random(number)
        ticked = dict.fromkeys(self.calls, TICK)
        codes = [sheet_code(self.heat.id, judge) for judge in range(1, len(self.heat.judges) + 1)]
        path = self.folder / "returned" / f"kill {number}.xlsx"
        cells = {(1, chance.choice(self.calls)): "L"}
        fill_workbook(self._sheets, path, {code: SheetEntries(code, cells, ticked, f"K{number}") for code in codes})
        return path

    def command(self, number: int) -> list[str]:
        """Collecting and ruling in turns."""
        tourney = [sys.executable, "-m", "tourney"]
        if number % 2:
            return [*tourney, "collect", str(self.folder), str(self.filled(number)), "--json"]
        where = ["--line", "1", "--call", str(self.calls[number % len(self.calls)]), "--to", "LW"[number % 4 // 2]]
        given = ["--by", "the benchmark", "--why", _why(number), "--override", "--json"]
        return [*tourney, "rule", str(self.folder), "settle", self.heat.id, *where, *given]

    def rows_of(self, day: PlannedDay, number: int) -> int:
        """Rows that the record has from a command."""
        if number % 2:
            content = (self.folder / "returned" / f"kill {number}.xlsx").read_bytes()
            wanted = hashlib.sha256(content).hexdigest()
            return sum(row.kind == "sheet" and row.body["file"]["sha256"] == wanted for row in day.rows)
        return sum(row.why.startswith(_why(number)) for row in day.rows)

    def verify(self) -> None:
        """CalledProcessError when the folder is not sound."""
        run_to_end([sys.executable, "-m", "tourney", "verify", str(self.folder)])

    @property
    def whole(self) -> dict[int, int]:
        """Rows that a command leaves when it is done, by the command's turn."""
        return {1: len(self.heat.judges), 0: 1}


def _why(number: int) -> str:
    return f"moment {number:04},"


def killed_commands(folder: Path, name: str, kills: int) -> Tried:
    """End so many commands by SIGKILL. name: seeds the moments."""
    bench, chance = Bench(folder), random.Random(f"commands {name}")
    usual = usual_seconds(bench)
    acknowledged = lost = 0
    for number in range(1, kills + 1):
        done = said_done(_killed(bench.command(number), chance.uniform(0, PAST * usual[number % 2])))
        acknowledged += done
        found, whole = bench.rows_of(read_day(folder), number), bench.whole[number % 2]
        lost += found not in ((whole,) if done else (0, whole))
        if number % 2:
            collect(folder, (folder / "returned" / f"kill {number}.xlsx",), datetime.now(UTC))
            lost += bench.rows_of(read_day(folder), number) != whole
        if number % 20 == 0:
            results(folder, datetime.now(UTC))
            bench.verify()
    return Tried(kills, acknowledged, lost)


def usual_seconds(bench: Bench) -> list[float]:
    """How long ruling and collecting take when nothing happens to them."""
    return [_usual(bench, range(turn, -2 * USUAL, -2)) for turn in (0, -1)]


def _usual(bench: Bench, numbers: Sequence[int]) -> float:
    taken = []
    for number in numbers:
        command = bench.command(number)
        began = time.perf_counter()
        run_to_end(command)
        taken.append(time.perf_counter() - began)
    return median(taken)


def run_to_end(command: list[str]) -> None:
    """Run a command that must succeed."""
    subprocess.run(command, check=True, capture_output=True)


def started(command: list[str]) -> "subprocess.Popen[bytes]":
    """A command that goes on by itself, what it says held back."""
    return subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL)


def _killed(command: list[str], after: float) -> bytes:
    """What the command had said when it was ended, so many seconds after its start."""
    with started(command) as process:
        with suppress(subprocess.TimeoutExpired):
            process.wait(after)
        process.kill()
        return process.communicate()[0]


def said_done(out: bytes) -> bool:
    """Whether a command said that it had collected or ruled."""
    with suppress(ValueError):
        return str(json.loads(out)["format"]) in ("tourney-collect/1", "tourney-ruling/1")
    return False
