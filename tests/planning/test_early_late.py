"""Early and late waves: the proven bound against every other placement, and against the re-check's own proof."""

from collections.abc import Iterator, Sequence
from datetime import UTC, datetime, timedelta
from itertools import pairwise, permutations, product
from random import Random
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tourney.model.plan import DrawRecord, Heat, Plan, Wave
from tourney.planning.early_late import early_late
from tourney.planning.rotation.draw import draw_rotation
from tourney.verify.early_late import early_late_line

NINE = datetime(2027, 4, 17, 9, tzinfo=UTC)


def waves_of(number: int) -> dict[str, Wave]:
    """Waves of 15 minutes, 5 apart, so that nobody can be in two that follow each other."""
    return {f"W{n:02}": Wave(f"W{n:02}", NINE + timedelta(minutes=20 * n), 15) for n in range(number)}


def day_of(teams: int, rounds: int, rooms: int, seed: int) -> list[Heat]:
    """Rounds of pairs, each poured into waves of so many rooms; nobody may be rested."""
    random = Random(seed)
    heats, wave = [], 0
    drawn = draw_rotation([(f"T{n:02}", f"C{n}") for n in range(teams)], rounds, 2, random).rounds
    for number, pairs in enumerate(drawn, 1):
        for at, pair in enumerate(random.sample(pairs, len(pairs))):
            where = f"W{wave + at // rooms:02}"
            heats.append(
                Heat(f"J-R{number}-{at}", "Junior", number, where, "Hall", f"J-{where}", pair, (), "", None, ())
            )
        wave += -(-len(pairs) // rooms)
    return heats


def other_ways(heats: Sequence[Heat]) -> Iterator[list[tuple[Heat, str]]]:
    """Every way to put the heats of each round into its waves, as many in each as there are."""
    rounds = [[heat for heat in heats if heat.round == n] for n in sorted({heat.round for heat in heats})]
    for way in product(*(sorted(set(permutations([heat.wave for heat in held]))) for held in rounds)):
        yield [pair for held, row in zip(rounds, way, strict=True) for pair in zip(held, row, strict=True)]


def least(heats: Sequence[Heat], rest: int) -> int | None:
    """The most uneven team of the most even way in which everybody rests; None where there is no such way."""
    waves: dict[int, list[str]] = {n: sorted({h.wave for h in heats if h.round == n}) for n in {h.round for h in heats}}
    best: int | None = None
    for way in other_ways(heats):
        days: dict[str, list[tuple[int, str]]] = {}
        for heat, wave in way:
            for team in heat.teams:
                days.setdefault(team, []).append((heat.round, wave))
        if any(
            rest and int(after[1][1:]) - int(before[1][1:]) < 2
            for day in days.values()
            for before, after in pairwise(day)
        ):
            continue
        off = [abs(sum((2 * waves[n].index(w) > len(waves[n]) - 1) - (2 * waves[n].index(w) < len(waves[n]) - 1)
                       for n, w in day)) for day in days.values()]  # fmt: skip
        best = max(off) if best is None else min(best, max(off))
    return best


@settings(max_examples=40, deadline=None)
@given(
    shape=st.sampled_from([(4, 3, 1), (6, 3, 1), (6, 4, 2), (8, 3, 3), (5, 4, 1)]),
    rest=st.sampled_from([0, 10]),
    seed=st.integers(0, 500),
)
def test_no_placement_is_below_the_bound_and_the_recheck_agrees(
    make: Any, shape: tuple[int, int, int], rest: int, seed: int
) -> None:
    heats = day_of(*shape, seed)
    best = least(heats, rest)
    waves = waves_of(1 + max(int(heat.wave[1:]) for heat in heats))
    found = early_late(heats, waves, rest)
    measured = max(map(abs, found.tilt.values()))
    if best is None or best > measured:
        return  # the drawn day gives too little rest itself
    assert found.bound == best
    event = make.event([{"name": "Junior"}], 1, day={"rest": rest})
    plan = Plan(1, event, DrawRecord("", "", ""), (), {}, (), tuple(waves.values()), tuple(heats), (), (), ())
    again = early_late_line(plan, "Junior", heats)
    assert (again.measured, again.bound) == (measured, found.bound)


@pytest.mark.parametrize("rounds", [1, 2, 3])
def test_late_seats_that_are_more_than_early_ones_are_shared_out(rounds: int) -> None:
    """Six teams, one early heat and two late ones a round: a third of a late heat a team and round more than early."""
    heats = []
    for number in range(rounds):
        for place, pair in enumerate((("a", "b"), ("c", "d"), ("e", "f"))):
            wave = f"W{4 * number + 2 * (place > 0):02}"
            heats.append(Heat(f"{number}{place}", "Junior", number, wave, "Hall", "", pair, (), "", None, ()))
    found = early_late(heats, waves_of(4 * rounds), 10)
    assert found.tilt == {"a": -rounds, "b": -rounds, "c": rounds, "d": rounds, "e": rounds, "f": rounds}
    assert found.bound == {1: 1, 2: 2, 3: 1}[rounds]
