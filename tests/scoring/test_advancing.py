"""Who goes on: against trying every order that the spans allow."""

from fractions import Fraction
from itertools import permutations, product

from hypothesis import given
from hypothesis import strategies as st

from tourney.scoring.advancing import advancing, reaching
from tourney.scoring.ranges import Span, place_ranges


def fixed(**worth: int) -> dict[str, Span]:
    return {team: Span(Fraction(value), Fraction(value)) for team, value in worth.items()}


def test_the_best_go_on() -> None:
    found = advancing(fixed(A=4, B=3, C=2, D=1), {team: team for team in "ABCD"}, 2, 1)
    assert found == {"A": "certain", "B": "certain", "C": "out", "D": "out"}


def test_a_tie_at_the_cut_is_possible_and_one_above_it_matters_to_nobody() -> None:
    club = {team: team for team in "ABCD"}
    assert advancing(fixed(A=4, B=2, C=2, D=1), club, 2, 1) == {
        "A": "certain", "B": "possible", "C": "possible", "D": "out",
    }  # fmt: skip
    assert advancing(fixed(A=4, B=4, C=2, D=1), club, 2, 1)["B"] == "certain"


def test_no_more_than_allowed_of_one_club() -> None:
    club = {"A": "x", "B": "x", "C": "x", "D": "y", "E": "z"}
    found = advancing(fixed(A=5, B=4, C=3, D=2, E=1), club, 3, 2)
    assert found == {"A": "certain", "B": "certain", "C": "out", "D": "certain", "E": "out"}


def test_nobody_goes_on_where_nobody_may() -> None:
    assert advancing(fixed(A=2, B=1), {"A": "x", "B": "y"}, 0, 1) == {"A": "out", "B": "out"}


def goers(order: tuple[str, ...], club: dict[str, str], advance: int, per_club: int) -> set[str]:
    """The plain walk down one order, for comparison."""
    chosen: list[str] = []
    for team in order:
        if len(chosen) < advance and [club[one] for one in chosen].count(club[team]) < per_club:
            chosen.append(team)
    return set(chosen)


@given(
    st.dictionaries(st.sampled_from("ABCDE"), st.tuples(st.integers(0, 6), st.integers(0, 3)), min_size=1),
    st.lists(st.sampled_from("xyz"), min_size=5, max_size=5),
    st.integers(0, 4),
    st.integers(1, 3),
)
def test_never_falsely_certain_never_falsely_out(
    ends: dict[str, tuple[int, int]], clubs: list[str], advance: int, per_club: int
) -> None:
    spans = {team: Span(Fraction(low), Fraction(low + width)) for team, (low, width) in ends.items()}
    club = dict(zip("ABCDE", clubs, strict=True))
    found, ranges = advancing(spans, club, advance, per_club), place_ranges(spans)
    for order in permutations(sorted(spans)):
        # An order can come about when nobody stands behind somebody who surely has less.
        if any(spans[ahead].most < spans[behind].least for at, behind in enumerate(order) for ahead in order[:at]):
            continue
        went = goers(order, club, advance, per_club)
        for place, team in enumerate(order, start=1):
            assert ranges[team][0] <= place <= ranges[team][1]
            assert not (found[team] == "certain" and team not in went)
            assert not (found[team] == "out" and team in went)


def parts(**reached: tuple[int, int]) -> dict[str, Span]:
    """Tenths of the points available."""
    return {team: Span(Fraction(low, 10), Fraction(high, 10)) for team, (low, high) in reached.items()}


def test_who_falls_short_of_the_part_asked_for_is_out_and_in_nobodys_way() -> None:
    club = {team: team for team in "ABCD"}
    had = parts(A=(9, 9), B=(8, 8), C=(9, 9), D=(7, 7))
    spans = fixed(A=4, B=3, C=2, D=1)
    wanted = {"A": "certain", "B": "out", "C": "certain", "D": "out"}
    assert reaching(spans, had, Fraction("0.85"), club, 2, 1) == wanted
    assert reaching(spans, had, Fraction("0.9"), club, 4, 1) == wanted  # exactly as much is enough
    assert reaching(spans, had, Fraction("0.91"), club, 4, 1) == dict.fromkeys("ABCD", "out")
    still = had | parts(B=(8, 9))
    assert reaching(spans, still, Fraction("0.85"), club, 2, 1) == {
        "A": "certain", "B": "possible", "C": "possible", "D": "out",
    }  # fmt: skip
    assert reaching(fixed(A=4, C=2, D=2), had, Fraction("0.7"), club, 2, 1)["D"] == "possible"  # level at the cut


@given(
    st.dictionaries(st.sampled_from("ABCDE"), st.tuples(st.integers(0, 6), st.integers(0, 3)), min_size=1),
    st.lists(st.tuples(st.integers(0, 9), st.integers(0, 3)), min_size=5, max_size=5),
    st.lists(st.sampled_from("xyz"), min_size=5, max_size=5),
    st.integers(0, 4),
    st.integers(1, 3),
)
def test_with_a_part_asked_for_nobody_is_falsely_certain_or_out(
    ends: dict[str, tuple[int, int]],
    reached: list[tuple[int, int]],
    clubs: list[str],
    advance: int,
    per_club: int,
) -> None:
    spans = {team: Span(Fraction(low), Fraction(low + width)) for team, (low, width) in ends.items()}
    club = dict(zip("ABCDE", clubs, strict=True))
    had = parts(**{team: (low, low + width) for team, (low, width) in zip("ABCDE", reached, strict=True)})
    floor = Fraction(1, 2)
    found = reaching(spans, had, floor, club, advance, per_club)
    outcomes = [sorted({had[team].least >= floor, had[team].most >= floor}) for team in spans]
    for passed in product(*outcomes):
        there = [team for team, passes in zip(spans, passed, strict=True) if passes]
        for order in permutations(there):
            if any(spans[ahead].most < spans[behind].least for at, behind in enumerate(order) for ahead in order[:at]):
                continue
            went = goers(order, club, advance, per_club)
            assert not any(found[team] == "certain" and team not in went for team in spans)
            assert not any(found[team] == "out" for team in went)


@given(
    st.dictionaries(st.sampled_from("ABCDEF"), st.integers(0, 9), min_size=1),
    st.lists(st.sampled_from("xyz"), min_size=6, max_size=6),
    st.integers(0, 4),
    st.integers(1, 3),
)
def test_without_ties_and_with_all_in_nothing_stays_open(
    worth: dict[str, int], clubs: list[str], advance: int, per_club: int
) -> None:
    spans = fixed(**{team: 10 * value + at for at, (team, value) in enumerate(sorted(worth.items()))})
    club = dict(zip("ABCDEF", clubs, strict=True))
    order = tuple(sorted(spans, key=lambda team: -spans[team].least))
    went = goers(order, club, advance, per_club)
    assert advancing(spans, club, advance, per_club) == {team: "certain" if team in went else "out" for team in spans}
