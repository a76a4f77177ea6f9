"""Ids are given once and stay."""

from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tourney.model.people import Contestant, EnteredOfficial, EnteredTeam, Official
from tourney.planning.prefixes import division_prefixes
from tourney.planning.roster import enrol


def team(name: str, club: str, division: str, *children: str) -> EnteredTeam:
    return EnteredTeam(name, club, division, tuple(Contestant("", child) for child in children))


@pytest.fixture
def event(make: Any) -> Any:
    return make.event([{"name": "Junior"}, {"name": "Middle"}])


FIRST = [
    team("Wrens", "Birchmoor", "Junior", "Ada Quill", "Bo Quill"),
    team("Finches", "Amberfield", "Middle", "Cy Reed", "Di Reed"),
    team("Larks", "Amberfield", "Junior", "Ed Moss", "Fi Moss"),
]


def test_ids_follow_division_then_club_then_name(event: Any) -> None:
    roster = enrol(FIRST, [EnteredOfficial(Official("", "Gil Thorne"))], event, None)
    assert [(t.id, t.name) for t in roster.teams] == [("J01", "Larks"), ("J02", "Wrens"), ("M01", "Finches")]
    assert roster.teams[1].members == ("J02-1", "J02-2")
    assert [official.id for official in roster.officials] == ["O01"]


def test_substitutes_come_last(event: Any) -> None:
    entered = EnteredTeam(
        "Wrens", "Birchmoor", "Junior", (Contestant("", "Sub", substitute=True), Contestant("", "Ada"))
    )
    roster = enrol([entered], [], event, None)
    assert [roster.contestant[child].name for child in roster.teams[0].members] == ["Ada", "Sub"]


def test_who_stays_keeps_the_id_and_numbers_are_not_used_again(event: Any) -> None:
    helpers = [EnteredOfficial(Official("", name)) for name in ("Gil Thorne", "Hal Thorne")]
    before = enrol(FIRST, helpers, event, None)
    newcomer = team("Aces", "Amberfield", "Junior", "Gus Vale", "Ivy Vale")
    changed = team(" wrens", "BIRCHMOOR", "Junior", "Jo New", "Bo  Quill")
    after = enrol([newcomer, changed], [EnteredOfficial(Official("", "Nan New")), helpers[1]], event, before)
    assert {t.name: t.id for t in after.teams} == {"Aces": "J03", " wrens": "J02"}
    assert {after.contestant[child].name: child for child in after.team["J02"].members} == {
        "Jo New": "J02-3",
        "Bo  Quill": "J02-2",
    }
    assert [(official.name, official.id) for official in after.officials] == [("Nan New", "O03"), ("Hal Thorne", "O02")]


def test_an_official_is_tied_to_the_children_named(event: Any) -> None:
    helper = EnteredOfficial(Official("", "Gil Quill"), people=(("birchmoor", "ADA quill"), ("Amberfield", "Nobody")))
    assert enrol(FIRST, [helper], event, None).officials[0].people == ("J02-1",)


@given(entered=st.permutations(FIRST))
def test_the_order_of_files_does_not_matter(make: Any, entered: list[EnteredTeam]) -> None:
    event = make.event([{"name": "Junior"}, {"name": "Middle"}])
    assert enrol(entered, [], event, None) == enrol(FIRST, [], event, None)


@pytest.mark.parametrize(
    ("names", "prefixes"),
    [
        (["Junior", "Middle", "Senior"], ["J", "M", "S"]),
        (["Junior", "Juvenile"], ["JUN", "JUV"]),
        (["Group One", "Group Two"], ["G1", "G2"]),
        (["J", "Junior"], ["J1", "JU"]),
        (["A+", "A-", "?"], ["A1", "A2", "D"]),
        (["Младшие", "Старшие"], ["М", "С"]),
    ],
)
def test_prefixes(names: list[str], prefixes: list[str]) -> None:
    assert list(division_prefixes(names).values()) == prefixes


@given(st.lists(st.text(min_size=1, max_size=12), min_size=1, max_size=8, unique=True))
def test_prefixes_are_distinct(names: list[str]) -> None:
    found = division_prefixes(names)
    assert list(found) == names
    assert len(set(found.values())) == len(names)


def test_a_team_that_changes_division_gets_a_fresh_number(event: Any) -> None:
    before = enrol(FIRST, [], event, None)
    moved = [replace(entered, division="Middle") if entered.name == "Wrens" else entered for entered in FIRST]
    assert {t.name: t.id for t in enrol(moved, [], event, before).teams} == {
        "Larks": "J01",
        "Finches": "M01",
        "Wrens": "M02",
    }
