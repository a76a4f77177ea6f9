"""Effects of levels: recovered exactly where nothing is random, drawn to the mean where little is known."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tourney.review.additive import Row, effects

TEAMS = {"T1": 220, "T2": 215, "T3": 210, "T4": 205, "T5": 200, "T6": 195}
PANELS = {"A": 4, "B": 2, "C": -6}


def test_planted_panels_come_back_exactly() -> None:
    """Every team twice, T1 with the strict panel both times: totals alone would put T1 behind T2."""
    seats = {"T1": "CC", "T2": "AB", "T3": "AB", "T4": "BC", "T5": "CA", "T6": "AB"}
    rows = [Row(team, panel, TEAMS[team] + PANELS[panel]) for team, own in seats.items() for panel in own]
    rows.append(Row("T1", "A", TEAMS["T1"] + PANELS["A"]))
    found = {one.level: one for one in effects(rows)}
    assert {level: one.value for level, one in found.items()} == pytest.approx(PANELS, abs=1e-5)
    assert all(one.se < 0.01 and one.group == 0 for one in found.values())


def test_panels_that_share_no_team_can_not_be_compared() -> None:
    rows = [Row(team, panel, TEAMS[team] + PANELS[panel]) for team, panel in (("T1", "A"), ("T2", "A"), ("T3", "C"))]
    assert [(one.group, one.value, one.se, one.rows) for one in effects(rows)] == [(0, 0, 0, 0), (1, 0, 0, 0)]
    linked = effects([*rows, Row("T3", "A", 214.0)])
    assert {one.group for one in linked} == {0} and linked[0].value > 0 > linked[1].value


def test_nothing_gives_nothing() -> None:
    assert effects([]) == ()


@given(st.permutations([Row(f"s{n % 7}", "abcd"[n % 4], float(n * n % 11)) for n in range(24)]))
def test_the_order_of_rows_does_not_matter(rows: list[Row]) -> None:
    def plain(found: list[Row]) -> list[tuple[str, int, float, float]]:
        return [(one.level, one.group, round(one.value, 9), round(one.se, 9)) for one in effects(found)]

    assert plain(rows) == plain(sorted(rows, key=lambda row: (row.subject, row.level, row.value)))


@given(st.floats(-50, 50), st.floats(0.5, 20))
def test_zero_and_unit_of_the_scale_do_not_matter(shift: float, unit: float) -> None:
    rows = [Row(f"s{n % 5}", "abc"[n % 3], float(n * 7 % 10)) for n in range(30)]
    moved = [Row(row.subject, row.level, shift + unit * row.value) for row in rows]
    for one, other in zip(effects(rows), effects(moved), strict=True):
        assert other.value == pytest.approx(unit * one.value, abs=1e-7) and other.se == pytest.approx(unit * one.se)


def test_noise_alone_is_drawn_to_the_mean() -> None:
    """Where levels differ by chance alone, effects come out smaller than the plain means of the levels."""
    chance = np.random.default_rng(7)
    rows = [Row(f"s{n // 4}", f"l{n % 4}", float(chance.normal())) for n in range(48)]
    plain = {level: np.mean([row.value for row in rows if row.level == level]) for level in ("l0", "l1", "l2", "l3")}
    middle = np.mean(list(plain.values()))
    for one in effects(rows):
        assert abs(one.value) < abs(plain[one.level] - middle) and one.interval[0] < 0 < one.interval[1]
