"""Times of standings, certainty and brackets: python -m tests.benchmarks.results_speed, on a quiet machine.

Beside the standings: numpy's sort and scipy's rankdata on the same numbers, a bound that no chain of reasons can reach.
"""

import random
import statistics
import tempfile
from collections.abc import Callable
from dataclasses import replace
from fractions import Fraction
from functools import partial
from pathlib import Path
from time import perf_counter

import numpy as np
from scipy.stats import rankdata

from tests.papers.conftest import make_day
from tests.papers.sample_brackets import knockout, names_of, played
from tourney.finals.apart import drawing, keep_apart
from tourney.model.event import Division, HeatPoints
from tourney.papers.bracket_book import write_bracket_book
from tourney.papers.bracket_page import bracket_page
from tourney.papers.bracket_text import bracket_text
from tourney.scoring.chain import separate
from tourney.scoring.heats import TeamHeat
from tourney.scoring.joint_places import joint_ranges
from tourney.scoring.ranges import place_ranges, spans_of
from tourney.scoring.smallest_change import Rules, smallest_changes
from tourney.scoring.table import Table
from tourney.scoring.tally import Tally
from tourney.scoring.tie_breaks import criteria_of

RUNS = 5
CHAIN = (
    "clean_calls", "fewer_wrong_place", "fewer_late", "head_to_head", "margin", "hardest_third", "best_round",
    "opponents_points", "progressive", "lot",
)  # fmt: skip


def heats(teams: int, rounds: int, missing: int, rank_by: str) -> Table:
    """Pairs drawn at random; the last `missing` heats are open. Children are good, so many teams are level."""
    rng, rows = random.Random(7), []
    ids = [f"T{number:04}" for number in range(teams)]
    for round_ in range(1, rounds + 1):
        rng.shuffle(ids)
        rows += [[(team, round_) for team in ids[at : at + 2]] for at in range(0, teams, 2)]
    scored = [tuple(_heat(rng, *one, open_=at >= len(rows) - missing) for one in row) for at, row in enumerate(rows)]
    lots = {team: number for number, team in enumerate(sorted(ids))}
    return Table(tuple(sorted(ids)), tuple(scored), rank_by, HeatPoints(), lots)


def _heat(rng: random.Random, team: str, round_: int, *, open_: bool) -> TeamHeat:
    late, spoken = rng.randrange(4), rng.randrange(3)
    points = Fraction(480 - 10 * late - 5 * spoken)
    made = Tally(points, points / 3, 48 - late - spoken, 0, late, spoken)
    return TeamHeat(team, round_, made, Fraction(0) if open_ else points, Fraction(480) if open_ else points, 480, 160)


def fresh(table: Table) -> Table:
    """The same table with nothing worked out yet."""
    return replace(table)


def ranked(table: Table) -> None:
    """Levels by the whole chain."""
    rules = Division(name="Junior", ages=(8, 10), tie_breaks=CHAIN)
    table = fresh(table)
    separate(table.teams, criteria_of(rules, table))


def changed(table: Table) -> None:
    """Levels, and the smallest change of each place."""
    rules = Division.model_validate({"name": "Junior", "ages": (8, 10), "tie_breaks": CHAIN, "rank_by": table.rank_by})
    table, chain = fresh(table), partial(criteria_of, rules)
    levels = separate(table.teams, chain(table))
    smallest_changes(table, levels, Rules(chain, "continue", rules.points), {team: team for team in table.teams})


def placed() -> None:
    """256 seeds put into the drawing, own clubs apart: 64 clubs of four, drawn at random."""
    clubs = [f"Club {number % 64}" for number in range(256)]
    random.Random(7).shuffle(clubs)
    keep_apart(drawing(256, 2), clubs)


def written(folder: Path) -> None:
    """A bracket of 256 as text, page and workbook."""
    bracket, day = played(knockout(256)), make_day()
    names = names_of(bracket)
    bracket_text(bracket, names)
    (folder / "bracket.html").write_text(bracket_page(day.plan, day.roster, bracket, names).html, encoding="utf-8")
    write_bracket_book(folder / "bracket.xlsx", day.plan, [bracket], names)


def drawn(folder: Path) -> None:
    """All of it."""
    placed()
    written(folder)


def measured(work: Callable[[], object]) -> float:
    """Seconds, the middle of some runs after one to warm up."""
    work()
    times = []
    for _ in range(RUNS):
        start = perf_counter()
        work()
        times.append(perf_counter() - start)
    return statistics.median(times)


def main() -> None:
    """Measure, and write the table."""
    many, by_heats = heats(2000, 4, 0, "points"), heats(2000, 4, 0, "heat_points")
    points, pairs = heats(60, 4, 6, "points"), heats(60, 4, 6, "heat_points")
    numbers = np.array([float(many.worth(team)) for team in many.teams])
    with tempfile.TemporaryDirectory() as scratch:
        rows = [
            ("standings of 2,000 teams, chain of eleven criteria", measured(lambda: ranked(many)), "1 s"),
            ("beside it: numpy's sort of their points", measured(lambda: np.sort(numbers)), "bound"),
            ("beside it: scipy's rankdata of their points", measured(lambda: rankdata(-numbers, "min")), "bound"),
            ("the same with the smallest change of each place", measured(lambda: changed(many)), "1 s"),
            ("the same by heat points, where hundreds of teams are level", measured(lambda: changed(by_heats)), "1 s"),
            (
                "certainty, 60 teams by points, 6 heats open",
                measured(lambda: place_ranges(spans_of(fresh(points)))),
                "2 s",
            ),
            (
                "certainty, 60 teams by heat points, 6 heats open, joint outcomes",
                measured(lambda: joint_ranges(fresh(pairs), pairs.teams)),
                "2 s",
            ),
            (
                "beside it: each team by itself, a range that may be wider",
                measured(lambda: place_ranges(spans_of(fresh(pairs)))),
                "bound",
            ),
            (
                "bracket of 256 drawn, own clubs apart, and written: text, page and workbook",
                measured(lambda: drawn(Path(scratch))),
                "1 s",
            ),
            ("of it the writing", measured(lambda: written(Path(scratch))), ""),
        ]
    lines = [f"| {what} | {seconds:.6f} s | {target} |" for what, seconds, target in rows]
    text = "\n".join(
        [
            "Median of five runs on a quiet machine of two cores, by `python -m tests.benchmarks.results_speed`.",
            "",
            "| work | time | target |",
            "|---|---|---|",
            *lines,
            "",
        ]
    )
    (Path(__file__).parent / "results_speed.md").write_text(text, encoding="utf-8")
    print(text)


if __name__ == "__main__":
    main()
