"""A division in pools, checked anew: who may meet whom, pools alike, meetings counted pool by pool."""

import copy
from collections.abc import Callable
from typing import Any

import pytest

from tourney.draw import digest
from tourney.intake.folder import read_folder
from tourney.model.documents import dump, load
from tourney.model.plan import Plan
from tourney.planning.plan import plan_day
from tourney.planning.pools import in_pools
from tourney.planning.roster import enrol
from tourney.resources import sample_events
from tourney.verify.figures import figure_lines
from tourney.verify.plan import plan_lines

Document = Any  # plan.json


@pytest.fixture(scope="module")
def drawn() -> tuple[Document, str]:
    """The garden day with its first division in two pools, and the name of that division."""
    found = read_folder(sample_events() / "garden_catalogue")
    assert found.event is not None
    first, *rest = found.event.divisions
    parted = first.model_copy(update={"pools": 2, "advance": 2})
    event = found.event.model_copy(update={"divisions": (parted, *rest)})
    roster = in_pools(enrol(found.teams, found.officials, event, None), event)
    return dump(plan_day(event, roster, found.syllabus, "a jar of buttons", digest("inputs"))[0]), first.name


def another_pool(plan: Document, division: str) -> None:
    """Two teams of different pools change places in their heats of round 1."""
    pool = {team["id"]: team["pool"] for team in plan["teams"] if team["division"] == division}
    one, other = (
        next(heat for heat in plan["heats"] if heat["round"] == 1 and pool.get(heat["teams"][0]) == name)
        for name in "AB"
    )
    one["teams"][0], other["teams"][0] = other["teams"][0], one["teams"][0]


def no_pool(plan: Document, division: str) -> None:
    next(team for team in plan["teams"] if team["division"] == division)["pool"] = ""


def all_in_one(plan: Document, division: str) -> None:
    for team in plan["teams"]:
        if team["division"] == division:
            team["pool"] = "A"


def statuses(document: Document) -> dict[tuple[str, str], str]:
    plan = load(Plan, document)
    return {(line.name, line.scope): line.status for line in (*plan_lines(plan), *figure_lines(plan))}


def test_a_day_in_pools_is_sound(drawn: tuple[Document, str]) -> None:
    found = statuses(drawn[0])
    assert found["heats_within_pools", drawn[1]] == found["pools_alike", drawn[1]] == "kept"
    assert "broken" not in found.values()
    scopes = {scope for name, scope in found if name == "heats_within_pools"}
    assert scopes == {drawn[1]}  # of the division that is parted alone


@pytest.mark.parametrize(
    ("name", "change"),
    [("heats_within_pools", another_pool), ("heats_within_pools", no_pool), ("pools_alike", all_in_one)],
)
def test_a_broken_rule_is_caught(
    drawn: tuple[Document, str], name: str, change: Callable[[Document, str], None]
) -> None:
    document = copy.deepcopy(drawn[0])
    change(document, drawn[1])
    assert statuses(document)[name, drawn[1]] == "broken"


def test_the_least_repeats_are_counted_pool_by_pool(drawn: tuple[Document, str]) -> None:
    plan = load(Plan, drawn[0])
    line = next(one for one in figure_lines(plan) if (one.name, one.scope) == ("meetings_repeated", drawn[1]))
    page = next(one for one in plan.fairness if (one.property, one.scope) == ("repeated_meetings", drawn[1]))
    assert (line.measured, line.bound) == (page.measured, page.bound)
