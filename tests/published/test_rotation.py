"""The rotation against published tables and numbers; the measure against tables that others drew."""

from collections import Counter
from collections.abc import Sequence
from itertools import combinations
from random import Random

import networkx as nx
import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import linear_sum_assignment

from tourney.planning.rotation.draw import draw_rotation, measured
from tourney.planning.rotation.matching import matched_rounds
from tourney.planning.rotation.measure import measure
from tourney.planning.rotation.patterns import circle, grid_with_columns

# Berger tables (Crenshaw-Berger), two public transcriptions that agree: Scribd document 381712253 and
# c.w.fox.tripod.com/chess/berger.html. That they are Annex 1 of FIDE Handbook C.05 comes from memory.
BERGER = {
    4: "1-4 2-3|4-3 1-2|2-4 3-1",
    6: "1-6 2-5 3-4|6-4 5-3 1-2|2-6 3-1 4-5|6-5 1-4 2-3|3-6 4-2 5-1",
    8: "1-8 2-7 3-6 4-5|8-5 6-4 7-3 1-2|2-8 3-1 4-7 5-6|8-6 7-5 1-4 2-3|3-8 4-2 5-1 6-7|8-7 1-6 2-5 3-4|"
    "4-8 5-3 6-2 7-1",
    10: "1-10 2-9 3-8 4-7 5-6|10-6 7-5 8-4 9-3 1-2|2-10 3-1 4-9 5-8 6-7|10-7 8-6 9-5 1-4 2-3|3-10 4-2 5-1 6-9 7-8|"
    "10-8 9-7 1-6 2-5 3-4|4-10 5-3 6-2 7-1 8-9|10-9 1-8 2-7 3-6 4-5|5-10 6-4 7-3 8-2 9-1",
}  # fmt: skip

# Kirkman's fifteen (1850), a solution from a copy of Wikipedia at liquisearch.
KIRKMAN = (
    "1-6-11 2-7-12 3-8-13 4-9-14 5-10-15|1-2-5 3-4-7 8-9-12 10-11-14 13-15-6|2-3-6 4-5-8 9-10-13 11-12-15 14-1-7|"
    "5-6-9 7-8-11 12-13-1 14-15-3 2-4-10|3-5-11 4-6-12 7-9-15 8-10-1 13-14-2|5-7-13 6-8-14 9-11-2 10-12-3 15-1-4|"
    "11-13-4 12-14-5 15-2-8 1-3-9 6-7-10"
)
# The table of "How Reverend Kirkman positioned the schoolgirls" at everything2.com: rows of triples, columns are days.
FAULTY = (
    "abc ade afg ahi ajk alm ano/dhl bik bhj beg cdf bef bdg/ejn cmo cln cmn blo cij chk/"
    "fio fhn dim djo ehm dkn eil/gkm gjl eko fkl gin gho fjm"
)
# Affine plane of order 4: the lines of the package galois 0.4.11 over GF(4).
PLANE_4 = (
    "1-2-3-4 5-6-7-8 9-10-11-12 13-14-15-16|1-5-9-13 2-6-10-14 3-7-11-15 4-8-12-16|"
    "1-6-11-16 2-5-12-15 3-8-9-14 4-7-10-13|1-7-12-14 2-8-11-13 3-5-10-16 4-6-9-15|"
    "1-8-10-15 2-7-9-16 3-6-12-13 4-5-11-14"
)
PLANE_3 = "1-2-3 4-5-6 7-8-9|1-4-7 2-5-8 3-6-9|1-5-9 2-6-7 3-4-8|1-6-8 2-4-9 3-5-7"  # same source, order 3

# Rounds without repeats: OEIS A107431 (groups of 3, 4, 5 and 6); 9 of the 10 rounds of Aguado 2004 for 32 in fours.
GOLFERS = [
    (9, 3, 4), (12, 3, 4), (15, 3, 7), (18, 3, 8), (21, 3, 10), (24, 3, 11), (27, 3, 13),
    (16, 4, 5), (20, 4, 5), (24, 4, 7), (28, 4, 9), (32, 4, 9), (36, 4, 9), (40, 4, 13), (25, 5, 6), (30, 5, 6),
    (36, 6, 3),
]  # fmt: skip


def table(text: str) -> list[list[tuple[str, ...]]]:
    return [[tuple(heat.split("-")) for heat in row.split()] for row in text.split("|")]


def clubless(rounds: list[list[tuple[str, ...]]]) -> dict[str, str]:
    return {team: team for heats in rounds for heat in heats for team in heat}


def shape(rounds: Sequence[Sequence[Sequence[object]]]) -> "nx.Graph[object]":
    """Rounds and teams as a graph: rounds hold heats, heats hold teams; labels do not count."""
    graph: nx.Graph[object] = nx.Graph()
    for number, heats in enumerate(rounds):
        for place, heat in enumerate(heats):
            graph.add_node(("round", number), kind="round")
            graph.add_node(("heat", number, place), kind="heat")
            graph.add_edge(("round", number), ("heat", number, place))
            for team in heat:
                graph.add_node(("team", team), kind="team")
                graph.add_edge(("heat", number, place), ("team", team))
    return graph


@pytest.mark.parametrize("teams", sorted(BERGER))
def test_the_circle_method_is_bergers_table_relabelled(teams: int) -> None:
    """Number s + 1 of the table is seat s; its rounds come in steps of half the teams."""
    turns = circle(teams)
    for number, heats in enumerate(table(BERGER[teams])):
        drawn = turns[number * (teams // 2) % (teams - 1)]
        assert {frozenset(int(team) - 1 for team in heat) for heat in heats} == {frozenset(heat) for heat in drawn}


@pytest.mark.parametrize("text", [*BERGER.values(), KIRKMAN, PLANE_3, PLANE_4])
def test_published_tables_measure_as_perfect(text: str) -> None:
    rounds = table(text)
    found = measure(rounds, [()] * len(rounds), clubless(rounds))
    assert (found.repeats, found.unmet, found.most_met, found.faults) == (0, 0, 1, ())


def test_a_faulty_published_table_is_caught() -> None:
    columns = [row.split() for row in FAULTY.split("/")]
    rounds = [[tuple(row[day]) for row in columns] for day in range(7)]
    found = measure(rounds, [()] * 7, clubless(rounds))
    assert 105 - found.unmet == 101  # distinct pairs, counted when the table was read
    assert found.repeats == 4


@pytest.mark.parametrize(("order", "plane"), [(3, PLANE_3), (4, PLANE_4)])
def test_the_grid_over_a_field_is_the_affine_plane(order: int, plane: str) -> None:
    drawn = grid_with_columns(order * order, order, order + 1, Random(1))
    assert drawn is not None
    matcher = nx.isomorphism.GraphMatcher(shape(table(plane)), shape(drawn), node_match=lambda one, other: one == other)
    assert matcher.is_isomorphic()


@given(st.integers(0, 200))
def test_networkx_pairs_as_cheaply_as_scipy_assigns(seed: int) -> None:
    """Two halves within which nobody may meet: then the cheapest matching is scipy's linear_sum_assignment."""
    random = Random(seed)
    price = np.array([[random.randrange(10) for _ in range(6)] for _ in range(6)])
    before = np.full((12, 12), 1000)
    before[:6, 6:], before[6:, :6] = price, price.T
    ((*pairs,),) = matched_rounds(12, 1, before, random)
    paid = sum(int(before[one, other]) ** 2 for one, other in pairs)
    assert paid == int((price**2)[linear_sum_assignment(price**2)].sum())


@pytest.mark.parametrize(("teams", "size", "rounds"), GOLFERS)
def test_social_golfer_rounds(teams: int, size: int, rounds: int) -> None:
    rotation = draw_rotation([(f"T{n:02}", f"C{n}") for n in range(teams)], rounds, size, Random(3))
    met = Counter(frozenset(pair) for heats in rotation.rounds for heat in heats for pair in combinations(heat, 2))
    assert len(rotation.rounds) == rounds
    assert set(met.values()) == {1}
    assert len(met) == rounds * teams * (size - 1) // 2


# Repeats that counting proves necessary when clubs of four (the last one smaller) are kept apart: each team's meetings
# beyond its possible opponents, halved. Worked out here; no published source.
@pytest.mark.parametrize(
    ("teams", "size", "rounds", "repeats"),
    [(15, 3, 7, 21), (16, 4, 5, 24), (20, 2, 19, 30), (24, 3, 8, 0), (36, 6, 3, 0), (41, 2, 8, 0), (48, 4, 6, 0)],
)
def test_clubs_apart_at_the_proven_bound(teams: int, size: int, rounds: int, repeats: int) -> None:
    entered = [(f"T{n:02}", f"C{n // 4}") for n in range(teams)]
    found = measured(draw_rotation(entered, rounds, size, Random(3)), dict(entered))
    assert (found.own_club, found.repeats, found.repeats_bound) == (0, repeats, repeats)
    assert found.faults == ()
