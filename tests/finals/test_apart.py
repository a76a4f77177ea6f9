"""Teams of one club meet as late as can be: against every drawing of small cases, tried one by one."""

from collections.abc import Iterator, Sequence
from itertools import combinations, permutations, product
from random import Random
from string import ascii_uppercase

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tourney.finals.apart import Drawing, drawing, keep_apart


def pairs_by_level(drawn: Drawing, placed: Sequence[int], clubs: Sequence[str]) -> list[int]:
    """Pairs of one club in each half, then in each quarter and so on."""
    row = [[clubs[placed[place - 1] - 1] for place in cell] for cell in drawn.cells]
    found = []
    size = len(row) // 2
    while size:
        blocks = [[club for cell in row[at : at + size] for club in cell] for at in range(0, len(row), size)]
        found.append(sum(block.count(club) * (block.count(club) - 1) // 2 for block in blocks for club in set(block)))
        size //= 2
    return found


def every_drawing(drawn: Drawing) -> list[tuple[int, ...]]:
    tiers: dict[int, list[int]] = {}
    for seed, tier in drawn.tier.items():
        tiers.setdefault(tier, []).append(seed)
    found = []
    for orders in product(*(permutations(tier) for tier in tiers.values())):
        placed = {
            place: seed
            for tier, order in zip(tiers.values(), orders, strict=True)
            for place, seed in zip(tier, order, strict=True)
        }
        found.append(tuple(placed[place] for place in sorted(placed)))
    return found


def every_mix_of_clubs(teams: int) -> Iterator[str]:
    """Each way in which that many seeds may be split into clubs, once."""

    def grown(clubs: str) -> Iterator[str]:
        if len(clubs) == teams:
            yield clubs
            return
        for club in ascii_uppercase[: len(set(clubs)) + 1]:
            yield from grown(clubs + club)

    return grown("")


@pytest.mark.parametrize("teams", [4, 5, 6, 7, 8])
def test_no_drawing_keeps_clubs_apart_longer(teams: int) -> None:
    drawn = drawing(teams, 2)
    others = every_drawing(drawn)
    for clubs in every_mix_of_clubs(teams):
        best = min(pairs_by_level(drawn, other, clubs) for other in others)
        assert pairs_by_level(drawn, keep_apart(drawn, clubs), clubs) == best, clubs


@pytest.mark.parametrize(("teams", "size"), [(5, 2), (6, 2), (7, 2), (8, 2), (10, 2), (8, 3), (9, 4)])
def test_no_drawing_that_keeps_clubs_apart_as_long_keeps_pools_apart_longer(teams: int, size: int) -> None:
    """Pools after clubs: every drawing of chance mixes, most of them with the best of each pool before the others."""
    drawn, random = drawing(teams, size), Random(f"{teams} {size}")
    met = pairs_by_level if size == 2 else lambda *asked: [pairs_in_lines(*asked)]
    others = every_drawing(drawn)
    for _ in range(25):
        clubs = random.choices(ascii_uppercase[: random.choice([3, 5, 9])], k=teams)
        pools = [pool for _ in range(teams) for pool in random.sample("ABC", 3)][:teams]
        best = min((met(drawn, other, clubs), met(drawn, other, pools)) for other in others)
        found = keep_apart(drawn, clubs, pools)
        assert (met(drawn, found, clubs), met(drawn, found, pools)) == best, (clubs, pools)


@pytest.mark.parametrize("pools", [2, 4, 8])
def test_first_and_second_of_a_pool_meet_in_the_last_heat_alone(pools: int) -> None:
    """Common practice, no source: the first of each pool meet the seconds of others; no two of a pool in one half."""
    drawn = drawing(2 * pools, 2)
    for seconds in range(pools):
        order = [*range(pools)], [(pool + seconds) % pools for pool in range(pools)]
        names = [ascii_uppercase[pool] for row in order for pool in row]
        found = keep_apart(drawn, [str(at) for at in range(2 * pools)], names)
        assert pairs_by_level(drawn, found, names)[0] == 0
        assert found[:2] == (1, 2)


@settings(max_examples=60)
@given(st.lists(st.sampled_from("ABCDE"), min_size=2, max_size=64))
def test_seeds_move_within_their_tier_alone(clubs: list[str]) -> None:
    drawn = drawing(len(clubs), 2)
    placed = keep_apart(drawn, clubs)
    assert sorted(placed) == list(range(1, len(clubs) + 1))
    assert all(drawn.tier[place] == drawn.tier[seed] for place, seed in enumerate(placed, 1))
    assert placed[:2] == (1, 2)


@given(st.integers(2, 64))
def test_nobody_moves_where_no_two_are_of_a_club(entries: int) -> None:
    assert keep_apart(drawing(entries, 2), [str(n) for n in range(entries)]) == tuple(range(1, entries + 1))


def test_one_swap_is_enough_for_two_of_a_club_who_would_meet_first() -> None:
    placed = keep_apart(drawing(8, 2), [*"AbcdefgA"])
    moved = [place for place, seed in enumerate(placed, 1) if place != seed]
    assert len(moved) == 2 and 8 in moved


@settings(max_examples=60)
@given(st.lists(st.sampled_from("ABCDEF"), min_size=5, max_size=40), st.integers(3, 5))
def test_lines_of_more_hold_no_more_of_a_club_than_dealt(clubs: list[str], size: int) -> None:
    drawn = drawing(len(clubs), size)
    placed = keep_apart(drawn, clubs)
    assert sorted(placed) == list(range(1, len(clubs) + 1))
    first = len(drawn.cells)
    assert placed[:first] == tuple(range(1, first + 1))
    assert pairs_in_lines(drawn, placed, clubs) <= pairs_in_lines(drawn, range(1, len(clubs) + 1), clubs)


@pytest.mark.parametrize(("teams", "size"), [(5, 4), (6, 3), (7, 3), (8, 3), (8, 5), (9, 4)])
def test_no_lines_of_more_hold_fewer_of_a_club(teams: int, size: int) -> None:
    drawn = drawing(teams, size)
    others = every_drawing(drawn)
    for clubs in every_mix_of_clubs(teams):
        if len(set(clubs)) > 3:
            continue
        best = min(pairs_in_lines(drawn, other, clubs) for other in others)
        assert pairs_in_lines(drawn, keep_apart(drawn, clubs), clubs) == best, clubs


def pairs_in_lines(drawn: Drawing, placed: Sequence[int], clubs: Sequence[str]) -> int:
    lines = [[clubs[placed[place - 1] - 1] for place in cell] for cell in drawn.cells]
    return sum(one == other for line in lines for one, other in combinations(line, 2))
