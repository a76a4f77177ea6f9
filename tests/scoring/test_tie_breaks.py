"""Every criterion of the settings on a small table whose values can be worked out by hand."""

import re
from collections.abc import Callable, Mapping
from dataclasses import replace
from fractions import Fraction
from functools import partial
from typing import get_args

import pytest

from tourney.model.event import Division, HeatPoints, TieBreak
from tourney.scoring.chain import Criterion, Group, Level, separate
from tourney.scoring.heats import TeamHeat
from tourney.scoring.reasons import sentence
from tourney.scoring.table import Table
from tourney.scoring.tally import Tally
from tourney.scoring.tie_breaks import CRITERIA, criteria_of


def stood(team: str, round_: int, points: int, **counts: int) -> TeamHeat:
    made = Tally(Fraction(points), Fraction(counts.pop("hardest", 0)), **counts)
    return TeamHeat(team, round_, made, Fraction(points), Fraction(points), 100, 30)


# A 60-50 B, C 40-40 D | A 30-70 C, B 55-20 D
HEATS = (
    (stood("A", 1, 60, clean_calls=6, late=2, hardest=20), stood("B", 1, 50, clean_calls=5, spoken=3)),
    (stood("C", 1, 40, clean_calls=4, wrong_place=1), stood("D", 1, 40, handling=4)),
    (stood("A", 2, 30, clean_calls=3, late=1, hardest=10), stood("C", 2, 70, clean_calls=7)),
    (stood("B", 2, 55, clean_calls=6, hardest=5), stood("D", 2, 20, wrong_place=2)),
)
TABLE = Table(("A", "B", "C", "D"), HEATS, "points", HeatPoints(), {"A": 3, "B": 1, "C": 4, "D": 2})
BY_HEAT_POINTS = Table(TABLE.teams, HEATS, "heat_points", HeatPoints(), TABLE.lots)
ALL: Group = ("A", "B", "C", "D")


def values(
    name: str, table: Table = TABLE, group: Group = ALL
) -> dict[str, Fraction | int | tuple[Fraction | int, ...]]:
    found = CRITERIA[name](table, group)
    assert found.name == name
    return {team: worth[0] if len(worth) == 1 else worth for team, worth in found.values.items()}


@pytest.mark.parametrize("rank_by", ["points", "heat_points"])
@pytest.mark.parametrize("available", [100, 200])
@pytest.mark.parametrize("name", sorted(CRITERIA))
def test_one_of_a_thing_is_never_told_as_several(name: str, available: int, rank_by: str) -> None:
    """A beats B by 1 point to 0, B so beats C, and everything that can be counted happened once."""
    kinds = ("clean_calls", "late", "wrong_place", "spoken", "handling", "hardest")
    heats = (
        (stood("A", 1, 1, **dict.fromkeys(kinds, 1)), replace(stood("B", 1, 0), available=available)),
        (stood("B", 2, 1), stood("C", 2, 0)),
    )
    drilled = {"A": (Fraction(1),), "B": (Fraction(0),)}
    table = Table(("A", "B", "C"), heats, rank_by, HeatPoints(win=1, draw=0), {"A": 1, "B": 2}, drilled)
    levels = separate(("A", "B"), [Criterion(name, partial(CRITERIA[name], table))])
    names = {"A": "A", "B": "B"}
    said = [sentence(team, levels, at, (1, 2), names) for at, level in enumerate(levels) for team in level.teams]
    assert len(said) == 2 and any(re.search(r"\b1\b", words) for words in said)
    for words in said:
        assert not re.search(r"\b1 (\w+ )?(points|calls|places|answers|faults|scores|heats)\b", words), words


def test_every_name_of_the_settings_has_its_criterion() -> None:
    assert set(CRITERIA) == {*get_args(TieBreak), "heat_points"}


@pytest.mark.parametrize(
    ("name", "expected"),
    [
        ("points", {"A": Fraction(90, 200), "B": Fraction(105, 200), "C": Fraction(110, 200), "D": Fraction(60, 200)}),
        ("heat_points", {"A": 3, "B": 3, "C": 4, "D": 1}),
        ("clean_calls", {"A": 9, "B": 11, "C": 11, "D": 0}),
        ("fewer_wrong_place", {"A": 0, "B": 0, "C": -1, "D": -2}),
        ("fewer_late", {"A": -3, "B": 0, "C": 0, "D": 0}),
        ("fewer_spoken", {"A": 0, "B": -3, "C": 0, "D": 0}),
        ("fewer_handling", {"A": 0, "B": 0, "C": 0, "D": -4}),
        ("hardest_third", {"A": 30, "B": 5, "C": 0, "D": 0}),
        ("margin", {"A": 10 - 40, "B": -10 + 35, "C": 40, "D": -35}),
        ("best_round", {"A": Fraction(3, 5), "B": Fraction(11, 20), "C": Fraction(7, 10), "D": Fraction(2, 5)}),
        ("last_round", {"A": Fraction(3, 10), "B": Fraction(11, 20), "C": Fraction(7, 10), "D": Fraction(1, 5)}),
        ("heat_wins", {"A": 1, "B": 1, "C": 1, "D": 0}),
        ("countback", {"A": (1, 1), "B": (1, 1), "C": (1, 1), "D": (0, 2)}),
        ("opponents_points", {"A": 105 + 110, "B": 90 + 60, "C": 60 + 90, "D": 110 + 105}),
        ("beaten_points", {"A": 105, "B": 60, "C": 30 + 90, "D": 55}),
        ("progressive", {team: Fraction(sum_, 200) for team, sum_ in zip(ALL, (150, 155, 150, 100), strict=True)}),
        ("lot", {"A": -3, "B": -1, "C": -4, "D": -2}),
        ("drill_off", {}),
    ],
)
def test_values(name: str, expected: dict[str, object]) -> None:
    assert values(name) == expected


def test_totals_of_opponents_are_those_that_rank_first() -> None:
    assert values("opponents_points", BY_HEAT_POINTS) == {"A": 3 + 4, "B": 3 + 1, "C": 1 + 3, "D": 4 + 3}
    assert values("beaten_points", BY_HEAT_POINTS) == {"A": 3, "B": 1, "C": 3 + Fraction(1, 2), "D": 2}
    assert values("progressive", BY_HEAT_POINTS) == {"A": 3 + 3, "B": 0 + 3, "C": 1 + 4, "D": 1 + 1}


def test_head_to_head_needs_every_meeting_among_the_tied() -> None:
    assert values("head_to_head", group=("A", "B")) == {"A": 3, "B": 0}
    assert values("head_to_head", group=("A", "C")) == {"A": 0, "C": 3}
    assert values("head_to_head_margin", group=("C", "D")) == {"C": 0, "D": 0}
    assert values("head_to_head_points", group=("C", "A")) == {"C": 70, "A": 30}
    assert values("head_to_head", group=("A", "B", "C")) == {}, "B and C never met"
    assert "not all of them met" in CRITERIA["head_to_head"](TABLE, ("A", "B", "C")).note
    half = replace(HEATS[0][0], least=Fraction(0), most=Fraction(100))
    undecided = Table(("A", "B"), ((half, HEATS[0][1]),))
    assert "are open" in CRITERIA["head_to_head"](undecided, ("A", "B")).note


def test_a_heat_of_three_counts_once_for_each_pair() -> None:
    line = (stood("A", 1, 60), stood("B", 1, 50), stood("C", 1, 50))
    table = Table(("A", "B", "C"), (line,))
    group = ("A", "B", "C")
    assert values("heat_points", table, group) == {"A": 6, "B": 1, "C": 1}
    assert values("head_to_head", table, group) == {"A": 6, "B": 1, "C": 1}
    assert values("margin", table, group) == {"A": 20, "B": -10, "C": -10}
    assert values("heat_wins", table, group) == {"A": 1, "B": 0, "C": 0}
    assert values("countback", table, group) == {"A": (1, 0, 0), "B": (0, 0, 1), "C": (0, 0, 1)}, "both third"
    assert CRITERIA["countback"](table, group).shown["A"] == "1 first, 0 second and 0 third"


def test_a_bye_earns_nothing_and_takes_nothing_off() -> None:
    heats = (*HEATS, (stood("E", 1, 60, clean_calls=6, late=1),))
    table = Table((*ALL, "E"), heats)
    assert values("points", table, ("B", "E"))["E"] == Fraction(60, 100)
    assert values("clean_calls", table, ("B", "E")) == {"B": Fraction(11, 2), "E": 6}
    assert values("heat_points", table, ("B", "E"))["E"] == 0
    assert CRITERIA["points"](table, ("B", "E")).shown == {"B": "105 of 200", "E": "60 of 100"}
    assert CRITERIA["clean_calls"](table, ("B", "E")).many == "clean calls a heat"
    assert CRITERIA["clean_calls"](table, ("B", "E")).shown["B"] == "5½"


def test_an_undecided_heat_earns_nothing_yet() -> None:
    open_heat = (stood("A", 1, 60), TeamHeat("B", 1, Tally(Fraction(50)), Fraction(50), Fraction(70), 100, 30))
    table = Table(("A", "B"), (open_heat,))
    assert values("heat_points", table, ("A", "B")) == {"A": 0, "B": 0}
    assert values("head_to_head", table, ("A", "B")) == {}
    assert values("countback", table, ("A", "B")) == {"A": 0, "B": 0}
    won = (stood("A", 1, 60), TeamHeat("B", 1, Tally(Fraction(40)), Fraction(40), Fraction(59), 100, 30))
    assert values("heat_points", Table(("A", "B"), (won,)), ("A", "B")) == {"A": 3, "B": 0}


def test_a_division_names_its_chain(rules: Callable[..., Division]) -> None:
    division = rules(rank_by="heat_points", tie_breaks=("head_to_head", "head_to_head_margin", "lot"))
    chain = criteria_of(division, TABLE)
    assert [(one.name, one.meetings) for one in chain] == [
        ("heat_points", False),
        ("head_to_head", True),
        ("head_to_head_margin", True),
        ("lot", False),
    ]


def test_an_undecided_drill_off_is_not_overtaken_by_the_lot(rules: Callable[..., Division]) -> None:
    heats: Mapping[str, int] = {"A": 1, "B": 2}
    table = Table(("A", "B"), ((stood("A", 1, 50), stood("B", 1, 50)),), lots=heats)
    (level,) = separate(("A", "B"), criteria_of(rules(tie_breaks=("drill_off", "lot")), table))
    assert level.pending
    assert len(separate(("A", "B"), criteria_of(rules(tie_breaks=("lot",)), table))) == 2


def test_nothing_overtakes_a_drill_off_before_its_last_set(rules: Callable[..., Division]) -> None:
    """A, B and C are level; the first set puts C behind, the second and third leave A and B level."""
    heats, lots = tuple((stood(team, 1, 50),) for team in "ABC"), {"A": 3, "B": 2, "C": 1}

    def order(*readings: dict[str, int]) -> tuple[Level, ...]:
        made = {team: tuple(Fraction(one[team]) for one in readings if team in one) for team in "ABC"}
        table = Table(("A", "B", "C"), heats, lots=lots, drill_offs={team: own for team, own in made.items() if own})
        return separate(table.teams, criteria_of(rules(tie_breaks=("drill_off", "lot")), table))

    first, second, third = {"A": 30, "B": 30, "C": 20}, {"A": 10, "B": 10}, {"A": 20, "B": 20}
    for readings in ([], [first], [first, second]):
        levels = order(*readings)
        assert [level.teams for level in levels] == ([("A", "B"), ("C",)] if readings else [("A", "B", "C")])
        assert levels[0].pending and levels[0].equal[-1].note.endswith("drill-off would separate them")
    assert [level.teams for level in order(first, second, third)] == [("B",), ("A",), ("C",)], "then the lot"
    assert [level.teams for level in order(first, {"A": 0, "B": 10})] == [("B",), ("A",), ("C",)]


@pytest.mark.parametrize(
    ("held", "order"),
    [
        ({"A": (30,), "B": (20, 40), "C": (20, 90)}, ["A", "C", "B"]),  # who reads on passes nobody who was ahead
        ({"A": (20,), "B": (20, 40), "C": (20, 90)}, ["ABC"]),  # A was level with them, and did not read on
        ({"A": (9, 9), "B": (9, 9, 1), "C": (9, 9, 2)}, ["ABC"]),
        ({"A": (9, 9, 0), "B": (9, 9, 1), "C": (8,)}, ["B", "A", "C"]),
    ],
)
def test_a_drill_off_counts_reading_by_reading(
    rules: Callable[..., Division], held: dict[str, tuple[int, ...]], order: list[str]
) -> None:
    teams = ("A", "B", "C")
    drilled = {team: tuple(map(Fraction, points)) for team, points in held.items()}
    table = Table(teams, (tuple(stood(team, 1, 50) for team in teams),), drill_offs=drilled)
    levels = separate(teams, criteria_of(rules(tie_breaks=("drill_off",)), table))
    assert ["".join(level.teams) for level in levels] == order


@pytest.fixture
def rules() -> Callable[..., Division]:
    """A division with some of its rules set."""
    return lambda **settings: Division(**{"name": "Junior", "ages": (8, 10), **settings})
