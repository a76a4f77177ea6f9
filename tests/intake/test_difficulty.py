"""Difficulties that were measured on an earlier day, from a table in the event folder."""

from typing import Any

import pytest

from tourney.canon.syllabus import built_in
from tourney.faults import Code

HandIn = Any  # the fixture
ENTRIES = "club,team,division,name,birth_date\nOxbow,H,Junior,Ada Quill,2017-05-03\n"


def test_measured_difficulties_take_the_place_of_those_expected(hand_in: HandIn) -> None:
    handed_in = hand_in(ENTRIES, difficulty_csv='item,difficulty,se,heard\nRUT,4.25,0.3,18\njon,"1,5",0.2,20\n')
    assert handed_in.faults == ()
    bits = {item.id: item.difficulty for item in handed_in.syllabus.items}
    assert (bits.pop("RUT"), bits.pop("JON")) == (4.25, 1.5)
    assert bits == {item.id: item.difficulty for item in built_in().items if item.id in bits}
    (note,) = [note for note in handed_in.notes if note.file == "difficulty.csv"]
    assert (note.code, note.message[:27]) == (Code.MEASURED_DIFFICULTY, "Difficulties of 2 items are")


def test_one_below_nothing_counts_as_nothing_and_is_named(hand_in: HandIn) -> None:
    handed_in = hand_in(ENTRIES, difficulty_csv="item,difficulty\nPSA,-0.4\n")
    assert handed_in.syllabus.item("PSA").difficulty == 0
    assert [note.hint for note in handed_in.notes if note.code == Code.MEASURED_DIFFICULTY] == [
        "Counted as 0, as they are below it: PSA."
    ]


@pytest.mark.parametrize(
    ("rows", "where", "code", "message"),
    [
        ("RTU,2\n", "line 2", Code.UNKNOWN_ITEM, 'The syllabus has no item "RTU".'),
        ("RUT,hard\n", "line 2", Code.BAD_VALUE, "The difficulty of RUT is hard."),
        ("RUT,\n", "line 2", Code.BAD_VALUE, "The difficulty of RUT is empty."),
        ("RUT,nan\n", "line 2", Code.BAD_VALUE, "The difficulty of RUT is nan."),
        ("RUT,2\nRUT,3\n", "line 3", Code.DUPLICATE_NAME, "The item RUT is there twice."),
        (",2\n", "line 2", Code.MISSING_VALUE, "item is empty."),
    ],
)
def test_what_is_wrong_is_said_with_its_line(hand_in: HandIn, rows: str, where: str, code: Code, message: str) -> None:
    faults = hand_in(ENTRIES, difficulty_csv="item,difficulty\n" + rows).faults
    assert [(fault.file, fault.where, fault.code, fault.message) for fault in faults] == [
        ("difficulty.csv", where, code, message)
    ]
