"""Planning whole days, call sets and officials included: seconds and memory as days grow.

python -m tests.benchmarks.planning writes growth.md and growth.svg beside this file and returns 1 when a target is
missed. Each day is planned in a process of its own, start and imports counted. The plot needs the extra `benchmarks`.
"""

import sys
from datetime import UTC, datetime
from pathlib import Path

from tests.benchmarks.planning.days import CLUB, PER_HEAT, ROUNDS, SPARE, WAVES
from tests.benchmarks.whole_process import Case, Row, machine, measure

HERE = Path(__file__).parent
TIMES = 3
LIMITS: dict[int, tuple[float | None, float | None]] = {  # teams -> seconds, megabytes
    48: (3, None), 250: (None, None), 500: (None, None), 1000: (None, None), 2000: (20, 800),
}  # fmt: skip


def case(teams: int) -> Case:
    """A day of so many teams, as a process."""
    command = [sys.executable, "-m", "tests.benchmarks.planning.once", str(teams)]
    return Case(str(teams), lambda: command, *LIMITS[teams])


def table(rows: list[Row]) -> str:
    """The measurements as Markdown."""
    lines = [
        "# Planning a day",
        "",
        f"{machine()}; {datetime.now(UTC):%Y-%m-%d}. Written by `python -m tests.benchmarks.planning`. A process of "
        f"its own for each day, start and imports counted; medians of {TIMES} runs, peak memory the most of any.",
        f"Teams in heats of {PER_HEAT}, {ROUNDS} rounds, {WAVES} waves a round, clubs of {CLUB}; three judges, a "
        f"caller and a timekeeper in each room, {SPARE - 1:.0%} more officials than seats, half of them with a tie.",
        "",
        "| teams | rooms | wall | of one core | of one core, a team | peak memory | target | met |",
        "|---:|---:|---:|---:|---:|---:|---|---|",
    ]
    for row in rows:
        teams = int(row.case.name)
        core = sorted(run.core for run in row.runs)[len(row.runs) // 2]
        limits = [f"{row.case.seconds:g} s"] if row.case.seconds else []
        limits += [f"{row.case.megabytes:g} MB"] if row.case.megabytes else []
        lines.append(
            f"| {teams:,} | {-(-teams // (PER_HEAT * WAVES))} | {row.seconds:.2f} s | {core:.2f} s "
            f"| {1000 * core / teams:.1f} ms | {row.megabytes:.0f} MB | {', '.join(limits)} "
            f"| {('yes' if row.met else '**no**') if limits else ''} |"
        )
    return "\n".join(lines) + "\n"


def plot(rows: list[Row], target: Path) -> None:
    """Wall seconds against teams, both axes logarithmic, beside straight growth from the second day on."""
    import matplotlib as mpl

    mpl.use("svg")
    mpl.rcParams["svg.hashsalt"] = "growth"
    from matplotlib import pyplot

    teams, seconds = [int(row.case.name) for row in rows], [row.seconds for row in rows]
    figure, axes = pyplot.subplots(figsize=(6, 4))
    axes.loglog(teams, seconds, "ko-", label="plan, wall seconds")
    axes.loglog(teams[1:], [seconds[1] * n / teams[1] for n in teams[1:]], "k:", label="straight growth")
    axes.set_xticks(teams, [f"{n:,}" for n in teams])
    axes.set_xticks([], minor=True)
    ticks = [n for n in (1, 2, 5, 10, 20, 50) if min(seconds) / 2 < n < 2 * max(seconds)]
    axes.set_yticks(ticks, [str(n) for n in ticks])
    axes.set_yticks([], minor=True)
    axes.set(xlabel="teams", ylabel="seconds", title="Planning a day, as it grows")
    axes.grid(visible=True, color="0.85")
    axes.legend(frameon=False)
    figure.savefig(target, metadata={"Date": None})


def main() -> int:
    """Measure, write the table, draw the plot, say whether every target is met."""
    rows = measure(TIMES, *map(case, LIMITS))
    (HERE / "growth.md").write_text(table(rows), encoding="utf-8")
    print(table(rows))
    plot(rows, HERE / "growth.svg")
    return 0 if all(row.met for row in rows) else 1


if __name__ == "__main__":
    sys.exit(main())
