"""The sample events are sound: what the coaches of three invented days sent has no fault and no open question."""

from collections import Counter
from pathlib import Path

import pytest

from tourney.canon.syllabus import built_in
from tourney.intake.folder import HandedIn, read_folder
from tourney.resources import sample_events

COAST = sample_events() / "lantern_coast"
HALL = sample_events() / "small_hall"
GARDEN = sample_events() / "garden_catalogue"


@pytest.fixture(scope="module")
def coast() -> HandedIn:
    return read_folder(COAST)


@pytest.fixture(scope="module")
def hall() -> HandedIn:
    return read_folder(HALL)


@pytest.fixture(scope="module")
def garden() -> HandedIn:
    return read_folder(GARDEN)


def test_nothing_is_wrong_and_nothing_is_open(coast: HandedIn, hall: HandedIn, garden: HandedIn) -> None:
    for handed_in in (coast, hall, garden):
        assert (handed_in.faults, handed_in.questions) == ((), ())


def test_extra_columns_are_reported(coast: HandedIn) -> None:
    reported = {note.file for note in coast.notes if "T-shirt" in note.message or "Lunch" in note.message}
    assert {Path(file).name for file in reported} == {"Driftmoor entries.xlsx", "Iselmouth club.csv", "netherfoam.csv"}


def test_the_coast(coast: HandedIn) -> None:
    assert Counter(team.division for team in coast.teams) == {"Junior": 14, "Middle": 12, "Senior": 10}
    assert len({team.club for team in coast.teams}) == len(list((COAST / "entries").iterdir())) == 14
    assert {sum(not child.substitute for child in team.members) for team in coast.teams} == {3, 4}


def test_the_coasts_officials(coast: HandedIn) -> None:
    officials = [entered.official for entered in coast.officials]
    assert (len(officials), sum(official.cleared for official in officials)) == (36, 36)
    assert sum(bool(official.clubs) for official in officials) == 24
    assert sum(bool(entered.people) for entered in coast.officials) == 4
    assert {official.start for official in officials} == {"", "10:00"}


def test_children_of_every_kind(coast: HandedIn) -> None:
    children = {child.name: child for team in coast.teams for child in team.members}
    assert len(children) == 131
    assert [(child.seconds, child.edition) for child in children.values() if child.seconds] == [(15, "large print")]
    assert Counter(child.show_name for child in children.values()) == {"initial": 129, "number": 1, "full": 1}
    assert {"Solène Drévac", "Bjørke Sundvåle", "Zoë Ångermark", "灯里 汐野", "نورين المرساوي"} <= set(children)
    assert children["Ama-Lou O'Dervane"].preferred_name == "Lou"
    assert sum(child.substitute for child in children.values()) == 1


def test_the_hall(hall: HandedIn) -> None:
    assert hall.event
    assert (len(hall.event.rooms), hall.event.divisions[0].judges, hall.event.divisions[0].panel) == (1, 2, "mean")
    assert (len(hall.teams), len(hall.officials)) == (6, 5)
    assert not any(entered.official.clubs or entered.people for entered in hall.officials)


def test_the_garden(garden: HandedIn) -> None:
    """Nothing of scripture: a seed catalogue of 60 entries in seven sections, with calls of every kind."""
    assert garden.event
    items = garden.syllabus.items
    assert (len(items), len(garden.syllabus.sections)) == (60, 7)
    assert {item.id for item in items}.isdisjoint(built_in().rank)
    assert Counter(item.kind for item in items) == {"book": 49, "story": 5, "reference": 4, "finish": 2}
    assert sum(bool(item.divisions) for item in items) == 5
    assert len(garden.syllabus.sound_alikes) == 3
    assert Counter(team.division for team in garden.teams) == {"Seedlings": 6, "Growers": 4}
    weighted, by_size = (garden.event.division(name).sections for name in ("Growers", "Seedlings"))
    assert by_size == "by_size" and isinstance(weighted, dict) and set(weighted) == set(garden.syllabus.sections)
