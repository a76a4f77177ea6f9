"""The best that can be of early and late heats, by trying all ways where these are few, by counting where not."""

from datetime import UTC, datetime, timedelta
from types import SimpleNamespace
from typing import Any

import pytest

from tourney.verify.early_late import early_late_line

TEAMS = ("A", "B", "C", "D", "E", "F")
NOON = datetime(2027, 4, 17, 12, tzinfo=UTC)


def day(rounds: int) -> tuple[Any, list[Any]]:
    """Three pairs a round, always the same: two early, one late, and A and B always late."""
    waves = [
        SimpleNamespace(id=f"{number}{part}", start=start, end=start + timedelta(minutes=10))
        for number in range(rounds)
        for part, start in (
            ("early", NOON + timedelta(hours=2 * number)),
            ("late", NOON + timedelta(hours=2 * number + 1)),
        )
    ]
    heats = [
        SimpleNamespace(id=f"{number}-{pair}", round=number, wave=f"{number}{'early' if pair else 'late'}",
                        teams=TEAMS[2 * pair : 2 * pair + 2])
        for number in range(rounds) for pair in range(3)
    ]  # fmt: skip
    plan = SimpleNamespace(
        waves=waves,
        wave={wave.id: wave for wave in waves},
        event=SimpleNamespace(day=SimpleNamespace(rest=20)),
    )
    return plan, heats


@pytest.mark.parametrize(
    ("rounds", "bound"),
    [
        (2, 2),  # four late places against eight early ones: not all are even, and of two heats nobody is odd
        (3, 1),  # each pair late once
        (4, 2),
        (6, 2),
    ],
)
def test_small_days_are_tried_in_every_way(rounds: int, bound: int) -> None:
    plan, heats = day(rounds)
    line = early_late_line(plan, "Open", heats)
    assert (line.measured, line.bound) == (rounds, bound)
    assert "counting" not in line.worst


def test_of_large_days_it_is_said_that_the_bound_is_counted() -> None:
    plan, heats = day(70)
    line = early_late_line(plan, "Open", heats)
    # 140 late places, 280 early ones, six teams: 140 / 6 in the mean, so some team has 24 or more.
    assert (line.measured, line.bound) == (70, 24)
    assert line.worst.endswith("best by counting alone: too many ways to try")
