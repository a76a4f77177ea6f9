"""Who goes on from pools: against trying every outcome that the spans allow, with a plain walk down each."""

from collections import Counter
from collections.abc import Iterator
from fractions import Fraction
from itertools import pairwise, permutations, product

from hypothesis import given
from hypothesis import strategies as st

from tourney.scoring.from_pools import Contender, Quota, from_pools
from tourney.scoring.ranges import Span

Ends = tuple[int, int]


def contender(team: str, club: str, ends: Ends) -> Contender:
    """A team whose name begins with its pool; worth as much in the pool as across."""
    span = Span(Fraction(ends[0]), Fraction(ends[1]))
    return Contender(team, team[0], club, span, span)


def settled(worth: dict[str, int], clubs: dict[str, str] | None = None) -> list[Contender]:
    return [contender(team, (clubs or {}).get(team, team), (value, value)) for team, value in worth.items()]


def outcomes(there: list[Contender]) -> Iterator[tuple[str, ...]]:
    """Every order of all teams, best first, that the spans allow; level teams both ways."""
    ends = [range(int(one.own.least), int(one.own.most) + 1) for one in there]
    seen = set()
    for worth in product(*ends):
        values = dict(zip([one.team for one in there], worth, strict=True))
        for order in permutations(values):
            if order not in seen and all(values[a] >= values[b] for a, b in pairwise(order)):
                seen.add(order)
                yield order


def goers(order: tuple[str, ...], club: dict[str, str], quota: Quota) -> set[str]:
    """The rule in plain steps: place after place the first of each pool, then the best others."""
    pools: dict[str, list[str]] = {}
    for team in order:
        pools.setdefault(team[0], []).append(team)
    chosen: list[str] = []

    def may(team: str) -> bool:
        return len(chosen) < quota.places and Counter(club[one] for one in chosen)[club[team]] < quota.per_club

    for place in range(max(map(len, pools.values()))):
        for team in (one for one in order if pools[one[0]].index(one) == place):
            if sum(one[0] == team[0] for one in chosen) < quota.first and may(team):
                chosen.append(team)
    for team in order:
        if team not in chosen and may(team):
            chosen.append(team)
    return set(chosen)


def test_the_first_of_each_pool_then_the_best_others() -> None:
    found = from_pools(settled({"A1": 9, "A2": 8, "A3": 7, "B1": 6, "B2": 5, "B3": 4}), Quota(1, 4, 9))
    assert [team for team, now in found.items() if now == "certain"] == ["A1", "A2", "A3", "B1"]
    assert {found["B2"], found["B3"]} == {"out"}


def test_a_tie_for_the_place_of_a_pool_is_possible_for_both() -> None:
    found = from_pools(settled({"A1": 9, "A2": 9, "B1": 6, "B2": 5}), Quota(1, 2, 9))
    assert found == {"A1": "possible", "A2": "possible", "B1": "certain", "B2": "out"}


def test_a_tie_within_a_pool_matters_to_nobody_where_both_go_on_anyway() -> None:
    found = from_pools(settled({"A1": 9, "A2": 9, "B1": 6, "B2": 5}), Quota(1, 3, 9))
    assert found == {"A1": "certain", "A2": "certain", "B1": "certain", "B2": "out"}


def test_a_tie_between_pools_is_only_of_the_others() -> None:
    found = from_pools(settled({"A1": 9, "A2": 5, "B1": 5, "B2": 5}), Quota(1, 3, 9))
    assert found == {"A1": "certain", "A2": "possible", "B1": "possible", "B2": "possible"}
    found = from_pools(settled({"A1": 9, "A2": 5, "B1": 6, "B2": 5}), Quota(1, 3, 9))
    assert found == {"A1": "certain", "A2": "possible", "B1": "certain", "B2": "possible"}


def test_the_place_of_a_full_club_goes_to_the_next_of_the_pool() -> None:
    clubs = {"A1": "x", "B1": "x", "A2": "y", "B2": "z"}
    found = from_pools(settled({"A1": 9, "A2": 1, "B1": 8, "B2": 2}, clubs), Quota(1, 2, 1))
    assert found == {"A1": "certain", "A2": "out", "B1": "out", "B2": "certain"}


CASES = st.tuples(
    st.lists(st.tuples(st.sampled_from("AB"), st.integers(0, 3), st.integers(0, 1)), min_size=1, max_size=5),
    st.lists(st.sampled_from("xyz"), min_size=5, max_size=5),
    st.integers(1, 2),
    st.integers(0, 2),
    st.integers(1, 3),
)


def drawn(teams: list[tuple[str, int, int]], clubs: list[str] | None) -> list[Contender]:
    return [
        contender(f"{pool}{at}", clubs[at] if clubs else str(at), (low, low + width))
        for at, (pool, low, width) in enumerate(teams)
    ]


@given(CASES)
def test_never_falsely_certain_never_falsely_out(
    case: tuple[list[tuple[str, int, int]], list[str], int, int, int],
) -> None:
    teams, clubs, first, more, per_club = case
    there = drawn(teams, clubs)
    quota = Quota(first, first * len({one.pool for one in there}) + more, per_club)
    club = {one.team: one.club for one in there}
    every = [goers(order, club, quota) for order in outcomes(there)]
    for team, now in from_pools(there, quota).items():
        assert now != "certain" or all(team in chosen for chosen in every)
        assert now != "out" or not any(team in chosen for chosen in every)


@given(CASES)
def test_exact_once_all_is_settled_and_where_no_club_is_crowded(
    case: tuple[list[tuple[str, int, int]], list[str], int, int, int],
) -> None:
    teams, clubs, first, more, per_club = case
    for there in (drawn([(pool, low, 0) for pool, low, _ in teams], clubs), drawn(teams, None)):
        quota = Quota(first, first * len({one.pool for one in there}) + more, per_club)
        club = {one.team: one.club for one in there}
        every = [goers(order, club, quota) for order in outcomes(there)]
        for team, now in from_pools(there, quota).items():
            times = sum(team in chosen for chosen in every)
            assert now == {len(every): "certain", 0: "out"}.get(times, "possible")
