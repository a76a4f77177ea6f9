"""Whether earlier calls of a set tell anything about later ones."""

from collections.abc import Callable, Iterator
from itertools import combinations, pairwise

from tourney.verify.call_bounds import least_twice_running
from tourney.verify.division_sets import DivisionSets
from tourney.verify.line import Line, figure, rule

NEARBY = 3  # calls for which an answer is still in the ear (common practice, no source)
RUN = 5  # sections in a row that no two sets should share


def clue_lines(sets: DivisionSets) -> Iterator[Line]:
    """All of a division."""
    yield rule("neighbours_within_three_calls", sets.name, _near(sets, sets.listing.neighbours))
    yield _neighbours(sets)
    alike = list(_near(sets, sets.listing.sound_alike))
    yield figure("sound_alikes_within_three_calls", sets.name, len(alike), 0, "; ".join(alike[:2]))
    yield _twice_running(sets)
    yield _alike_runs(sets)


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
    rows = {found.id: [call.section for call in found.calls] for found in sets.scored}
    runs = {key: {tuple(row[at : at + RUN]) for at in range(len(row) - RUN + 1)} for key, row in rows.items()}
    pairs = [f"{one} and {other}" for one, other in combinations(runs, 2) if runs[one] & runs[other]]
    return figure("five_sections_running_alike", sets.name, len(pairs), 0, "; ".join(pairs[:2]))
