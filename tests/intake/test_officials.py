"""Officials: duties, ties to clubs and children, hours, clearance."""

import io
from typing import Any

import openpyxl
import pytest

from tourney.faults import Code
from tourney.intake.folder import HandedIn
from tourney.model.people import EnteredOfficial, Official

HandIn = Any  # the fixture
ENTRIES = """\
club,team,division,name,birth_date
Oxbow,Herons,Junior,Ada Quill,2017-05-03
Tarn,Otters,Senior,Elke Fenn,2014-01-15
Tarn,Coots,Junior,Ada Quill,2016-10-20
"""
HEADER = "name,roles,clubs,people,cleared_until,from,to,rooms_step_free\n"


def wrong(handed_in: HandedIn) -> list[tuple[Code, str, str]]:
    faults = [(fault.code, fault.where, fault.message) for fault in handed_in.faults]
    return faults + [(question.code, question.where, question.message) for question in handed_in.questions]


def test_everything_of_a_row_is_kept(hand_in: HandIn) -> None:
    row = "Greta Hollin,Judge; caller,TARN;oxbow,elke fenn,2028-01-01,9:00,13.30,Yes\n"
    handed_in = hand_in(ENTRIES, officials=HEADER + row)
    assert wrong(handed_in) == []
    assert handed_in.officials == (
        EnteredOfficial(
            Official("", "Greta Hollin", ("judge", "caller"), ("Tarn", "Oxbow"), (), "09:00", "13:30", True, True),
            (("Tarn", "Elke Fenn"),),
        ),
    )


def test_a_judge_may_ask_for_large_print(hand_in: HandIn) -> None:
    header = "name,cleared_until,large_print\n"
    handed_in = hand_in(ENTRIES, officials=f"{header}Greta Hollin,2028-01-01,yes\nIvo Tarn,2028-01-01,\n")
    assert [entered.official.large_print for entered in handed_in.officials] == [True, False]
    assert wrong(hand_in(ENTRIES, officials=f"{header}Greta Hollin,2028-01-01,huge\n")) == [
        (Code.BAD_VALUE, "line 2", 'large_print of Greta Hollin is "huge".')
    ]


def test_a_tie_to_a_shared_name_is_a_tie_to_all_of_that_name(hand_in: HandIn) -> None:
    handed_in = hand_in(ENTRIES, officials=HEADER + "Greta Hollin,,,Ada Quill,2028-01-01,,,\n")
    assert handed_in.officials[0].people == (("Oxbow", "Ada Quill"), ("Tarn", "Ada Quill"))
    assert [note.code for note in handed_in.notes] == [Code.NAMESAKES]


@pytest.mark.parametrize(
    ("row", "code", "message"),
    [
        (",judge,,,2028-01-01,,,", Code.MISSING_VALUE, "name is empty."),
        ("Greta,judges,,,2028-01-01,,,", Code.BAD_VALUE, '"judges" is not a duty (Greta).'),
        ("Greta,,,,2028-01-01,9 am,,", Code.BAD_VALUE, '"9 am" is not a time (Greta).'),
        ("Greta,,,,2028-01-01,12:00,11:00,", Code.BAD_VALUE, "Greta is there from 12:00 to 11:00."),
        ("Greta,,,,2028-01-01,,,perhaps", Code.BAD_VALUE, 'rooms_step_free of Greta is "perhaps".'),
        ("Greta,,,,always,,,", Code.BAD_DATE, "The clearance of Greta, always, can't be read."),
        ("Greta,,Heron,,2028-01-01,,,", Code.UNKNOWN_CLUB, 'No club "Heron" has entered a team (Greta).'),
        ("Greta,,,Elke Fen,2028-01-01,,,", Code.UNKNOWN_PERSON, 'No child called "Elke Fen" is entered (Greta).'),
    ],
)
def test_cells_that_do_not_fit(hand_in: HandIn, row: str, code: Code, message: str) -> None:
    handed_in = hand_in(ENTRIES, officials=f"{HEADER}{row}\n")
    assert wrong(handed_in) == [(code, "line 2", message)]
    assert handed_in.faults[0].hint


@pytest.mark.parametrize(
    ("until", "cleared"),
    [("2027-04-16", False), ("2027-04-17", True), ("", False), ("01/02/2028", True), ("01/02/2026", False)],
)
def test_clearance_must_reach_the_day(hand_in: HandIn, until: str, cleared: bool) -> None:
    handed_in = hand_in(ENTRIES, officials=f"{HEADER}Greta,,,,{until},,,\n")
    assert handed_in.officials[0].official.cleared is cleared
    assert [note.code for note in handed_in.notes] == ([] if cleared else [Code.NOT_CLEARED])
    assert wrong(handed_in) == []


@pytest.mark.parametrize(("answer", "cleared"), [("2027-03-05", False), ("2027-05-03", True)])
def test_a_clearance_with_two_readings_is_asked_for_if_it_matters(hand_in: HandIn, answer: str, cleared: bool) -> None:
    officials = HEADER + "Greta,,,,03/05/2027,,,\n"
    handed_in = hand_in(ENTRIES, officials=officials)
    assert handed_in.officials[0].official.cleared is False
    (question,) = handed_in.questions
    assert question.code == Code.AMBIGUOUS_DATE
    handed_in = hand_in(ENTRIES, f'[[answers]]\nid = "{question.id}"\nanswer = "{answer}"\n', officials)
    assert wrong(handed_in) == []
    assert handed_in.officials[0].official.cleared is cleared


@pytest.mark.parametrize(("ties", "notes"), [(",", 1), ("Oxbow,", 1), ("Tarn,", 0), (",Elke Fenn", 0)])
def test_a_surname_in_common_is_worth_a_note_unless_the_tie_is_declared(hand_in: HandIn, ties: str, notes: int) -> None:
    handed_in = hand_in(ENTRIES, officials=f"{HEADER}Otto Fenn,,{ties},2028-01-01,,,\n")
    assert [note.code for note in handed_in.notes] == [Code.SHARED_SURNAME] * notes


def test_nobody_is_listed_twice(hand_in: HandIn) -> None:
    rows = "Greta Hollin,,,,2028-01-01,,,\ngreta  hollin,,,,2028-01-01,,,\n"
    assert wrong(hand_in(ENTRIES, officials=HEADER + rows)) == [
        (Code.DUPLICATE_NAME, "line 3", "greta hollin is listed twice: here and in line 2.")
    ]


def test_ties_are_not_doubted_when_an_entry_file_could_not_be_read(hand_in: HandIn) -> None:
    handed_in = hand_in(
        {"a.csv": ENTRIES, "b.xlsx": "no workbook"}, officials=HEADER + "Greta,,Heron,Ida Loam,2028-01-01,,,\n"
    )
    assert [fault.code for fault in handed_in.faults] == [Code.UNREADABLE_FILE]


def workbook(**sheets: list[list[object]]) -> bytes:
    book = openpyxl.Workbook(write_only=True)
    for title, rows in sheets.items():
        sheet = book.create_sheet(title)
        for row in rows:
            sheet.append(list(row))
    target = io.BytesIO()
    book.save(target)
    return target.getvalue()


LIST: list[list[object]] = [["name", "cleared_until"], ["Greta Hollin", "2028-01-01"]]
SHEETS: dict[str, list[list[object]]] = {
    "event": [["key", "value"], ["name", "Millrace Day"], ["date", "2027-04-17"]],
    "rooms": [["name"], ["Barn"]],
    "divisions": [["key", "", ""], ["name", "Junior", "Senior"], ["ages", "8-10", "11-13"], ["minimum", 1, 1],
                  ["counting", 1, 1]],
}  # fmt: skip


def test_they_may_stand_in_a_workbook_of_their_own_or_in_the_settings(hand_in: HandIn) -> None:
    own = hand_in(ENTRIES, officials=None, officials_xlsx=workbook(officials=LIST))
    assert wrong(own) == [] and own.officials[0].official.name == "Greta Hollin"


def test_a_list_in_the_settings_counts_and_a_second_one_is_a_fault(hand_in: HandIn) -> None:
    inside = hand_in(ENTRIES, event=None, officials=None, event_xlsx=workbook(**SHEETS, officials=LIST))
    assert wrong(inside) == [] and inside.officials[0].official.cleared
    both = hand_in(ENTRIES, event=None)
    assert [(fault.file, fault.code, fault.message) for fault in both.faults] == [
        (
            "officials.csv",
            Code.TWO_SETTINGS,
            "Officials are listed in officials.csv and in event.xlsx, sheet officials.",
        )
    ]


def test_an_empty_list_in_the_settings_is_none(hand_in: HandIn) -> None:
    handed_in = hand_in(ENTRIES, event=None, event_xlsx=workbook(**SHEETS, officials=LIST[:1]))
    assert wrong(handed_in) == [] and len(handed_in.officials) == 1
    assert [fault.code for fault in hand_in(ENTRIES, officials=HEADER).faults] == [Code.TWO_SETTINGS, Code.NO_ENTRIES]
