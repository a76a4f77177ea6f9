"""Whatever the list and the rules: sound sets, or a refusal; and where that says proven, no direct model finds any."""

from collections.abc import Sequence
from fractions import Fraction
from itertools import combinations
from math import ceil, floor
from typing import Any

from hypothesis import HealthCheck, event, given, settings
from hypothesis import strategies as st
from ortools.sat.python import cp_model

from tourney.draw import Draw
from tourney.errors import Refusal
from tourney.planning.calls.draw import draw_call_sets
from tourney.planning.calls.exact import crowd_limit
from tourney.planning.calls.need import needs_of

ROUNDS = [(1,), (1, 2), (1, 1, 2, 2), (1, 2, 3), (1, 1, 1)]


def some_sets(sizes: Sequence[int], rounds: Sequence[int], calls: int, gap: int, by_size: bool) -> bool | None:
    """Are there sets by these rules, as one model with a variable for each set and item; None if it can't tell.

    In every round and after it a section has its share of the calls, rounded up or down; sets of a round are alike in
    this; no item twice within the gap; and so few neighbours in a set that they can be kept four calls apart.
    """
    model = cp_model.CpModel()
    section = [number for number, size in enumerate(sizes) for _ in range(size)]
    shares = [calls * (Fraction(size, len(section)) if by_size else Fraction(1, len(sizes))) for size in sizes]
    rows = [[model.new_bool_var("") for _ in section] for _ in rounds]
    for row in rows:
        model.add(sum(row) == calls)
        crowded = []
        for item in range(len(section)):
            near = [by for by in (item - 1, item + 1) if 0 <= by < len(section)]
            beside = model.new_bool_var("")
            for by in near:
                model.add_bool_or(~row[item], ~row[by], beside)
            crowded.append(beside)
        model.add(sum(crowded) <= crowd_limit(calls))
    for (at, one), (to, other) in combinations(enumerate(rows), 2):
        if to - at <= gap:
            for mine, theirs in zip(one, other, strict=True):
                model.add(mine + theirs <= 1)
    for number, share in enumerate(shares):
        counts = [sum(held for held, its in zip(row, section, strict=True) if its == number) for row in rows]
        first = {past: counts[rounds.index(past)] for past in sorted(set(rounds))}
        for round_, count in zip(rounds, counts, strict=True):
            model.add(count == first[round_])
        for past, count in enumerate(first.values(), 1):
            model.add_linear_constraint(count, floor(share), ceil(share))
            so_far = sum(list(first.values())[:past])
            model.add_linear_constraint(so_far, floor(past * share), ceil(past * share))
    solver = cp_model.CpSolver()
    solver.parameters.num_workers, solver.parameters.max_deterministic_time = 1, 5.0
    return {cp_model.OPTIMAL: True, cp_model.FEASIBLE: True, cp_model.INFEASIBLE: False}.get(solver.solve(model))


@settings(max_examples=120, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    st.lists(st.integers(1, 6), min_size=1, max_size=4),
    st.sampled_from(ROUNDS),
    st.integers(1, 9),
    st.sampled_from([None, 0, 1, 2]),
    st.booleans(),
)
def test_what_is_proven_impossible_has_no_sets_and_what_is_drawn_has_some(
    needs: Any, ruled: Any, listed: Any, sizes: list[int], rounds: tuple[int, ...], calls: int, gap: int | None,
    by_size: bool,
) -> None:  # fmt: skip
    division = ruled(calls=calls, no_repeat_gap=gap, sections="by_size" if by_size else "equal")
    there = some_sets(sizes, rounds, calls, gap or 0, by_size)
    try:
        drawn = draw_call_sets(division, needs(rounds, others=False), listed(sizes), Draw("words", "salt"))
    except Refusal as refusal:
        event("refused, proven" if refusal.proven else "refused, not found")
        assert there is not True or not refusal.proven, refusal.message
    else:
        event("drawn")
        assert there is not False
        assert len(drawn.sets) == len(rounds)


def orderly_sets(items: int, calls: int) -> int:
    """How many sets of a list in one section can be called without neighbours within three calls of each other."""
    return sum(
        sum(bool({item - 1, item + 1} & {*chosen}) for item in chosen) <= crowd_limit(calls)
        for chosen in combinations(range(items), calls)
    )


@settings(max_examples=60, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.integers(5, 12), st.sampled_from(ROUNDS), st.integers(1, 5), st.integers(1, 6))
def test_sets_beside_the_rounds_are_proven_too_few_only_where_counting_agrees(
    ruled: Any, listed: Any, items: int, rounds: tuple[int, ...], calls: int, reserve_sets: int
) -> None:
    """A final, practice and the reserve sets each differ from the others and from a round; so do three drill-offs."""
    division = ruled(calls=calls, reserve_sets=reserve_sets)
    needs = needs_of(division, "J", {f"W{number}": round_ for number, round_ in enumerate(rounds)})
    enough = orderly_sets(items, calls) >= 3 + reserve_sets and orderly_sets(items, 3) >= 3
    enough &= calls != 3 or orderly_sets(items, 3) >= 6 + reserve_sets
    try:
        drawn = draw_call_sets(division, needs, listed((items,)), Draw("words", "salt"))
    except Refusal as refusal:
        event("refused, proven" if refusal.proven else "refused, not found")
        assert not (refusal.proven and enough), refusal.shortages
    else:
        assert enough
        others = [frozenset(call.item for call in one.calls) for one in drawn.sets if one.use != "rotation"]
        assert len(set(others)) == len(others)
