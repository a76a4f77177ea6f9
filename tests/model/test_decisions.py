"""What rulings come to, where one follows on another."""

import pytest

from tourney.model.decisions import read_on
from tourney.model.ruling import DrillOff

Points = dict[str, int]


def came_to(*rulings: DrillOff) -> dict[tuple[str, str], tuple[int, ...]]:
    held: dict[tuple[str, str], tuple[int, ...]] = {}
    for ruling in rulings:
        held |= read_on(held, ruling)
    return held


@pytest.mark.parametrize(
    ("typed", "held"),
    [
        ([{"A": 9, "B": 6, "C": 6}, {"B": 70, "C": 80}], {"A": (9,), "B": (6, 70), "C": (6, 80)}),
        # what they read on with is typed again, and so is all of it
        ([{"A": 9, "B": 6, "C": 6}, {"B": 7, "C": 8}, {"B": 8, "C": 7}], {"A": (9,), "B": (6, 8), "C": (6, 7)}),
        ([{"A": 9, "B": 6, "C": 6}, {"B": 7, "C": 8}, {"A": 5, "B": 6, "C": 7}], {"A": (5,), "B": (6,), "C": (7,)}),
        ([{"A": 9, "B": 8}, {"A": 8, "B": 9}], {"A": (8,), "B": (9,)}),
    ],
)
def test_level_teams_read_on_among_themselves(typed: list[Points], held: dict[str, tuple[int, ...]]) -> None:
    assert came_to(*(DrillOff(tuple(points.items())) for points in typed)) == {
        ("", team): made for team, made in held.items()
    }


def test_each_heat_has_drill_offs_of_its_own() -> None:
    found = came_to(DrillOff((("A", 4), ("B", 4)), "J-F1-1"), DrillOff((("A", 2), ("B", 1))))
    assert found == {("J-F1-1", "A"): (4,), ("J-F1-1", "B"): (4,), ("", "A"): (2,), ("", "B"): (1,)}
