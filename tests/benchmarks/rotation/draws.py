"""Rotations: what was reached, the counting bound, the time, and what general-purpose solvers reach in the same run.

python -m tests.benchmarks.rotation.draws [--peer few|all|none] [--only 15/3/7/4 ...] writes draws.md beside this file
and returns 1 when a target is missed. The peer may use two workers, and is asked twice; the draw uses one. With --only
these cases alone are measured, and their rows renewed.
"""

import argparse
import os
import platform
import sys
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from random import Random
from statistics import median
from time import perf_counter, process_time

from tests.benchmarks.rotation.peers import cp_sat, matched
from tourney.planning.rotation.draw import draw_rotation
from tourney.planning.rotation.measure import Measures, measure

HERE = Path(__file__).parent
TIMES = 5
WORKERS = 2
PATIENCE = (10, 60)  # seconds for the peer, a column each
LARGE = 200  # teams beyond which a direct model does not fit into memory


@dataclass(frozen=True, slots=True)
class Case:
    """clubs: teams of one club, the last club smaller; 1 for none. best: repeats that are to be reached at most.

    seconds: target for one draw. peer: among the few that are compared by default.
    """

    teams: int
    size: int
    rounds: int
    clubs: int = 1
    best: int = 0
    seconds: float = 0.2
    peer: bool = False

    @property
    def entered(self) -> dict[str, str]:
        """Team -> club."""
        return {f"T{number:04}": f"C{number // self.clubs}" for number in range(self.teams)}

    @property
    def name(self) -> str:
        """Teams, heat, rounds, and the size of clubs: what --only takes."""
        return f"{self.teams}/{self.size}/{self.rounds}/{self.clubs}"

    @property
    def head(self) -> str:
        """The first cells of its row."""
        return f"| {self.teams} / {self.size} / {self.rounds} | {self.clubs if self.clubs > 1 else '–'} |"


# Zero repeats: rounds known possible, OEIS A107431; 9 of the 10 rounds of Aguado 2004 for 32 in fours, 10 the stretch.
# Clubs of four: bounds by counting, which the small ones meet. 25 in fives with clubs: 36 is the counting bound, 45 the
# best that a long annealing of ours has found; whether fewer are possible is not known to us.
CASES = [
    Case(9, 3, 4, peer=True), Case(15, 3, 7, peer=True), Case(16, 4, 5, peer=True), Case(25, 5, 6), Case(24, 3, 8),
    Case(36, 6, 3), Case(41, 2, 8, peer=True), Case(45, 3, 8), Case(47, 4, 6), Case(48, 4, 6), Case(120, 4, 8),
    Case(12, 3, 4, seconds=2), Case(18, 3, 8, seconds=2), Case(21, 3, 10, seconds=2), Case(24, 3, 11, seconds=2),
    Case(27, 3, 13, seconds=2), Case(20, 4, 5, seconds=2), Case(24, 4, 7, seconds=2), Case(28, 4, 9, seconds=2),
    Case(32, 4, 9, seconds=2), Case(36, 4, 9, seconds=2), Case(40, 4, 13, seconds=2),
    Case(30, 5, 6, seconds=2, peer=True), Case(2000, 4, 8, seconds=0.1),
    Case(15, 3, 7, 4, best=21, peer=True), Case(16, 4, 5, 4, best=24), Case(20, 2, 19, 4, best=30, peer=True),
    Case(24, 3, 8, 4), Case(25, 5, 6, 4, best=45, seconds=10, peer=True), Case(36, 6, 3, 4), Case(41, 2, 8, 4),
    Case(45, 3, 8, 4), Case(47, 4, 6, 4), Case(48, 4, 6, 4), Case(120, 4, 8, 4), Case(2000, 4, 8, 4, seconds=0.1),
]  # fmt: skip


@dataclass(frozen=True, slots=True)
class Drawn:
    """A case drawn: its measures, and seconds of one draw: by the wall the median, of one core the least."""

    case: Case
    found: Measures
    wall: float
    core: float

    @property
    def met(self) -> bool:
        """Are the repeats, the clubs and the time as wanted. Time of one core, so that a busy machine is no miss."""
        case = self.case
        return self.found.repeats <= case.best and not self.found.own_club and self.core <= case.seconds


def draw(case: Case) -> Drawn:
    """Draw a case a few times; the worst of the draws counts."""
    wall, core, found = [], [], []
    for seed in range(TIMES):
        began, worked = perf_counter(), process_time()
        rotation = draw_rotation(list(case.entered.items()), case.rounds, case.size, Random(seed))
        wall.append(perf_counter() - began)
        core.append(process_time() - worked)
        found.append(measure(rotation.rounds, rotation.byes, case.entered))
    worst = max(found, key=lambda row: (row.own_club, row.repeats))
    return Drawn(case, worst, median(wall), min(core))


def of_peer(case: Case, seconds: float) -> str:
    """What the constraint model comes to in its time, as repeats / own-club meetings."""
    if case.teams > LARGE:
        return "too large for a direct model"
    drawn, said = cp_sat(case.entered, case.size, case.rounds, seconds, WORKERS)
    return said if drawn is None else f"{_said(drawn, case.entered)}, {said}"


def of_matching(case: Case) -> str:
    """What networkx's matching alone comes to, and its time."""
    if case.size != 2:
        return ""
    began = perf_counter()
    drawn = matched(case.entered, case.rounds)
    return f"{_said(drawn, case.entered)}, {perf_counter() - began:.2f} s"


def _said(rounds: Sequence[Sequence[Sequence[str]]], clubs: Mapping[str, str]) -> str:
    away = [[team for team in clubs if all(team not in heat for heat in heats)] for heats in rounds]
    found = measure(rounds, away, clubs)
    return f"{found.repeats} / {found.own_club}"


def frame() -> list[str]:
    """What stands above the rows."""
    machine = f"{platform.system()} {platform.machine()}, {os.cpu_count()} cores, Python {platform.python_version()}"
    times = " | ".join(f"CP-SAT, {seconds} s" for seconds in PATIENCE)
    return [
        "# Rotations",
        "",
        f"{machine}; {datetime.now(UTC):%Y-%m-%d}. Written by `python -m tests.benchmarks.rotation.draws`. "
        f"The worst of {TIMES} draws; times of one draw once imported: the median by the wall, the least of one core.",
        f"Peers in the same run as their row: a direct CP-SAT model with {WORKERS} workers, as repeats / own-club "
        "meetings; for pairs, networkx's cheapest matching round by round.",
        "",
        "25 in fives with clubs: 45 repeats are the best known to us, from a long search of ours; 36 is the counting "
        "bound; nothing between is proven.",
        "",
        f"| teams / heat / rounds | clubs of | repeats (bound) | own club (bound) | wall | of one core | target | met "
        f"| {times} | matching alone |",
        f"|---|---|---:|---:|---:|---:|---|---{'|---' * len(PATIENCE)}|---|",
    ]


def line(row: Drawn, asked: bool) -> str:
    """The row of one case. asked: with what the constraint model comes to."""
    case, found = row.case, row.found
    peers = [of_peer(case, seconds) if asked else "" for seconds in PATIENCE]
    return (
        f"{case.head} {found.repeats} ({found.repeats_bound}) | {found.own_club} ({found.own_club_bound}) "
        f"| {row.wall:.3f} s | {row.core:.3f} s | {case.best} repeats, {case.seconds:g} s "
        f"| {'yes' if row.met else '**no**'} | {' | '.join(peers)} | {of_matching(case)} |"
    )


def main() -> int:
    """Draw the cases, ask the peers, write the table, say whether every target is met."""
    wanted = argparse.ArgumentParser(description="Rotations beside general-purpose solvers.")
    wanted.add_argument("--peer", choices=("few", "all", "none"), default="few", help="cases that it is asked for")
    wanted.add_argument("--only", nargs="+", help="cases as teams/heat/rounds/clubs; the other rows stay")
    said = wanted.parse_args()
    rows = [draw(case) for case in CASES if not said.only or case.name in said.only]
    lines = [line(row, said.peer == "all" or (said.peer == "few" and row.case.peer)) for row in rows]
    target = HERE / "draws.md"
    if said.only:
        fresh = {row.case.head: text for row, text in zip(rows, lines, strict=True)}
        kept = target.read_text(encoding="utf-8").splitlines()
        written = [next((text for head, text in fresh.items() if old.startswith(head)), old) for old in kept]
    else:
        written = [*frame(), *lines]
    target.write_text("\n".join(written) + "\n", encoding="utf-8")
    print(*lines, sep="\n")
    return 0 if all(row.met for row in rows) else 1


if __name__ == "__main__":
    sys.exit(main())
