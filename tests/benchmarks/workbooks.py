"""Score sheets and results: what writing and reading them takes, beside libraries that do the same work.

python -m tests.benchmarks.workbooks, in the checkout, writes workbooks.md beside this file and returns 1 when a target
is missed. For systems that have os.wait4, such as Linux and macOS.
"""

import sys
from collections.abc import Callable
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from statistics import median
from tempfile import TemporaryDirectory
from time import perf_counter, process_time
from typing import NamedTuple

from tests.benchmarks.peers import read_sheets, write_sheets
from tests.benchmarks.same_sheets import pages_of, write_pages
from tests.benchmarks.whole_process import HERE, Run, machine, run
from tourney.canon.syllabus import built_in
from tourney.draw import Draw, digest
from tourney.intake.folder import read_folder
from tourney.intake.score_sheets import read_score_sheets
from tourney.model.calls import Call, CallBook, CallSet, Speakers
from tourney.model.event import Division, Event, Room
from tourney.model.people import Contestant, Official, Roster, Team
from tourney.model.plan import DrawRecord, Heat, Plan, PublicOfficial, SealedSet, Wave
from tourney.papers.fill import fill_workbook
from tourney.papers.pack import write_papers
from tourney.papers.results_workbook import write_results_workbook
from tourney.papers.score_sheets import write_score_sheets
from tourney.planning.plan import plan_day
from tourney.planning.roster import enrol
from tourney.resources import sample_events
from tourney.scoring.results import results_of
from tourney.simulation.rehearsal import simulate

TIMES = 3
TEAMS, ROUNDS, JUDGES, ROOMS, A_HEAT = 2_000, 8, 3, 50, 4  # of the largest day: 12,000 sheets
MOST_RATIO, MOST_MS, MOST_SECONDS, MOST_MEGABYTES = 1.2, 10.0, 150.0, 600.0
ALL_PAPERS, PAPERS_SECONDS = "all papers of the day written", 6.0


class Taken(NamedTuple):
    """Seconds that a piece of work took: by the clock on the wall, and of one core."""

    wall: float
    core: float


def taken(*works: Callable[[Path], object]) -> list[Taken]:
    """Medians over the runs, each in an empty folder; the works take turns, so that a busy moment hits all."""
    runs: list[list[Taken]] = [[] for _ in works]
    for _ in range(TIMES):
        for work, mine in zip(works, runs, strict=True):
            with TemporaryDirectory() as folder:
                began = Taken(perf_counter(), process_time())
                work(Path(folder))
                mine.append(Taken(perf_counter() - began.wall, process_time() - began.core))
    return [Taken(median(run.wall for run in mine), median(run.core for run in mine)) for mine in runs]


def largest_day() -> tuple[Plan, CallBook, Roster]:
    """A made-up day of 2,000 teams, drawn by a shift a round: only its papers matter here."""
    items = built_in().items
    event = Event(
        name="The largest day",
        date=date(2027, 4, 17),
        timezone="UTC",
        rooms=tuple(Room(name=f"Room {number}") for number in range(1, ROOMS + 1)),
        divisions=(
            Division(name="Junior", ages=(8, 10), squad=3, teams_per_heat=A_HEAT, rounds=ROUNDS, judges=JUDGES),
        ),
    )
    calls = event.divisions[0].calls
    teams = tuple(
        Team(f"J{number:04}", f"Team {number}", f"Club {number // 4}", "Junior",
             tuple(f"J{number:04}-{child}" for child in (1, 2, 3)))
        for number in range(1, TEAMS + 1)
    )  # fmt: skip
    children = tuple(
        Contestant(child, f"Given{child[-1]} Family{team.id[1:]}") for team in teams for child in team.members
    )
    officials = tuple(Official(f"O{number:03}", f"Judge {number}") for number in range(1, ROOMS * (JUDGES + 2) + 1))
    found = CallSet(
        "J-W001", "Junior", "rotation", 1, 1, 10,
        tuple(Call(no, item.kind, item.id, item.section, item.difficulty, item.name, ("", item.name, ""))
              for no, item in enumerate(items[:calls], 1)),
    )  # fmt: skip
    heats, waves = [], []
    for number in range(ROUNDS * TEAMS // A_HEAT):
        round_no, place = divmod(number, TEAMS // A_HEAT)
        wave, room = divmod(number, ROOMS)
        if not room:
            start = datetime(2027, 4, 17, 9, tzinfo=UTC) + timedelta(minutes=20 * wave)
            waves.append(Wave(f"W{wave + 1:03}", start, 15))
        group = tuple(teams[(place + row * (round_no + 1)) % (TEAMS // A_HEAT) * A_HEAT + row] for row in range(A_HEAT))
        seats = [official.id for official in officials[room * (JUDGES + 2) :][: JUDGES + 2]]
        heats.append(
            Heat(
                id=f"J-R{round_no + 1}-{place + 1}", division="Junior", round=round_no + 1, wave=waves[-1].id,
                room=event.rooms[room].name, call_set=found.id, teams=tuple(team.id for team in group),
                judges=tuple(seats[:JUDGES]), caller=seats[-2], timekeeper=seats[-1],
                line=tuple(child for team in group for child in team.members),
            )
        )  # fmt: skip
    plan = Plan(
        revision=1, event=event, draw=DrawRecord("words", digest("inputs"), digest("secret")), teams=teams,
        drawn_rounds={"Junior": ROUNDS}, officials=tuple(map(PublicOfficial.of, officials)), waves=tuple(waves),
        heats=tuple(heats), byes=(), call_sets=(SealedSet(found.id, "Junior", "rotation", found.fingerprint()),),
        fairness=(),
    )  # fmt: skip
    lines = A_HEAT * len(teams[0].members)
    speakers = tuple(Speakers(heat.id, tuple(5 * no % lines + 1 for no in range(calls))) for heat in heats)
    return plan, CallBook((found,), speakers), Roster(teams, children, officials)


def write_largest(folder: Path) -> None:
    """The run that is measured as a process of its own."""
    plan, book, roster = largest_day()
    assert sum(len(heat.judges) for heat in plan.heats) == ROUNDS * TEAMS // A_HEAT * JUDGES
    write_score_sheets(folder, plan, book, roster)


def main() -> int:
    """Measure all, write the table, say whether every target is met."""
    handed = read_folder(sample_events() / "lantern_coast")
    assert handed.event
    roster = enrol(handed.teams, handed.officials, handed.event, None)
    plan, book = plan_day(handed.event, roster, handed.syllabus, "benchmark", "")
    sheets = sum(len(heat.judges) for heat in plan.heats)
    with TemporaryDirectory() as ours, TemporaryDirectory() as plain:
        paths = write_score_sheets(Path(ours), plan, book, roster)
        pages = {path.name: pages_of(path) for path in paths}
        entries = {sheet.code: sheet for sheet in simulate(plan, book, roster, Draw("benchmark")).entries}
        for path in paths:
            fill_workbook(path, path, entries)
        files = [(path.name, path.read_bytes()) for path in paths]
        write_sheets(Path(plain), sheets)

        def same_sheets(folder: Path) -> None:
            for name, found in pages.items():
                write_pages(folder / name, found)

        def fill(folder: Path) -> None:
            for path in paths:
                fill_workbook(path, folder / path.name, entries)

        readings = [
            reading.sheet_read for file in files for reading in read_score_sheets(*file, plan, roster.contestant)
        ]
        filled = tuple(reading for reading in readings if reading)
        results = results_of(plan, book, roster, filled, protests_closed=True)
        measured = dict(
            zip(
                (
                    "score sheets written",
                    "peer: the very same sheets, XlsxWriter as it comes",
                    "score sheets filled",
                    "filled score sheets read",
                    "peer: plain sheets of the same marks, calamine",
                    "results workbook written",
                    ALL_PAPERS,
                ),
                taken(
                    lambda folder: write_score_sheets(folder, plan, book, roster),
                    same_sheets,
                    fill,
                    lambda _: [read_score_sheets(*file, plan, roster.contestant) for file in files],
                    lambda _: read_sheets(Path(plain)),
                    lambda folder: write_results_workbook(folder / "r.xlsx", results, plan, roster, filled),
                    lambda folder: write_papers(folder, plan, book, roster, handed.syllabus),
                ),
                strict=True,
            )
        )
    with TemporaryDirectory() as folder:
        largest = run([sys.executable, "-m", "tests.benchmarks.workbooks", folder])
    (HERE / "workbooks.md").write_text(table(sheets, measured, largest), encoding="utf-8")
    print(table(sheets, measured, largest))
    return 0 if all(met for *_, met in targets(sheets, measured, largest)) else 1


def targets(sheets: int, measured: dict[str, Taken], largest: Run) -> list[tuple[str, str, str, bool]]:
    """What is asked, the limit, the measurement, and whether it is met."""
    ours, peer, *_ = measured.values()
    ratio, each = ours.core / peer.core, 1000 * ours.core / sheets
    count = ROUNDS * TEAMS // A_HEAT * JUDGES
    papers = measured[ALL_PAPERS].wall
    return [
        ("a sheet, times XlsxWriter's", f"{MOST_RATIO}", f"{ratio:.2f}", ratio <= MOST_RATIO),
        ("a sheet, of one core", f"{MOST_MS:.0f} ms", f"{each:.1f} ms", each <= MOST_MS),
        ("all papers of the day", f"{PAPERS_SECONDS:.0f} s", f"{papers:.1f} s", papers <= PAPERS_SECONDS),
        (f"{count:,} sheets", f"{MOST_SECONDS:.0f} s", f"{largest.seconds:.0f} s", largest.seconds <= MOST_SECONDS),
        (
            f"{count:,} sheets, peak memory",
            f"{MOST_MEGABYTES:.0f} MB",
            f"{largest.megabytes:.0f} MB",
            largest.megabytes <= MOST_MEGABYTES,
        ),
    ]


def table(sheets: int, measured: dict[str, Taken], largest: Run) -> str:
    """The measurements as Markdown."""
    lines = [
        "# Workbooks",
        "",
        f"{machine()}; {datetime.now(UTC):%Y-%m-%d}. Written by `python -m tests.benchmarks.workbooks`.",
        f"{sheets} score sheets of sample_events/lantern_coast, median of {TIMES} runs in turns.",
        "",
        "| in one process | wall | of one core | a sheet |",
        "|---|---:|---:|---:|",
        *(
            f"| {what} | {took.wall:.3f} s | {took.core:.3f} s | {1000 * took.core / sheets:.1f} ms |"
            for what, took in measured.items()
        ),
        "",
        "| target | at most | measured | met |",
        "|---|---:|---:|---|",
        *(
            f"| {what} | {limit} | {found} | {'yes' if met else '**no**'} |"
            for what, limit, found, met in targets(sheets, measured, largest)
        ),
    ]
    return "\n".join(lines) + "\n"


if __name__ == "__main__":
    if len(sys.argv) > 1:
        write_largest(Path(sys.argv[1]))
    else:
        sys.exit(main())
