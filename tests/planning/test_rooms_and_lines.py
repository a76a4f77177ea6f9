"""Rooms are seen in turn; sides and ends of the line are shared out."""

from collections import Counter
from random import Random
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import linear_sum_assignment

from tourney.model.event import Room
from tourney.model.people import Team
from tourney.planning.clock import Meeting
from tourney.planning.even_rooms import expected
from tourney.planning.lines import share_places, stand_in_line, standing
from tourney.planning.rooms import choose_rooms
from tourney.planning.rotation.draw import draw_rotation


def wave_of(*heats: tuple[str, ...], line: int = 8) -> list[Meeting]:
    return [Meeting("J", 1, heat, 15, line) for heat in heats]


def test_teams_see_as_many_rooms_as_they_have_rounds() -> None:
    rounds = draw_rotation([(f"T{n:02}", f"C{n}") for n in range(12)], 4, 2, Random(1)).rounds
    rooms = [Room(name=name) for name in "ABCDEF"]
    waves = [wave_of(*heats) for heats in rounds]
    seen = Counter(
        (team, room)
        for wave, chosen in zip(waves, choose_rooms(waves, rooms), strict=True)
        for meeting, room in zip(wave, chosen, strict=True)
        for team in meeting.teams
    )
    assert set(seen.values()) == {1}


def test_a_long_line_gets_a_wide_room() -> None:
    rooms = [Room(name="Narrow", line_limit=6), Room(name="Wide", line_limit=8)]
    waves = [[*wave_of(("a", "b")), *wave_of(("c", "d"), line=6)] for _ in range(3)]
    assert choose_rooms(waves, rooms) == [[1, 0]] * 3


@given(st.integers(0, 30))
def test_one_wave_is_assigned_as_scipy_does(seed: int) -> None:
    """Reference: scipy.optimize.linear_sum_assignment on the same visits."""
    random = Random(seed)
    history = [wave_of(*[(f"T{n}",) for n in random.sample(range(4), 4)]) for _ in range(3)]
    rooms = [Room(name=name) for name in "ABCD"]
    chosen = choose_rooms(history, rooms)
    visits = np.zeros((4, 4))
    for wave, row in zip(history[:2], chosen[:2], strict=True):
        for meeting, room in zip(wave, row, strict=True):
            visits[int(meeting.teams[0][1]), room] += 1
    order = [int(meeting.teams[0][1]) for meeting in history[2]]
    paid = sum(visits[team, room] for team, room in zip(order, chosen[2], strict=True))
    assert paid == visits[linear_sum_assignment(visits)].sum()


def test_how_many_even_choices_of_rooms_are_to_be_expected() -> None:
    """Two teams alone in two rooms twice: 2 x 2 choices, each team even with chance 1/2, so one choice."""
    assert expected([[[0], [1]], [[0], [1]]], 2) == pytest.approx(0)
    pairs = [[[2 * n, 2 * n + 1] for n in range(4)] for _ in range(7)]
    assert expected(pairs, 7) > 0  # as a Room square of side 7 has it
    fours = [
        [[4 * n + k for k in range(4)] for n in range(start, start + 3)] for _ in range(8) for start in (0, 3, 6, 9)
    ]
    assert expected(fours, 3) < -3  # 48 teams, eight rounds, three rooms


@settings(max_examples=40)
@given(st.integers(2, 14), st.integers(1, 6), st.integers(2, 4), st.integers(0, 3))
def test_every_team_has_every_place_equally_often(teams: int, rounds: int, size: int, seed: int) -> None:
    drawn = draw_rotation([(f"T{n:02}", f"C{n}") for n in range(teams)], rounds, size, Random(seed)).rounds
    heats = [heat for heats in drawn for heat in heats]
    ordered = share_places(heats)
    assert [sorted(heat) for heat in ordered] == [sorted(heat) for heat in heats]
    if len({len(heat) for heat in heats}) == 1:
        had = Counter((team, at) for heat in ordered for at, team in enumerate(heat))
        for team in {team for heat in heats for team in heat}:
            times = [had[team, at] for at in range(len(heats[0]))]
            assert max(times) - min(times) <= 1
    tilt: Counter[str] = Counter()
    for heat in ordered:
        tilt[heat[0]] += 1
        tilt[heat[-1]] -= 1
    assert size > 2 or all(abs(off) <= 1 for off in tilt.values())


@given(st.integers(1, 5), st.integers(1, 5), st.integers(1, 8))
def test_ends_of_the_line_are_shared_out(left: int, right: int, rounds: int) -> None:
    members = {"a": [f"a{n}" for n in range(left)], "b": [f"b{n}" for n in range(right)]}
    heats = [("a", "b") if number % 2 else ("b", "a") for number in range(rounds)]
    lines = stand_in_line(heats, members)
    ends = Counter(child for line in lines for child in (line[0], line[-1]))
    for team in members.values():
        times = [ends[child] for child in team]
        assert max(times) - min(times) <= 1
    for heat, line in zip(heats, lines, strict=True):
        assert sorted(line) == sorted([*members["a"], *members["b"]])
        assert {child[0] for child in line[: len(members[heat[0]])]} == {heat[0]}


def test_a_substitute_stands_only_to_fill_up() -> None:
    def of(*members: str) -> Any:
        return Team("J01", "Wrens", "Birchmoor", "Junior", members)

    assert standing(of("1", "2", "3", "4", "sub"), 4) == ("1", "2", "3", "4")
    assert standing(of("1", "2", "sub"), 4) == ("1", "2", "sub")
