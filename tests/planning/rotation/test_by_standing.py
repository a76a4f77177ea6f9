"""One round by standing: against every possible round, and against other solvers."""

from collections import Counter
from collections.abc import Iterator
from itertools import combinations
from random import Random

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from ortools.sat.python import cp_model

from tourney.planning.rotation.by_standing import Entrant, draw_by_standing

Pairs = list[frozenset[str]]


def entrants(teams: int, seed: int, club: int = 2) -> list[Entrant]:
    random = Random(seed)
    places = sorted(random.choices(range(1, teams + 1), k=teams))
    return [
        Entrant(f"T{n:02}", f"C{n % (teams // club + 1)}", places[n], random.randrange(2), random.choice((-1, 1)))
        for n in range(teams)
    ]


def some_met(entered: list[Entrant], seed: int) -> Counter[frozenset[str]]:
    random = Random(seed)
    teams = [entrant.team for entrant in entered]
    return Counter(frozenset(random.sample(teams, 2)) for _ in range(len(teams)))


def price(entered: list[Entrant], met: Counter[frozenset[str]], heats: list[tuple[str, ...]]) -> tuple[int, int, int]:
    """Own-club meetings, repeated ones, then places apart and sides, as the rules put them in order."""
    of = {entrant.team: entrant for entrant in entered}
    pairs = [(of[one], of[other]) for heat in heats for one, other in combinations(heat, 2)]
    return (
        sum(one.club == other.club for one, other in pairs),
        sum(met[frozenset((one.team, other.team))] for one, other in pairs),
        sum((one.place - other.place) ** 2 + (one.tilt * other.tilt > 0) for one, other in pairs),
    )


def all_rounds(teams: list[str]) -> Iterator[list[tuple[str, ...]]]:
    if not teams:
        yield []
    else:
        one, *others = teams
        for other in others:
            for rest in all_rounds([team for team in others if team != other]):
                yield [(one, other), *rest]


@settings(max_examples=40)
@given(st.sampled_from([2, 4, 6, 8]), st.integers(0, 1000))
def test_no_other_round_of_pairs_is_better(teams: int, seed: int) -> None:
    entered, met = entrants(teams, seed), some_met(entrants(teams, seed), seed)
    heats, away = draw_by_standing(entered, met, 2, Random(seed))
    assert away == ()
    best = min(price(entered, met, round_) for round_ in all_rounds([entrant.team for entrant in entered]))
    assert price(entered, met, heats) == best


@settings(max_examples=5)
@given(st.integers(0, 1000))
def test_the_matching_is_as_cheap_as_a_constraint_solver_finds(seed: int) -> None:
    """Reference: the same instance, 14 teams, as a CP-SAT model of ortools, solved to its proof."""
    entered, met = entrants(14, seed), some_met(entrants(14, seed), seed)
    heats, _ = draw_by_standing(entered, met, 2, Random(seed))
    model = cp_model.CpModel()
    weight = (10**6, 10**4, 1)
    chosen = {pair: model.new_bool_var("") for pair in combinations((entrant.team for entrant in entered), 2)}
    for entrant in entered:
        model.add_exactly_one(taken for pair, taken in chosen.items() if entrant.team in pair)
    whole = {pair: int(np.dot(weight, price(entered, met, [pair]))) for pair in chosen}
    model.minimize(sum(whole[pair] * taken for pair, taken in chosen.items()))
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    assert solver.solve(model) == cp_model.OPTIMAL
    assert int(np.dot(weight, price(entered, met, heats))) == round(solver.objective_value)


@settings(max_examples=30)
@given(st.integers(1, 17), st.integers(1, 5), st.integers(0, 1000))
def test_everyone_is_drawn_once_in_heats_as_even_as_can_be(teams: int, size: int, seed: int) -> None:
    entered, met = entrants(teams, seed), some_met(entrants(teams, seed), seed) if teams > 1 else Counter()
    heats, away = draw_by_standing(entered, met, size, Random(seed))
    assert sorted([*away, *(team for heat in heats for team in heat)]) == [entrant.team for entrant in entered]
    sizes = [len(heat) for heat in heats]
    assert max(sizes) <= size
    assert max(sizes) - min(sizes) <= 1
    assert (heats, away) == draw_by_standing(entered[::-1], met, size, Random(seed))


@given(st.integers(1, 8), st.integers(0, 1000))
def test_the_bye_goes_to_the_lowest_of_those_with_fewest(half: int, seed: int) -> None:
    entered = entrants(2 * half + 1, seed)
    _, (resting,) = draw_by_standing(entered, Counter(), 2, Random(seed))
    (found,) = [entrant for entrant in entered if entrant.team == resting]
    fewest = min(entrant.byes for entrant in entered)
    assert found.byes == fewest
    assert found.place == max(entrant.place for entrant in entered if entrant.byes == fewest)


@pytest.mark.parametrize(("teams", "size"), [(9, 3), (12, 4), (15, 5)])
def test_larger_heats_go_by_standing_where_nothing_is_in_the_way(teams: int, size: int) -> None:
    entered = [Entrant(f"T{n:02}", f"C{n}", 1 + n, 0, 0) for n in range(teams)]
    heats, _ = draw_by_standing(entered, Counter(), size, Random(1))
    assert sorted(sorted(heat) for heat in heats) == [
        [f"T{n:02}" for n in range(start, start + size)] for start in range(0, teams, size)
    ]


def test_larger_heats_keep_clubs_and_old_opponents_apart() -> None:
    """Twelve teams in threes, clubs of two, one round behind them: a round without either exists, and is found."""
    entered = [Entrant(f"T{n:02}", f"C{n // 2}", 1 + n, 0, 0) for n in range(12)]
    first = [[f"T{n:02}" for n in range(start, 12, 4)] for start in range(4)]
    met = Counter(frozenset(pair) for heat in first for pair in combinations(heat, 2))
    heats, _ = draw_by_standing(entered, met, 3, Random(1))
    assert price(entered, met, heats)[:2] == (0, 0)


def test_who_was_in_a_smaller_heat_is_not_again() -> None:
    entered = [Entrant(f"T{n}", f"C{n}", 1, int(n < 2), 0) for n in range(8)]
    heats, _ = draw_by_standing(entered, Counter(), 3, Random(1))
    (small,) = [heat for heat in heats if len(heat) == 2]
    assert not {"T0", "T1"} & set(small)


def test_a_looser_draw_differs() -> None:
    entered = [Entrant(f"T{n:02}", f"C{n}", 1 + n, 0, 0) for n in range(20)]
    strict, loose = (draw_by_standing(entered, Counter(), 2, Random(3), loose)[0] for loose in (0, 6))
    assert sorted(sorted(heat) for heat in strict) != sorted(sorted(heat) for heat in loose)
