"""Bounds of the re-check against every possible set of small lists."""

from collections import Counter
from itertools import combinations, pairwise, permutations, product

from hypothesis import given, settings
from hypothesis import strategies as st

from tourney.verify.call_bounds import CallBounds, least_twice_running
from tourney.verify.syllabus import Listing, Row

SIZES = st.lists(st.integers(1, 4), min_size=1, max_size=3)


def listing(sizes: list[int]) -> Listing:
    sections = [f"s{number}" for number, size in enumerate(sizes) for _ in range(size)]
    return Listing(
        tuple(Row(f"i{at}", section, at, (), "book", (), "", "", 1.0) for at, section in enumerate(sections))
    )


def every_set(found: Listing, counts: dict[str, int]) -> list[tuple[int, ...]]:
    """All sets with these calls a section, as places in the list."""
    choices = [
        combinations([at for at, row in enumerate(found.ordered) if row.section == section], counts.get(section, 0))
        for section in found.sections
    ]
    return [tuple(sorted(place for part in parts for place in part)) for parts in product(*choices)]


def neighbours(places: tuple[int, ...]) -> int:
    return sum(b - a == 1 for a, b in pairwise(places))


@settings(max_examples=60)
@given(SIZES, st.data())
def test_neighbours_and_forced_items(sizes: list[int], data: st.DataObject) -> None:
    found = listing(sizes)
    counts = {f"s{number}": data.draw(st.integers(0, size)) for number, size in enumerate(sizes)}
    sets = every_set(found, counts)
    least = min(map(neighbours, sets))
    best = [set(places) for places in sets if neighbours(places) == least]
    forced = CallBounds(found, found.ordered, (counts,)).forced[tuple(sorted((s, n) for s, n in counts.items() if n))]
    assert forced.neighbours == least
    # What is claimed is true of every best set; sparse sets may force things that are not claimed.
    assert all({int(key[1:]) for key in forced.always} <= chosen for chosen in best)
    assert all({int(key[1:]) for key in forced.never}.isdisjoint(chosen) for chosen in best)
    if any(2 * number >= sizes[int(section[1:])] for section, number in counts.items()):
        assert {int(key[1:]) for key in forced.always} == set.intersection(*best)


@settings(max_examples=25)
@given(st.lists(st.integers(2, 3), min_size=1, max_size=2), st.integers(1, 3), st.data())
def test_no_draw_beats_the_bounds_on_use_and_gap(sizes: list[int], number: int, data: st.DataObject) -> None:
    found = listing(sizes)
    counts = {f"s{at}": data.draw(st.integers(0, size)) for at, size in enumerate(sizes)}
    bounds = CallBounds(found, found.ordered, (counts,) * number)
    least = bounds.neighbours(counts)
    best = [places for places in every_set(found, counts) if neighbours(places) == least]
    for draw in product(best, repeat=number):
        uses = Counter(place for places in draw for place in places)
        rows = enumerate(found.ordered)
        by_section: dict[str, list[int]] = {}
        for at, row in rows:
            by_section.setdefault(row.section, []).append(uses[at])
        assert max(max(row) - min(row) for row in by_section.values()) >= bounds.use_spread()
        gaps = [b - a - 1 for a, b in combinations(range(number), 2) if set(draw[a]) & set(draw[b])]
        assert min(gaps, default=number) <= bounds.gap(number) or bounds.gap(number) == number


@settings(max_examples=40)
@given(st.lists(st.sampled_from("abc"), max_size=6))
def test_least_twice_running(sections: list[str]) -> None:
    orders = permutations(sections)
    least = min(sum(a == b for a, b in pairwise(order)) for order in orders)
    assert least_twice_running(sections) == least


def test_24_equal_calls_of_the_66_books() -> None:
    """Sections of 5, 12, 5, 5, 12, 5, 13, 9 with three calls each: 24 such calls force one pair of neighbours.

    Of five books the three that are no neighbours are always the same, and Poetry's last touches Major Prophets' first.
    """
    found = listing([5, 12, 5, 5, 12, 5, 13, 9])
    bounds = CallBounds(found, found.ordered, (dict.fromkeys(found.sections, 3),) * 8)
    assert bounds.neighbours(bounds.sets[0]) == 1
    assert bounds.use_spread() == 8  # Genesis in every set, Exodus in none
    assert bounds.gap(2) == 0


def test_sections_that_interleave_are_never_claimed_to_force_anything() -> None:
    rows = tuple(Row(f"i{at}", f"s{at % 2}", at, (), "book", (), "", "", 1.0) for at in range(6))
    bounds = CallBounds(Listing(rows), rows, ({"s0": 3, "s1": 2},))
    assert bounds.neighbours(bounds.sets[0]) == 0 and bounds.use_spread() == 1
