"""Filled score sheets collected into the record, beside calamine alone on the same files.

python -m tests.benchmarks.collecting [FOLDER], in the checkout, writes collecting.md beside this file. FOLDER keeps the
sheets, so that another run need not make them.
python -m tests.benchmarks.collecting fill FOLDER SHEETS | collect FOLDER SHEETS | bare FOLDER runs one of the pieces.
"""

import shutil
import sys
from collections.abc import Iterator
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path
from tempfile import TemporaryDirectory

from tests.benchmarks.whole_process import HERE, Case, Row, machine, measure, run

SMALL, LARGE = 500, 12_000  # sheets
EVENT_SHEETS = 216  # of the sample day: 72 heats of three judges


def fill_folder(folder: Path, sheets: int) -> None:
    """The sample day as often as needed, each heat under a number of its own; its filled workbooks in returned/."""
    from tourney.draw import Draw
    from tourney.intake.folder import read_folder
    from tourney.model.calls import CallBook
    from tourney.papers.fill import fill_workbook
    from tourney.papers.score_sheets import write_score_sheets
    from tourney.planning.plan import plan_day
    from tourney.planning.roster import enrol
    from tourney.record.collecting import plan_entry
    from tourney.record.folder import write_book, write_plan
    from tourney.record.journal import Journal
    from tourney.resources import sample_events
    from tourney.simulation.rehearsal import simulate

    handed = read_folder(sample_events() / "lantern_coast")
    assert handed.event
    roster = enrol(handed.teams, handed.officials, handed.event, None)
    plan, book = plan_day(handed.event, roster, handed.syllabus, "benchmark", "")
    judges = len(plan.heats[0].judges)
    heats = [
        replace(heat, id=f"{heat.id}-{copy}") for copy in range(sheets // len(plan.heats) + 1) for heat in plan.heats
    ]
    plan = replace(plan, heats=tuple(heats[: -(-sheets // judges)]))
    book = CallBook(book.sets)
    write_plan(folder, plan)
    write_book(folder, book)
    with Journal.open(folder / "record.sqlite") as journal:
        journal.append_all([plan_entry(plan, roster, book)], at=datetime.now(UTC))
    by_room: dict[str, list[str]] = {}
    for heat in plan.heats:
        by_room.setdefault(heat.room, []).append(heat.id)
    chunks = list(_chunks(by_room, 96 // judges))  # a room's sheets of a long day
    for number, chunk in enumerate(chunks):
        part = replace(plan, heats=tuple(plan.heat[heat] for heat in chunk))
        (path,) = write_score_sheets(folder / "written", part, book, roster)
        entries = {played.code: played for played in simulate(part, book, roster, Draw(str(number))).entries}
        fill_workbook(path, folder / "returned" / f"{number}.xlsx", entries)
        path.unlink()


def _chunks(by_room: dict[str, list[str]], size: int) -> Iterator[list[str]]:
    for heats in by_room.values():
        for start in range(0, len(heats), size):
            yield heats[start : start + size]


def collect(folder: Path, sheets: int) -> None:
    """Take all of returned/ into the record, and check that every sheet was taken."""
    from tourney.day.collect import collect as take

    taken = take(folder, (), datetime.now(UTC)).collected
    found = taken.count("accepted") + taken.count("noted") + taken.count("same")
    assert found >= 0.98 * sheets, f"{found} of {sheets}"


def bare(folder: Path) -> None:
    """The same files read with calamine, and nothing done with what is in them."""
    from python_calamine import CalamineWorkbook

    for path in sorted((folder / "returned").glob("*.xlsx")):
        book = CalamineWorkbook.from_path(path)
        assert all(book.get_sheet_by_name(name).to_python() for name in book.sheet_names)


def rows(folder: Path, sheets: int, times: int, seconds: float, megabytes: float | None) -> list[Row]:
    """Collect and the bare reading of so many sheets, in turns. The record is put back before each collecting."""
    module = [sys.executable, "-m", "tests.benchmarks.collecting"]
    record, planned = folder / "record.sqlite", folder / "planned.sqlite"
    if not planned.exists():
        run([*module, "fill", str(folder), str(sheets)])  # by itself: what starts the others stays small
        shutil.copyfile(record, planned)

    def again() -> list[str]:
        for path in folder.glob("record.sqlite*"):
            path.unlink()
        shutil.copyfile(planned, record)
        return [*module, "collect", str(folder), str(sheets)]

    return measure(
        times,
        Case(f"{sheets} filled sheets collected into the record", again, seconds, megabytes),
        Case(f"peer: calamine alone on the same {sheets} sheets", lambda: [*module, "bare", str(folder)]),
    )


def main(kept: str | None) -> int:
    """Measure, write the table, say whether every target is met. kept: where filled sheets stay, None to drop them."""
    measured: list[Row] = []
    limits = {SMALL: (3, 1.5, None), LARGE: (1, 40, 500)}
    with TemporaryDirectory() as dropped:
        for sheets, limit in limits.items():
            folder = Path(kept or dropped) / str(sheets)
            folder.mkdir(parents=True, exist_ok=True)
            measured += rows(folder, sheets, *limit)
    lines = [
        "# Collecting",
        "",
        f"{machine()}; {datetime.now(UTC):%Y-%m-%d}. Written by `python -m tests.benchmarks.collecting`.",
        "Whole processes, the start of Python and of the reading process included; medians. "
        "Peak memory: of the largest process, the most of any run.",
        "",
        "| what | runs | wall | of one core | peak memory | target | met |",
        "|---|---:|---:|---:|---:|---:|---|",
        *map(line_of, measured),
    ]
    (HERE / "collecting.md").write_text("\n".join(lines) + "\n", encoding="utf-8")
    print("\n".join(lines))
    return 0 if all(row.met for row in measured) else 1


def line_of(row: Row) -> str:
    """A measurement as a row of the table."""
    wanted = [f"{row.case.seconds} s"] if row.case.seconds else []
    wanted += [f"{row.case.megabytes} MB"] if row.case.megabytes else []
    core = sorted(run.core for run in row.runs)[len(row.runs) // 2]
    return (
        f"| {row.case.name} | {len(row.runs)} | {row.seconds:.2f} s | {core:.2f} s | {row.megabytes:.0f} MB "
        f"| {', '.join(wanted)} | {('yes' if row.met else '**no**') if wanted else ''} |"
    )


if __name__ == "__main__":
    if sys.argv[1:2] == ["collect"]:
        collect(Path(sys.argv[2]), int(sys.argv[3]))
    elif sys.argv[1:2] == ["fill"]:
        fill_folder(Path(sys.argv[2]), int(sys.argv[3]))
    elif sys.argv[1:2] == ["bare"]:
        bare(Path(sys.argv[2]))
    else:
        sys.exit(main(sys.argv[1] if len(sys.argv) > 1 else None))
