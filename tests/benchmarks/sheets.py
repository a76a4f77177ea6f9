"""Score sheets per second, written and read, beside plain sheets of the same cells in the same run.

python -m tests.benchmarks.sheets, in the checkout, writes sheets.md beside this file.
"""

from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path
from statistics import median
from tempfile import TemporaryDirectory
from time import perf_counter, process_time
from typing import NamedTuple

from tests.benchmarks.peers import read_sheets, write_sheets
from tests.benchmarks.whole_process import HERE, machine
from tourney.draw import Draw
from tourney.intake.folder import read_folder
from tourney.intake.score_sheets import read_score_sheets
from tourney.papers.fill import fill_workbook
from tourney.papers.score_sheets import write_score_sheets
from tourney.planning.plan import plan_day
from tourney.planning.roster import enrol
from tourney.resources import sample_events
from tourney.simulation.rehearsal import simulate

TIMES = 5


class Taken(NamedTuple):
    """Seconds that a piece of work took: by the clock on the wall, and of one core."""

    wall: float
    core: float


def taken(work: Callable[[Path], object]) -> Taken:
    """Medians over the runs, each in an empty folder."""
    runs = []
    for _ in range(TIMES):
        with TemporaryDirectory() as folder:
            began = Taken(perf_counter(), process_time())
            work(Path(folder))
            runs.append(Taken(perf_counter() - began.wall, process_time() - began.core))
    return Taken(median(run.wall for run in runs), median(run.core for run in runs))


def main() -> None:
    """Plan the sample day once, then write and read its sheets."""
    handed = read_folder(sample_events() / "lantern_coast")
    assert handed.event
    roster = enrol(handed.teams, handed.officials, handed.event, None)
    plan, book = plan_day(handed.event, roster, handed.syllabus, "benchmark", "")
    sheets = sum(len(heat.judges) for heat in plan.heats)
    with TemporaryDirectory() as ours, TemporaryDirectory() as plain:
        entries = {sheet.code: sheet for sheet in simulate(plan, book, roster, Draw("benchmark")).entries}
        for path in write_score_sheets(Path(ours), plan, book, roster):
            fill_workbook(path, path, entries)
        files = [(path.name, path.read_bytes()) for path in sorted(Path(ours).iterdir())]
        write_sheets(Path(plain), sheets)
        measured = {
            "score sheets written": taken(lambda folder: write_score_sheets(folder, plan, book, roster)),
            "peer: plain sheets, XlsxWriter": taken(lambda folder: write_sheets(folder, sheets)),
            "filled score sheets read": taken(lambda _: [read_score_sheets(*file, plan) for file in files]),
            "peer: the plain sheets, calamine": taken(lambda _: read_sheets(Path(plain))),
        }
    lines = [
        "# Score sheets",
        "",
        f"{machine()}; {datetime.now(UTC):%Y-%m-%d}. Written by `python -m tests.benchmarks.sheets`: "
        f"{sheets} sheets, median of {TIMES} runs.",
        "",
        "| in one process | wall | of one core | sheets a second of one core |",
        "|---|---:|---:|---:|",
        *(
            f"| {what} | {took.wall:.3f} s | {took.core:.3f} s | {sheets / took.core:.0f} |"
            for what, took in measured.items()
        ),
    ]
    (HERE / "sheets.md").write_text("\n".join(lines) + "\n", encoding="utf-8")
    print("\n".join(lines))


if __name__ == "__main__":
    main()
