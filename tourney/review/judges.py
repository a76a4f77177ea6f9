"""How judges marked, beside those who judged the same: severity with its doubt, and where one stood alone."""

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from math import sqrt
from statistics import fmean, median

from tourney.model.event import Event
from tourney.model.heard import Allowance, Heard, Word
from tourney.model.plan import Heat
from tourney.model.sheet import Letter
from tourney.review.additive import Effect, Row, effects

FAULTS: tuple[Letter, ...] = ("L", "W", "S", "H")


@dataclass(frozen=True, slots=True)
class Alone:
    """One letter of one judge. wrote: times in all. wrote_alone: when nobody else of the panel did.

    left_out_alone: times that all others wrote it and this judge did not. Panels of two count for neither.
    """

    wrote: int
    wrote_alone: int
    left_out_alone: int


@dataclass(frozen=True, slots=True)
class JudgeReview:
    """One judge. severity: points of each 100 that were taken off beyond what the others take; None when unknown.

    looks: calls of contestants judged.
    """

    official: str
    heats: int
    looks: int
    severity: Effect | None
    letters: Mapping[Letter, Alone]


@dataclass(frozen=True, slots=True)
class Panels:
    """All judges, in the order of ids.

    side_by_side: whether severity comes from judges of one panel, who saw the same; otherwise it comes from children
    who stood before several judges, and is far less sure.
    groups: ids of judges who can be compared with each other; more than one group where nobody links them.
    """

    judges: tuple[JudgeReview, ...]
    side_by_side: bool
    groups: tuple[tuple[str, ...], ...]


def judge_reviews(heard: Sequence[Heard], event: Event) -> Panels:
    """Every judge who handed in marks. Absent contestants say nothing of a judge, and are left out."""
    told = [one for one in heard if not (one.word and "N" in one.word)]
    side_by_side = any(sum(mark is not None for mark in one.marks) > 1 for one in told)
    rows = _rows(told, event, side_by_side=side_by_side)
    severity = {one.level: one for one in effects(rows)}
    heats: dict[str, set[str]] = defaultdict(set)
    looks: dict[str, int] = defaultdict(int)
    letters: dict[str, dict[Letter, list[int]]] = defaultdict(lambda: {letter: [0, 0, 0] for letter in FAULTS})
    for one in told:
        for at, mark in enumerate(one.marks):
            if mark is not None:
                heats[one.heat.judges[at]].add(one.heat.id)
                looks[one.heat.judges[at]] += 1
        for at, letter, kind in _written(one.marks):
            letters[one.heat.judges[at]][letter][kind] += 1
    reviews = tuple(
        JudgeReview(
            judge,
            len(heats[judge]),
            looks[judge],
            severity[judge] if judge in severity and severity[judge].rows else None,
            {letter: Alone(*letters[judge][letter]) for letter in FAULTS},
        )
        for judge in sorted(heats)
    )
    groups: dict[int, list[str]] = defaultdict(list)
    for review in reviews:
        if review.severity:
            groups[review.severity.group].append(review.official)
    return Panels(reviews, side_by_side, tuple(map(tuple, groups.values())))


@lru_cache(maxsize=4096)
def _written(marks: tuple[Word | None, ...]) -> tuple[tuple[int, Letter, int], ...]:
    """(seat, letter, kind) of what judges wrote of one call. kind: 0 written, 1 written alone, 2 left out alone."""
    found: list[tuple[int, Letter, int]] = []
    for at, mark in enumerate(marks):
        others = [other for seat, other in enumerate(marks) if seat != at and other is not None]
        for letter in FAULTS if mark is not None else ():
            wrote, theirs = letter in (mark or ()), sum(letter in other for other in others)
            found += [(at, letter, 0)] * wrote
            found += [(at, letter, 1)] * (wrote and theirs == 0 and len(others) > 1)
            found += [(at, letter, 2)] * (not wrote and theirs == len(others) > 1)
    return tuple(found)


def allowances(heats: Iterable[Heat], panels: Panels, event: Event) -> dict[str, Allowance]:
    """Heat -> what its panel took off beyond what the others take, by the panel's rule; judges unknown count as 0."""
    known = {one.official: one.severity for one in panels.judges if one.severity}
    found = {}
    for heat in heats:
        rule = event.division(heat.division).panel
        panel = [known.get(judge) for judge in heat.judges[: 1 if rule == "chief" else None]]
        parts = [one.value / 100 if one else 0.0 for one in panel]
        doubt = sqrt(sum((one.se / 100) ** 2 for one in panel if one)) / len(panel)
        found[heat.id] = Allowance(fmean(parts) if rule == "mean" else median(parts), doubt)
    return found


def _rows(heard: Sequence[Heard], event: Event, *, side_by_side: bool) -> list[Row]:
    """Points of 100 that each judge took off each contestant in each heat, over calls that the whole panel judged."""
    taken: dict[tuple[str, str, str], list[float]] = defaultdict(list)
    divisions = {division.name: division for division in event.divisions}
    for one in heard:
        division = divisions[one.heat.division]
        panel = [at for at in range(len(one.heat.judges)) if division.watches(at + 1, one.line)]
        if any(one.given[at] is None for at in panel):
            continue
        for at in panel:
            off = 100 - 100 * (one.given[at] or 0) / division.points.call
            taken[one.heat.id, one.contestant, one.heat.judges[at]].append(off)
    return [
        Row(f"{heat} {child}" if side_by_side else child, judge, fmean(values))
        for (heat, child, judge), values in taken.items()
    ]
