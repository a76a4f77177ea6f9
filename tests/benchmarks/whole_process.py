"""Whole commands, from start to exit: median wall time and peak memory, each beside a peer in the same run.

python tests/benchmarks/whole_process.py writes results.md beside this file and returns 1 when a target is missed.
For systems that have os.wait4, such as Linux and macOS. This process loads nothing heavy: what a parent holds in memory
would count as its child's.
"""

import os
import platform
import shutil
import subprocess
import sys
from collections.abc import Callable
from datetime import UTC, datetime
from itertools import count
from pathlib import Path
from statistics import median
from tempfile import TemporaryDirectory, TemporaryFile
from time import perf_counter
from typing import NamedTuple

HERE = Path(__file__).parent
ROOT = HERE.parents[1]
SAMPLE = "sample_events/lantern_coast"
SHEETS = 216  # of that day: 72 heats with three judges each
BYTES = 1 if sys.platform == "darwin" else 1024  # the unit of ru_maxrss


class Run(NamedTuple):
    """One process and those it started: wall seconds, seconds of one core, and peak megabytes (10^6 bytes)."""

    seconds: float
    core: float
    megabytes: float


class Case(NamedTuple):
    """What is measured: a command made anew for each run, and what it may take at most."""

    name: str
    command: Callable[[], list[str]]
    seconds: float | None = None
    megabytes: float | None = None


class Row(NamedTuple):
    """A case with its runs."""

    case: Case
    runs: list[Run]

    @property
    def seconds(self) -> float:
        """Median over the runs."""
        return median(run.seconds for run in self.runs)

    @property
    def megabytes(self) -> float:
        """The most of any run."""
        return max(run.megabytes for run in self.runs)

    @property
    def met(self) -> bool:
        """Are both targets met, by the median and by the largest peak."""
        return self.seconds < (self.case.seconds or 1e9) and self.megabytes < (self.case.megabytes or 1e9)


def run(command: list[str]) -> Run:
    """Run a command to its end. SystemExit with its last words when it fails."""
    with TemporaryFile() as words:
        began = perf_counter()
        process = subprocess.Popen(command, cwd=ROOT, stdout=subprocess.DEVNULL, stderr=words)
        _, status, usage = os.wait4(process.pid, 0)
        seconds = perf_counter() - began
        process.returncode = os.waitstatus_to_exitcode(status)
        if process.returncode:
            words.seek(0)
            said = words.read().decode(errors="replace")[-2000:]
            raise SystemExit(f"{' '.join(command)} returned {process.returncode}\n{said}")
    return Run(seconds, usage.ru_utime + usage.ru_stime, usage.ru_maxrss * BYTES / 1e6)


def measure(times: int, *cases: Case) -> list[Row]:
    """Run cases in turns, so that a busy moment hits all; the first turn only warms the disk and is dropped."""
    rows = [Row(case, []) for case in cases]
    for turn in range(times + 1):
        for row in rows:
            taken = run(row.case.command())
            if turn:
                row.runs.append(taken)
            print(f"{row.case.name}: {taken.seconds:.3f} s, {taken.megabytes:.0f} MB", file=sys.stderr)
    return rows


def rows(into: Path) -> list[Row]:
    """All measurements. into: an empty folder for what the rehearsals write."""
    python = sys.executable
    script = Path(python).with_name("tourney")
    tourney = [str(script)] if script.exists() else [python, "-m", "tourney"]
    peers = [python, str(HERE / "peers.py")]
    number = count()
    copy = str(into / "copy")  # `check` writes the folder's secret: not into the sample itself
    shutil.copytree(ROOT / SAMPLE, copy)
    return [
        *measure(
            15,
            Case("`tourney --help`", lambda: [*tourney, "--help"], 0.2),
            Case("peer: `python -c pass`", lambda: [python, "-c", "pass"]),
        ),
        *measure(
            7,
            Case(f"`tourney check {SAMPLE}`", lambda: [*tourney, "check", copy], 1.5),
            Case("peer: the same files read with openpyxl and csv", lambda: [*peers, "read", copy]),
        ),
        *measure(
            3,
            Case(
                f"`tourney rehearse {SAMPLE} --into DIR`",
                lambda: [*tourney, "rehearse", SAMPLE, "--into", str(into / f"day {next(number)}")],
                20,
                400,
            ),
            Case(
                f"peer: {SHEETS} plain sheets written with XlsxWriter, read with calamine",
                lambda: [*peers, "sheets", str(SHEETS)],
            ),
        ),
    ]


def machine() -> str:
    """What it ran on, in one line."""
    return (
        f"{platform.system()} {platform.machine()}, {os.cpu_count()} cores, "
        f"{platform.python_implementation()} {platform.python_version()}"
    )


def table(measured: list[Row]) -> str:
    """The measurements as Markdown."""
    lines = [
        "# Whole commands",
        "",
        f"{machine()}; {datetime.now(UTC):%Y-%m-%d}. Written by `python tests/benchmarks/whole_process.py`.",
        "Wall time from start to exit and seconds of one core: medians of the runs. Peak memory: the most of any run.",
        "",
        "| whole process | runs | median | slowest | of one core | peak memory | target | met |",
        "|---|---:|---:|---:|---:|---:|---:|---|",
    ]
    for row in measured:
        limits = [f"{row.case.seconds} s"] if row.case.seconds else []
        limits += [f"{row.case.megabytes} MB"] if row.case.megabytes else []
        slowest = max(run.seconds for run in row.runs)
        core = median(run.core for run in row.runs)
        lines.append(
            f"| {row.case.name} | {len(row.runs)} | {row.seconds:.3f} s | {slowest:.3f} s | {core:.3f} s "
            f"| {row.megabytes:.0f} MB | {', '.join(limits)} | {('yes' if row.met else '**no**') if limits else ''} |"
        )
    return "\n".join(lines) + "\n"


def main() -> int:
    """Measure, write the table, say whether every target is met."""
    with TemporaryDirectory() as into:
        measured = rows(Path(into))
    (HERE / "results.md").write_text(table(measured), encoding="utf-8")
    print(table(measured))
    return 0 if all(row.met for row in measured) else 1


if __name__ == "__main__":
    sys.exit(main())
