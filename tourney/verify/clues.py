"""Whether earlier calls of a set tell anything about later ones."""

from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from itertools import combinations, pairwise
from math import sqrt

from tourney.verify.call_bounds import counted, least_runs_again, least_twice_running
from tourney.verify.division_sets import DivisionSets
from tourney.verify.line import Line, figure, rule

NEARBY = 3  # calls for which an answer is still in the ear (common practice, no source)
A_DAY = 12  # sets on from which a team hears no other of them on one day
LONG, SECTIONS = 6, 6  # calls and sections from which an order of sections is worth looking at
LIKE = 0.5  # most that two orders may be correlated
RUN = 5  # sections in a row that no two sets should share


def clue_lines(sets: DivisionSets) -> Iterator[Line]:
    """All of a division."""
    yield rule("neighbours_within_three_calls", sets.name, _near(sets, sets.listing.neighbours))
    yield _neighbours(sets)
    alike = list(_near(sets, sets.listing.sound_alike))
    yield figure("sound_alikes_within_three_calls", sets.name, len(alike), 0, "; ".join(alike[:2]))
    yield _twice_running(sets)
    yield _alike_runs(sets)
    yield from _like_orders(sets)


def _near(sets: DivisionSets, clash: Callable[[str, str], bool]) -> Iterator[str]:
    for found in sets.scored:
        row = [call.item for call in found.calls]
        for at, one in enumerate(row):
            for other in row[at + 1 : at + 1 + NEARBY]:
                if clash(one, other):
                    yield f"{found.id}: {one} and {other}"


def _neighbours(sets: DivisionSets) -> Line:
    """Pairs of neighbours in one set. A rule where the calls a section leave room for sets without any."""
    total = bound = 0
    places: list[str] = []
    for found in sets.scored:
        ranked = sorted(sets.listing.place[call.item] for call in found.calls)
        pairs = sum(after - before == 1 for before, after in pairwise(ranked))
        total, bound = total + pairs, bound + sets.bounds.neighbours(sets.counts(found))
        places += [f"{found.id}: {pairs}"] if pairs else []
    return Line("neighbours_in_a_set", sets.name, total, bound, 0, total <= bound, not bound, "; ".join(places[:4]))


def _twice_running(sets: DivisionSets) -> Line:
    rows = {found.id: [call.section for call in found.calls] for found in sets.scored}
    twice = {key: sum(before == after for before, after in pairwise(row)) for key, row in rows.items()}
    worst = max(twice, key=lambda key: twice[key], default="")
    least = sum(map(least_twice_running, rows.values()))
    return figure("section_twice_running", sets.name, sum(twice.values()), least, worst if twice.get(worst) else "")


def _alike_runs(sets: DivisionSets) -> Line:
    """Runs of sections that some set has called before, be it the same."""
    rows = {found.id: [call.section for call in found.calls] for found in sets.scored}
    known: set[tuple[str, ...]] = set()
    again: Counter[str] = Counter()
    for key, row in rows.items():
        for at in range(len(row) - RUN + 1):
            run = tuple(row[at : at + RUN])
            again[key] += run in known
            known.add(run)
    twice = any(before == after for row in rows.values() for before, after in pairwise(row))
    least = least_runs_again(list(map(counted, rows.values())), RUN, twice)
    worst = [key for key, times in again.most_common(1) if times]
    return figure("five_sections_running_alike", sets.name, again.total(), least, "".join(worst))


def _like_orders(sets: DivisionSets) -> Iterator[Line]:
    """Spearman's correlation of the mean places of the sections, between sets that are heard on one day."""
    rows = [[call.section for call in found.calls] for found in sets.scored if len(found.calls) >= LONG]
    names = [found.id for found in sets.scored if len(found.calls) >= LONG]
    sections = sorted({section for row in rows for section in row})
    if len(sections) < SECTIONS or len(rows) < 2:
        return
    ranks = [_ranks([_mean_place(row, section) for section in sections]) for row in rows]
    pairs = [(one, other) for one, other in combinations(range(len(rows)), 2) if other - one <= A_DAY]
    found = {pair: _correlation(ranks[pair[0]], ranks[pair[1]]) for pair in pairs}
    worst = max(found, key=lambda pair: found[pair])
    most = round(found[worst], 3)
    where = f"{names[worst[0]]} and {names[worst[1]]}"
    yield Line("sections_in_like_order", sets.name, most, None, LIKE, most <= LIKE, False, where)


def _mean_place(row: Sequence[str], section: str) -> float | None:
    """Where its calls stand on average."""
    places = [at for at, other in enumerate(row) if other == section]
    return sum(places) / len(places) if places else None


def _ranks(places: Sequence[float | None]) -> list[float]:
    """Of the sections that are called, about their mean; equal ones share theirs. One that is not stands in between."""
    called = [place for place in places if place is not None]
    return [
        0.0 if place is None else sum((place > other) - (place < other) for other in called) / 2 for place in places
    ]


def _correlation(one: Sequence[float], other: Sequence[float]) -> float:
    size = sum(a * a for a in one) * sum(b * b for b in other)
    return sum(a * b for a, b in zip(one, other, strict=True)) / sqrt(size) if size else 0.0
