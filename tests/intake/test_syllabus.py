from typing import Any

import pytest

from tourney.canon.difficulty import search_indexes
from tourney.canon.syllabus import Item, built_in
from tourney.faults import Code

HandIn = Any  # the fixture
ENTRIES = "club,team,division,name,birth_date\nOxbow,H,Junior,Ada Quill,2017-05-03\n"
HEADER = "id,name,other_names,section,position,kind,difficulty,divisions\n"


def said(hand_in: HandIn, text: str) -> list[tuple[str, Code, str]]:
    return [(fault.where, fault.code, fault.message) for fault in hand_in(ENTRIES, syllabus_csv=text).faults]


def test_without_a_table_it_is_the_66_books(hand_in: HandIn) -> None:
    assert hand_in(ENTRIES).syllabus == built_in()


def test_items_are_ordered_by_position_and_sections_keep_their_names(hand_in: HandIn) -> None:
    text = (
        HEADER
        + "C,Gimel,,Second Part,30,reference,,junior\nA,Aleph,Alef; Alif,First Part,10,,,\n"
        + 'B,Beth,,Second Part,20,book,"1,5",\n'
    )
    handed_in = hand_in(ENTRIES, syllabus_csv=text)
    bits = search_indexes([1, 1, 1])
    assert handed_in.faults == ()
    assert handed_in.syllabus.items == (
        Item("A", "Aleph", "First Part", bits[0], ("Alef", "Alif")),
        Item("B", "Beth", "Second Part", 1.5),
        Item("C", "Gimel", "Second Part", bits[2], (), "reference", ("Junior",)),
    )
    assert handed_in.syllabus.section_name("Second Part") == "Second Part"
    assert handed_in.syllabus.answer("B") == ("Aleph", "Beth", "Gimel")


@pytest.mark.parametrize(
    ("row", "code", "message"),
    [
        ("B,,,one,2,,,", Code.MISSING_VALUE, "name is empty."),
        ("B,Beth,,one,,,,", Code.MISSING_VALUE, "position is empty."),
        ("B,Beth,,one,second,,,", Code.BAD_VALUE, "The position of Beth is second."),
        ("B,Beth,,one,2,tale,,", Code.BAD_VALUE, "The kind of Beth is tale."),
        ("B,Beth,,one,2,,hard,", Code.BAD_VALUE, "The difficulty of Beth is hard."),
        ("B,Beth,,one,2,,-1,", Code.BAD_VALUE, "The difficulty of Beth is -1."),
        ("B,Beth,,one,2,,nan,", Code.BAD_VALUE, "The difficulty of Beth is nan."),
        ("B,Beth,,one,2,,,Juniors", Code.UNKNOWN_DIVISION, 'There is no division "Juniors" (Beth).'),
        ("a,Beth,,one,2,,,", Code.DUPLICATE_NAME, "The id a is there twice."),
        ("B,aleph,,one,2,,,", Code.DUPLICATE_NAME, "The name aleph is there twice."),
        ("B,Beth,,one,1,,,", Code.DUPLICATE_NAME, "The position 1 is there twice."),
        ("B,Beth,,One,2,,,", Code.BAD_VALUE, "Section One is written one at line 2."),
        ("B,Beth,Bet;aleph,one,2,,,", Code.DUPLICATE_NAME, "aleph is a name of two items."),
    ],
)
def test_cells_that_do_not_fit(hand_in: HandIn, row: str, code: Code, message: str) -> None:
    assert said(hand_in, f"{HEADER}A,Aleph,,one,1,,,\n{row}\n") == [("line 3", code, message)]


def test_the_order_must_be_written(hand_in: HandIn) -> None:
    text = "id,name,section\nA,Aleph,one\n"
    assert said(hand_in, text) == [("line 1", Code.MISSING_COLUMN, 'No column is called "position".')]


def test_an_empty_list_and_a_second_one_are_faults(hand_in: HandIn) -> None:
    assert said(hand_in, HEADER) == [("", Code.NO_ENTRIES, "syllabus.csv lists nothing to call.")]
    handed_in = hand_in(ENTRIES, syllabus_csv=HEADER + "A,Aleph,,one,1,,,\n", syllabus_xlsx=b"")
    assert Code.TWO_SETTINGS in [fault.code for fault in handed_in.faults]


WITH_WORDS = "id,name,section,position,kind,say,ending\n"


def test_a_story_and_a_text_to_finish_bring_their_own_words(hand_in: HandIn) -> None:
    rows = "A,Row 7,one,1,story,The fox and the kettle,\nB,Row 8,one,2,finish,Rain before seven,fine by eleven\n"
    handed_in = hand_in(ENTRIES, syllabus_csv=WITH_WORDS + rows)
    assert handed_in.faults == ()
    assert Code.TELLING_CALL not in [note.code for note in handed_in.notes]
    assert [(item.kind, item.say, item.ending) for item in handed_in.syllabus.items] == [
        ("story", "The fox and the kettle", ""),
        ("finish", "Rain before seven", "fine by eleven"),
    ]


@pytest.mark.parametrize(
    ("row", "messages"),
    [
        ("A,Row 7,one,1,story,,", ["Row 7 is of the kind story and say is empty."]),
        ("A,Row 7,one,1,finish,Rain before seven,", ["Row 7 is of the kind finish and ending is empty."]),
        (
            "A,Row 7,one,1,finish,,",
            ["Row 7 is of the kind finish and ending is empty.", "Row 7 is of the kind finish and say is empty."],
        ),
    ],
)
def test_words_that_a_kind_needs(hand_in: HandIn, row: str, messages: list[str]) -> None:
    found = said(hand_in, WITH_WORDS + row + "\n")
    assert [(code, message) for _, code, message in found] == [(Code.MISSING_VALUE, message) for message in messages]
