"""Waves: every rule kept, early finish, at the bound where counting allows."""

from collections import Counter, defaultdict
from datetime import date
from itertools import pairwise
from random import Random
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tourney.errors import Refusal
from tourney.model.event import Day, Division, Event, Pause
from tourney.model.people import Contestant
from tourney.planning.clock import Meeting, finish_bound, gap_after, heat_minutes, moment, wave_times
from tourney.planning.rotation.draw import draw_rotation
from tourney.planning.timetable import Timetable, set_times


def meetings_of(sizes: dict[str, int], rounds: int, minutes: dict[str, int] | None = None) -> list[Meeting]:
    found = []
    for name, teams in sizes.items():
        entered = [(f"{name}{n:02}", f"C{n}") for n in range(teams)]
        for number, heats in enumerate(draw_rotation(entered, rounds, 2, Random(1)).rounds, 1):
            found += [Meeting(name, number, heat, (minutes or {}).get(name, 15), 4 * len(heat)) for heat in heats]
    return found


def broken_rules(timetable: Timetable, event: Event) -> list[str]:
    """Rules that a timetable breaks, checked from its waves alone."""
    found = []
    last_wave: dict[str, tuple[int, int]] = {}
    free: dict[str, int] = {}
    widths = sorted((room.line_limit for room in event.rooms), reverse=True)
    for number, (wave, start, minutes) in enumerate(
        zip(timetable.waves, timetable.starts, timetable.minutes, strict=True)
    ):
        lines = sorted((meeting.line for meeting in wave), reverse=True)
        if len(lines) > len(widths) or any(line > width for line, width in zip(lines, widths, strict=False)):
            found.append(f"wave {number}: lines {lines} in rooms {widths}")
        if minutes != max(meeting.minutes for meeting in wave):
            found.append(f"wave {number}: takes {minutes}")
        for division in sorted({meeting.division for meeting in wave}):
            rounds = {meeting.round for meeting in wave if meeting.division == division}
            before = last_wave.get(division, (0, 0))[0]
            if len(rounds) > 1 or min(rounds) < before:
                found.append(f"wave {number}: {division} rounds {rounds} after {before}")
            last_wave[division] = (max(rounds), number)
        for meeting in wave:
            for team in meeting.teams:
                if start < free.get(team, 0):
                    found.append(f"wave {number}: {team} has not rested")
                free[team] = start + minutes + event.day.rest
    for number, (before_end, start) in enumerate(
        pairwise(x for s, m in zip(timetable.starts, timetable.minutes, strict=True) for x in (s, s + m)), 0
    ):
        if number % 2 and start - before_end < gap_after(number // 2 + 1, event.day):
            found.append(f"after wave {number // 2 + 1}: too short a gap")
    return found


@pytest.mark.parametrize(
    ("calls", "seconds", "extra", "minutes"),
    [(16, 10, None, 15), (24, 10, None, 20), (24, 15, None, 25), (8, 10, None, 15), (16, 10, 15, 20), (16, 12, 6, 20)],
)
def test_minutes_of_a_heat(calls: int, seconds: int, extra: int | None, minutes: int) -> None:
    division = Division(name="Junior", ages=(8, 10), calls=calls, seconds=seconds)
    children = [Contestant("J01-1", "Ada Quill"), Contestant("J01-2", "Bo Quill", seconds=extra)]
    assert heat_minutes(division, children, None) == minutes
    assert heat_minutes(division, children, 35) == 35


def test_a_wave_waits_for_the_changeover_the_pause_and_the_rest() -> None:
    one, other = Meeting("J", 1, ("a", "b"), 15, 8), Meeting("J", 2, ("a", "c"), 20, 8)
    day = Day(changeover=5, rest=10)
    assert wave_times([[one], [other]], day) == ([0, 25], [15, 20])
    assert wave_times([[one], [Meeting("J", 2, ("c", "d"), 20, 8)]], day) == ([0, 20], [15, 20])
    lunch = Day(changeover=5, rest=10, pauses=(Pause(after_wave=1, minutes=40),))
    assert wave_times([[one], [other]], lunch) == ([0, 55], [15, 20])


def test_clock_times_are_those_of_the_zone(make: Any) -> None:
    event = make.event([{"name": "Junior"}], start="00:30", timezone="Europe/Dublin", date=date(2027, 3, 28))
    assert moment(event, 0).isoformat() == "2027-03-28T00:30:00+00:00"
    assert moment(event, 60).isoformat() == "2027-03-28T02:30:00+01:00"  # clocks go forward at one


@pytest.mark.parametrize(
    ("sizes", "rooms", "rounds", "minutes", "sets"),
    [
        ({"J": 14, "M": 12, "S": 10}, 6, 4, None, 16),
        ({"J": 14, "M": 12, "S": 10}, 6, 4, {"J": 20}, 16),
        ({"O": 6}, 1, 4, None, 12),
        ({"J": 6, "S": 6}, 3, 3, None, 6),
    ],
)
def test_the_finish_is_at_its_bound_with_few_call_sets(
    make: Any, sizes: dict[str, int], rooms: int, rounds: int, minutes: dict[str, int] | None, sets: int
) -> None:
    event = make.event([{"name": name} for name in sizes], rooms, day={"pauses": [{"after_wave": 4, "minutes": 40}]})
    timetable = set_times(meetings_of(sizes, rounds, minutes), event, Random(1))
    assert broken_rules(timetable, event) == []
    assert timetable.finish == timetable.finish_bound
    assert sum(len({meeting.division for meeting in wave}) for wave in timetable.waves) == sets


def test_early_and_late_waves_are_shared_out(make: Any) -> None:
    event = make.event([{"name": "J"}], 2, day={"rest": 5})
    timetable = set_times(meetings_of({"J": 8}, 4), event, Random(1))
    early: Counter[str] = Counter()
    seen: dict[int, list[int]] = defaultdict(list)
    for number, wave in enumerate(timetable.waves):
        seen[wave[0].round].append(number)
        first = len(seen[wave[0].round]) == 1
        early.update(team for meeting in wave for team in meeting.teams if first)
    assert set(early.values()) <= {1, 2, 3}  # 2 for everyone is not to be had with every rotation
    assert len(early) == 8


@settings(max_examples=25)
@given(
    sizes=st.lists(st.integers(1, 9), min_size=1, max_size=3),
    rooms=st.integers(1, 4),
    rounds=st.integers(1, 4),
    rest=st.sampled_from([0, 5, 10, 30]),
    minutes=st.sampled_from([15, 20]),
)
def test_every_timetable_keeps_the_rules(
    make: Any, sizes: list[int], rooms: int, rounds: int, rest: int, minutes: int
) -> None:
    names = dict(zip("JMS", sizes, strict=False))
    event = make.event([{"name": name} for name in names], rooms, day={"rest": rest})
    drawn = meetings_of(names, rounds, {"M": minutes})
    timetable = set_times(drawn, event, Random(1))
    assert broken_rules(timetable, event) == []
    assert Counter(meeting for wave in timetable.waves for meeting in wave) == Counter(drawn)
    assert timetable.finish >= timetable.finish_bound == finish_bound(drawn, rooms, event.day)


def test_long_lines_go_to_wide_rooms(make: Any) -> None:
    event = make.event([{"name": "J"}], 3).model_copy(update={"rooms": ()})
    rooms = [{"name": "Wide", "line_limit": 8}, {"name": "Narrow", "line_limit": 6}, {"name": "Slim", "line_limit": 6}]
    event = Event.model_validate({**event.model_dump(by_alias=True), "rooms": rooms})
    drawn = [Meeting("J", 1, (f"a{n}", f"b{n}"), 15, 8 if n < 2 else 6) for n in range(4)]
    timetable = set_times(drawn, event, Random(1))
    assert broken_rules(timetable, event) == []
    assert len(timetable.waves) == 2


def test_a_line_that_fits_no_room_is_refused(make: Any) -> None:
    event = make.event([{"name": "J"}], 2)
    with pytest.raises(Refusal) as refused:
        set_times([Meeting("J", 1, ("J01", "J02"), 15, 13)], event, Random(1))
    (shortage,) = refused.value.shortages
    assert (shortage.have, shortage.need, refused.value.proven) == (12, 13, True)
    assert "J01 and J02" in refused.value.message
