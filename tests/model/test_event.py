"""Settings: the defaults that the file formats promise, and sizes that must fit each other."""

import tomllib
from typing import Any

import pytest
from pydantic import ValidationError

from tourney.model.event import HEAD_KEYS, Event

# As the contract shows it; every key after ages is written with the default it promises.
SHOWN = """
[event]
name = "A day"
date = 2027-04-17
start = "09:00"
[day]
changeover = 5
rest = 10
paper = "A4"
protest_minutes = 10
keep_days = 7
[[rooms]]
name = "Loft"
line_limit = 12
step_free = true
[[divisions]]
name = "Junior"
ages = [8, 10]
leap_birthday = "1 March"
play_up = false
squad = 4
counting = 3
minimum = 2
substitutes = 1
rounds = 4
draw = "whole_day"
first_last = "call"
teams_per_heat = 2
calls = 16
seconds = 10
sections = "equal"
judges = 3
panel = "median"
timekeeper = "separate"
void = "reserve_then_wave"
points = { call = 10, late = 10, wrong_place = 10, spoken = 5, handling = 2 }
rank_by = "points"
heat_points = { win = 3, draw = 1, loss = 0 }
tie_breaks = ["clean_calls", "fewer_wrong_place", "fewer_late", "head_to_head", "hardest_third", "drill_off"]
after_split = "continue"
advance = 3
advance_per_club = 2
finals = "line"
bands = [{ label = "A", from = 0.90 }, { label = "B", from = 0.75 }]
"""
LEAST = """
[event]
name = "A day"
date = 2027-04-17
[[rooms]]
name = "Loft"
[[divisions]]
name = "Junior"
ages = [8, 10]
"""


def event(toml: str, **division: Any) -> Event:
    tables = tomllib.loads(toml)
    head = tables.pop("event")
    assert set(head) <= set(HEAD_KEYS)
    tables["divisions"][0] |= division
    return Event(**head, **tables)


def test_defaults_are_those_of_the_contract() -> None:
    assert event(LEAST) == event(SHOWN)


def test_a_division_is_found_by_its_name() -> None:
    assert event(LEAST).division("Junior").ages == (8, 10)


@pytest.mark.parametrize(
    ("wrong", "said"),
    [
        ({"ages": [10, 8]}, "ages runs backwards"),
        ({"ages": None}, "needs ages or grades"),
        ({"grades": [5, 3]}, "grades runs backwards"),
        ({"counting": 5}, "counting is 5, more than the 4 of a squad"),
        ({"minimum": 5}, "minimum is 5, more than the 4 of a squad"),
        ({"cals": 16}, "cals"),
        ({"rounds": "some"}, "rounds"),
        ({"calls": 0}, "calls"),
        ({"tie_breaks": ["luck"]}, "tie_breaks"),
        ({"pools": 4, "advance": 7, "advance_per_pool": 2}, "advance is 7, .* are 8: raise advance to 8"),
        ({"advance_per_pool": 2}, "advance_per_pool needs pools"),
    ],
)
def test_what_does_not_fit_is_refused(wrong: dict[str, Any], said: str) -> None:
    with pytest.raises(ValidationError, match=said):
        event(LEAST, **wrong)


def test_settings_never_change() -> None:
    with pytest.raises(ValidationError, match="frozen"):
        event(LEAST).__setattr__("name", "Another day")
