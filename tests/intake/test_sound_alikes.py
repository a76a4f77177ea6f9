"""Names that sound alike, from a table in the event folder."""

from typing import Any

import pytest

from tourney.canon.sound_alikes import SOUND_ALIKES
from tourney.canon.syllabus import built_in
from tourney.faults import Code

HandIn = Any  # the fixture
ENTRIES = "club,team,division,name,birth_date\nOxbow,H,Junior,Ada Quill,2017-05-03\n"


def test_without_a_table_the_built_in_one_holds(hand_in: HandIn) -> None:
    assert hand_in(ENTRIES).syllabus.sound_alikes == SOUND_ALIKES


def test_every_group_of_the_built_in_table_names_books() -> None:
    assert {key for group in SOUND_ALIKES for key in group} <= set(built_in().rank)
    assert all(len(set(group)) == len(group) > 1 for group in SOUND_ALIKES)


def test_a_table_of_ones_own_takes_its_place(hand_in: HandIn) -> None:
    table = "names\nJoel; job\nII Samuel;Song of Solomon;JUD\n"
    handed_in = hand_in(ENTRIES, sound_alikes_csv=table)
    assert handed_in.faults == ()
    assert handed_in.syllabus.sound_alikes == (("JOL", "JOB"), ("2SA", "SNG", "JUD"))


def test_the_table_may_have_remarks(hand_in: HandIn) -> None:
    handed_in = hand_in(ENTRIES, sound_alikes_csv='why;names\nthe loud hall;"Joel;Job"\n')
    assert (handed_in.faults, handed_in.syllabus.sound_alikes) == ((), (("JOL", "JOB"),))


@pytest.mark.parametrize(
    ("table", "where", "code", "message"),
    [
        ("names\nJoel;Jobb\n", "line 2", Code.UNKNOWN_ITEM, 'Nothing in the syllabus is called "Jobb".'),
        ("names\nJoel\n", "line 2", Code.BAD_VALUE, "Joel stands alone."),
        ("books\nJoel;Job\n", "line 1", Code.MISSING_COLUMN, 'No column is called "names".'),
    ],
)
def test_what_does_not_fit_is_a_fault(hand_in: HandIn, table: str, where: str, code: Code, message: str) -> None:
    faults = hand_in(ENTRIES, sound_alikes_csv=table).faults
    assert [(fault.file, fault.where, fault.code, fault.message) for fault in faults] == [
        ("sound_alikes.csv", where, code, message)
    ]


def test_two_tables_are_a_fault(hand_in: HandIn) -> None:
    handed_in = hand_in(ENTRIES, sound_alikes_csv="names\nJoel;Job\n", sound_alikes_xlsx=b"")
    assert Code.TWO_SETTINGS in [fault.code for fault in handed_in.faults]
