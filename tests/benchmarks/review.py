"""The review: does it find again what was planted, how sure is it, and how long does it take.

python -m tests.benchmarks.review, in the checkout, writes review.md beside this file and returns 1 when a target is
missed. Planted numbers come from the models' own assumptions, whole rehearsed days from those of the rehearsal; the
peers see the same numbers.
"""

import sys
import tempfile
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import timedelta
from itertools import chain
from pathlib import Path
from statistics import median
from time import perf_counter
from typing import Any

import numpy as np
from scipy.optimize import minimize

from tests.benchmarks import rehearsed_days as rehearsed
from tests.benchmarks.whole_process import machine
from tourney.day.rehearse import rehearse
from tourney.day.review import review
from tourney.day.state import read_day
from tourney.resources import sample_events
from tourney.review.additive import Row, effects
from tourney.review.calibration import LOGITS_A_BIT, fit_bits
from tourney.review.rasch import Floats, fit_rasch

HERE = Path(__file__).parent
DAYS, TIMES = 60, 5
REVIEW_TARGET, CALIBRATION_TARGET = 3.0, 2.0  # seconds


@dataclass(frozen=True, slots=True)
class Recovery:
    """How estimates compare with what was planted. covered: part of the truth within 95 % intervals, None for none."""

    what: str
    bias: float
    error: float
    covered: float | None


def main() -> int:
    """Measure, write the table, and say whether every target was met."""
    seconds = [*_calibration_seconds(), *_review_seconds()]
    text = "\n".join(
        (
            "# Reviews",
            "",
            f"{machine()}. Written by `python -m tests.benchmarks.review`.",
            "Bias: mean of estimate less truth; error: root of its mean square.",
            "",
            f"{rehearsed.DAYS} whole rehearsed days: 216 sheets each, by other children and judges, with other",
            "items, on one plan of 36 teams.",
            "",
            *_table(_rehearsed()),
            "",
            f"Planted numbers, {DAYS} days each.",
            "",
            *_table([*_judges(), *_items()]),
            "",
            "| what | seconds, median | target | met |",
            "|---|---:|---:|---|",
            *(f"| {what} | {took:.2f} | {goal or ''} | {_met(took, goal)} |" for what, took, goal in seconds),
        )
    )
    (HERE / "review.md").write_text(text + "\n", encoding="utf-8")
    print(text)
    return int(any(goal is not None and took >= goal for _, took, goal in seconds))


def _table(parts: Iterable[Recovery]) -> list[str]:
    return [
        "| what | bias | error | 95 % intervals that hold the truth |",
        "|---|---:|---:|---:|",
        *(f"| {p.what} | {p.bias:+.3f} | {p.error:.3f} | {_percent(p.covered)} |" for p in parts),
    ]


def _percent(part: float | None) -> str:
    return "" if part is None else f"{part:.1%}"


def _met(took: float, goal: float | None) -> str:
    return "" if goal is None else "yes" if took < goal else "NO"


def _recovery(what: str, off: Iterable[float], held: Iterable[bool] | None) -> Recovery:
    each = np.array(list(off))
    covered = None if held is None else float(np.mean(list(held)))
    return Recovery(what, float(each.mean()), float(np.sqrt((each**2).mean())), covered)


def _rehearsed() -> Iterator[Recovery]:
    """Children, judges and items of whole rehearsed days."""
    days = [
        (rehearsed.severities(day), rehearsed.difficulties(day), rehearsed.children(day), rehearsed.rates(day))
        for day in rehearsed.rehearsed_days()
    ]
    judges, items, children, rates = zip(*days, strict=True)

    def every(lists: Iterable[Sequence[Any]]) -> list[Any]:
        return [*chain.from_iterable(lists)]

    yield _recovery(
        "severity of judges, points of 100", every(off for off, *_ in judges), every(held for _, held, _ in judges)
    )
    yield _recovery("peer: numpy least squares, no shrinkage", every(plain for *_, plain in judges), None)
    held = every(held for _, held, _ in items)
    yield _recovery("difficulty of items, bits", every(rows["ours"] for rows, *_ in items), held)
    yield _recovery("peer: the search index alone", every(rows["prior"] for rows, *_ in items), None)
    yield _recovery("peer: joint maximum likelihood, no prior", every(rows["joint"] for rows, *_ in items), None)
    yield _recovery("what a bit is worth, logits", [worth for *_, worth in items], None)
    off = every(off for off, *_ in children)
    yield _recovery("part that a child finds, with Wilson's interval", off, every(held for _, held, _ in children))
    yield _recovery("peer: the same with a plain normal interval", off, every(plain for *_, plain in children))
    yield _recovery("believed rate of misses of a child in a section", every(rows["ours"] for rows in rates), None)
    yield _recovery("peer: its own count alone", every(rows["count"] for rows in rates), None)
    yield _recovery("peer: the division's rate alone", every(rows["division"] for rows in rates), None)


def _judges() -> Iterator[Recovery]:
    """72 heats of 8 children before panels of 3 out of 30 judges, drawn anew for each heat."""
    for spread in (1.0, 0.2):
        ours, held, plain = [], [], []
        for day in range(DAYS):
            chance = np.random.default_rng([day, 1])
            severity = chance.normal(0, spread, 30)
            rows = []
            for heat in range(72):
                panel = chance.choice(30, 3, replace=False)
                for child in range(8):
                    level = chance.normal(12, 8)
                    rows += [
                        Row(f"{heat} {child}", f"{judge:02}", level + severity[judge] + chance.normal(0, 2.5))
                        for judge in panel
                    ]
            true = severity - severity.mean()
            found = effects(rows)
            ours += [one.value - true[int(one.level)] for one in found]
            held += [abs(one.value - true[int(one.level)]) < 1.96 * one.se for one in found]
            plain += (_least_squares(rows) - true).tolist()
        yield _recovery(f"severity of judges, spread {spread}, points of 100", ours, held)
        yield _recovery("peer: numpy least squares, no shrinkage", plain, None)


def _least_squares(rows: list[Row]) -> Floats:
    """Judges' effects with mean 0, each subject with a mean of its own."""
    subjects = sorted({row.subject for row in rows})
    place = {subject: number for number, subject in enumerate(subjects)}
    design, values = np.zeros((len(rows), 30)), np.array([row.value for row in rows])
    who = np.array([place[row.subject] for row in rows])
    design[np.arange(len(rows)), [int(row.level) for row in rows]] = 1
    for column in (*design.T, values):
        column -= (np.bincount(who, column) / np.bincount(who))[who]
    found: Floats = np.linalg.lstsq(design, values, rcond=None)[0]
    found -= found.mean()
    return found


def _items() -> Iterator[Recovery]:
    """144 children who hear 64 of 66 items each; items 0.7 bits around their index, children 0.9 logits apart."""
    off: dict[str, list[float]] = {"ours": [], "prior": [], "joint": []}
    held: list[bool] = []
    for day in range(DAYS):
        bits, true, tries, finds = _planted(day, 144, 66, 0.97)
        fit = fit_bits(tries, finds, bits)
        free = fit_rasch(tries, finds, np.zeros(len(bits)), 30.0, 30.0).difficulty / LOGITS_A_BIT
        for name, found in (("ours", fit.bits), ("prior", bits), ("joint", free)):
            off[name] += (found - true - (found - true).mean()).tolist()
        near = fit.bits - true
        held += (np.abs(near - near.mean()) < 1.96 * fit.se).tolist()
    yield _recovery("difficulty of items, bits", off["ours"], held)
    yield _recovery("peer: the search index alone", off["prior"], None)
    yield _recovery("peer: joint maximum likelihood, no prior", off["joint"], None)


def _planted(day: int, children: int, items: int, part: float) -> tuple[Floats, Floats, Floats, Floats]:
    chance = np.random.default_rng([day, 2])
    bits = chance.uniform(0.2, 5.5, items)
    true = bits + chance.normal(0, 0.7, items)
    ability = chance.normal(0, 0.9, children)
    tries = (chance.random((children, items)) < part).astype(float)
    sure = 1 / (1 + np.exp(-(4.1 + ability[:, None] - LOGITS_A_BIT * true)))
    return bits, true, tries, tries * (chance.random((children, items)) < sure)


def _calibration_seconds() -> Iterator[tuple[str, float, float | None]]:
    bits, _, tries, finds = _planted(0, 500, 300, 0.3)
    took = []
    for _ in range(TIMES):
        start = perf_counter()
        fit = fit_bits(tries, finds, bits)
        took.append(perf_counter() - start)
    yield "calibration of 500 children by 300 items", median(took), CALIBRATION_TARGET
    spread = fit.bits_sd * fit.logits_a_bit
    prior = LOGITS_A_BIT * bits - 4.1
    ours = fit_rasch(tries, finds, prior, spread, fit.ability_sd)

    def loss(at: Any) -> Any:
        ability, difficulty = at[:500], at[500:]
        logit = ability[:, None] - difficulty[None, :]
        over = tries / (1 + np.exp(-logit)) - finds
        whole = (tries * np.logaddexp(0, logit) - finds * logit).sum()
        whole += 0.5 * ((ability / fit.ability_sd) ** 2).sum() + 0.5 * (((difficulty - prior) / spread) ** 2).sum()
        slope = np.concatenate(
            [over.sum(axis=1) + ability / fit.ability_sd**2, -over.sum(axis=0) + (difficulty - prior) / spread**2]
        )
        return float(whole), slope

    start = perf_counter()
    begin: Any = np.concatenate([np.zeros(500), prior])
    options: Any = {"maxiter": 5000, "gtol": 1e-6}
    theirs: Any = minimize(loss, begin, jac=True, method="L-BFGS-B", options=options)
    seconds = perf_counter() - start
    apart = float(np.abs(theirs.x[500:] - ours.difficulty).max())
    yield f"peer: scipy L-BFGS-B, once, spreads given; difficulties at most {apart:.0e} logits apart", seconds, None


def _review_seconds() -> Iterator[tuple[str, float, float | None]]:
    with tempfile.TemporaryDirectory() as folder:
        into = Path(folder) / "day"
        rehearse(sample_events() / "lantern_coast", into, lambda _: None)
        day = read_day(into)
        assert day.state.last_sheet is not None
        later = day.state.last_sheet + timedelta(hours=2)
        took = []
        for _ in range(TIMES):
            start = perf_counter()
            done = review(into, later)
            took.append(perf_counter() - start)
    yield f"review of {len(day.plan.teams)} teams, {done.state}: {len(done.files)} files", median(took), REVIEW_TARGET


if __name__ == "__main__":
    sys.exit(main())
