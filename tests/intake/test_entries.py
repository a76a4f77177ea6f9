"""Children as clubs enter them: what is kept, who is in which division, who is entered twice."""

from pathlib import Path
from typing import Any

import pytest

from tests.intake.zipped import packed
from tourney.faults import Code
from tourney.intake.folder import HandedIn, read_folder
from tourney.model.people import Contestant, EnteredTeam

HandIn = Any  # the fixture
HEADER = "club,team,division,name,preferred_name,birth_date,grade,needs_seconds,needs,seat,edition,show_name,role\n"
SHORT = "club,team,division,name,birth_date\n"
BORN = "2017-05-03"
URN = "urn:oasis:names:tc:opendocument:xmlns"
ODF = " ".join(f'xmlns:{name}="{URN}:{name}:1.0"' for name in ("office", "table", "text"))


def wrong(handed_in: HandedIn) -> list[tuple[Code, str, str]]:
    faults = [(fault.code, fault.where, fault.message) for fault in handed_in.faults]
    return faults + [(question.code, question.where, question.message) for question in handed_in.questions]


def test_everything_of_a_row_is_kept_but_the_birth_date(hand_in: HandIn) -> None:
    handed_in = hand_in(
        HEADER
        + "Oxbow,Herons,Junior,Cleo Marsh,,2016-10-20,,,,,,,substitute\n"
        + "oxbow,HERONS,junior,Ada Quill,Addie,2017-05-03,4,20,large print,at the end,large,Number,Member\n"
    )
    assert wrong(handed_in) == []
    assert handed_in.teams == (
        EnteredTeam(
            "Herons",
            "Oxbow",
            "Junior",
            (
                Contestant("", "Ada Quill", "Addie", "number", 20, "large print", "at the end", "large", False),
                Contestant("", "Cleo Marsh", substitute=True),
            ),
        ),
    )
    assert "2017" not in repr(handed_in.teams)


def test_teams_come_in_the_order_of_divisions_and_clubs(hand_in: HandIn) -> None:
    rows = (
        "Tarn,B,Senior,Dov Ash,2014-01-15",
        "Oxbow,B,Junior,Ada Bee,2017-05-03",
        "Oxbow,A,Senior,Elke Cee,2014-02-15",
        "Tarn,A,Junior,Finn Dee,2017-06-03",
    )
    files = {f"{number}.csv": SHORT + row for number, row in enumerate(rows)}
    teams = hand_in(files).teams
    assert [(team.division, team.club, team.name) for team in teams] == [
        ("Junior", "Oxbow", "B"), ("Junior", "Tarn", "A"), ("Senior", "Oxbow", "A"), ("Senior", "Tarn", "B"),
    ]  # fmt: skip
    assert hand_in({f"{9 - number}.csv": SHORT + row for number, row in enumerate(rows)}).teams == teams


def test_one_team_may_come_in_two_files(hand_in: HandIn) -> None:
    files = {
        f"{name}.csv": f"{SHORT}Oxbow,Herons,Junior,{name} Quill,{BORN[:-1]}{number}\n"
        for number, name in enumerate(("Ada", "Ben"), 1)
    }
    (team,) = hand_in(files).teams
    assert [child.name for child in team.members] == ["Ada Quill", "Ben Quill"]


def test_hostile_and_foreign_names_stay_as_they_are(hand_in: HandIn) -> None:
    names = ["=cmd|' /C calc'!A0", "@home", "نور الهدى", "王小明", "Zoë O'Neil-Ångström", "<b>Bo</b>"]
    handed_in = hand_in(SHORT + "".join(f'Oxbow,{n},Junior,"{name}",2017-05-0{n}\n' for n, name in enumerate(names, 1)))
    assert wrong(handed_in) == []
    assert [team.members[0].name for team in handed_in.teams] == names


@pytest.mark.parametrize(
    ("column", "value", "code", "message"),
    [
        ("club", "", Code.MISSING_VALUE, "club is empty for Ada Quill."),
        ("team", " ", Code.MISSING_VALUE, "team is empty for Ada Quill."),
        ("name", "", Code.MISSING_VALUE, "name is empty for a child of Herons."),
        ("division", "", Code.MISSING_VALUE, "division is empty for Ada Quill."),
        ("birth_date", "", Code.MISSING_VALUE, "birth_date is empty for Ada Quill, and Junior needs it."),
        ("birth_date", "42493", Code.BAD_DATE, "The birth date of Ada Quill, 42493, can't be read."),
        ("birth_date", "2027-05-03", Code.BAD_DATE, "The birth date of Ada Quill, 2027-05-03, lies after the event."),
        ("grade", "third", Code.BAD_VALUE, "The grade of Ada Quill is third."),
        ("needs_seconds", "9", Code.BAD_VALUE, "The seconds of Ada Quill are 9."),
        ("needs_seconds", "9999", Code.BAD_VALUE, "The seconds of Ada Quill are 9999."),
        ("needs_seconds", "more", Code.BAD_VALUE, "The seconds of Ada Quill are more."),
        ("show_name", "first", Code.BAD_VALUE, 'show_name of Ada Quill is "first".'),
        ("role", "sub", Code.BAD_VALUE, 'role of Ada Quill is "sub".'),
    ],
)
def test_cells_that_do_not_fit(hand_in: HandIn, column: str, value: str, code: Code, message: str) -> None:
    cells = dict.fromkeys(HEADER.strip().split(","), "")
    cells |= {"club": "Oxbow", "team": "Herons", "division": "Junior", "name": "Ada Quill", "birth_date": BORN}
    handed_in = hand_in(HEADER + ",".join((cells | {column: value}).values()) + "\n")
    assert wrong(handed_in) == [(code, "line 2", message)]
    assert handed_in.faults[0].hint


def test_a_column_that_all_need_is_asked_for_once(hand_in: HandIn) -> None:
    handed_in = hand_in("club,team,division,name\nOxbow,Herons,Junior,Ada Quill\nOxbow,Herons,Junior,Ben Torrow\n")
    assert wrong(handed_in) == [
        (Code.MISSING_COLUMN, "line 1", 'No column is called "birth_date", and Junior needs it.')
    ]


LOWER = '[[divisions]]\nname = "Lower"\ngrades = [3, 5]\nminimum = 1\ncounting = 1\n'


def test_grades_need_no_birth_date(hand_in: HandIn) -> None:
    rows = "Oxbow,H,Lower,Ada Quill,4\nOxbow,H,Lower,Ben Torrow,6\nOxbow,H,Lower,Cleo Marsh,\n"
    handed_in = hand_in("club,team,division,name,grade\n" + rows, LOWER)
    assert wrong(handed_in) == [
        (Code.WRONG_DIVISION, "line 3",
         "Ben Torrow is entered in Lower, for grades 3 to 5, but is in grade 6: no division is for that."),
        (Code.MISSING_VALUE, "line 4", "grade is empty for Cleo Marsh, and Lower needs it."),
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("born", "said"),
    [
        ("2018-09-01", ""),
        ("2018-09-02", "is 7 on 1 September 2026 (born 2018-09-02): no division is for that."),
        ("2015-09-02", ""),
        ("2015-09-01", "is 11 on 1 September 2026 (born 2015-09-01): that is Senior."),
        ("09/03/2017", ""),  # 9 March or 3 September 2017: Junior both
        ("01/02/2014", "is 12 on 1 September 2026 (born 01/02/2014): that is Senior."),
        ("01/10/2009", "is 16 or 17 on 1 September 2026 (born 01/10/2009): no division is for that."),
    ],
)
def test_the_birthday_decides(hand_in: HandIn, born: str, said: str) -> None:
    found = wrong(hand_in(f"{SHORT}Oxbow,H,Junior,Ada Quill,{born}\n"))
    begins = "Ada Quill is entered in Junior, for ages 8 to 10, but "
    assert [message.removeprefix(begins) for _, _, message in found] == ([said] if said else [])


def test_a_child_of_29_february_by_the_setting(hand_in: HandIn) -> None:
    rows = f"{SHORT}Oxbow,H,Leap,Ada Quill,2016-02-29\n"
    leap = '[[divisions]]\nname = "Leap"\nages = [10, 10]\nage_on = 2026-02-28\nminimum = 1\ncounting = 1\n'
    assert [code for code, *_ in wrong(hand_in(rows, leap))] == [Code.WRONG_DIVISION]
    assert wrong(hand_in(rows, leap + 'leap_birthday = "28 February"\n')) == []


def test_playing_up_is_for_the_younger(hand_in: HandIn) -> None:
    rows = f"{SHORT}Oxbow,H,Senior,Ada Quill,2017-05-03\nOxbow,H,Senior,Ben Torrow,2010-05-03\n"
    assert [where for _, where, _ in wrong(hand_in(rows))] == ["line 2", "line 3"]
    assert [where for _, where, _ in wrong(hand_in(rows, "play_up = true\n"))] == ["line 3"]


AMBIGUOUS = f"{SHORT}Oxbow,H,Junior,Ada Quill,05/09/2018\n"


def answered(id_: str, answer: str) -> str:
    return f'[[answers]]\nid = "{id_}"\nanswer = "{answer}"\n'


@pytest.mark.parametrize(
    ("answer", "codes"),
    [
        ("2018-05-09", []),
        ("9 May 2018", []),
        ("2018-09-05", [Code.WRONG_DIVISION]),
        ("2018-01-01", [Code.BAD_VALUE]),
        ("yes", [Code.BAD_VALUE]),
    ],
)
def test_an_ambiguous_date_is_settled_by_its_answer(hand_in: HandIn, answer: str, codes: list[Code]) -> None:
    (question,) = hand_in(AMBIGUOUS).questions
    handed_in = hand_in(AMBIGUOUS, answered(question.id, answer))
    assert [fault.code for fault in handed_in.faults] == codes
    assert not handed_in.questions
    if codes == [Code.BAD_VALUE]:
        assert handed_in.faults[0].where == "answers[1].answer"
        assert handed_in.faults[0].hint == "Write one of: 2018-09-05, 2018-05-09."


def test_the_id_of_a_question_stays_while_others_come_and_go(hand_in: HandIn) -> None:
    (question,) = hand_in(AMBIGUOUS).questions
    more = "Tarn,O,Junior,Dov Amberly,05/09/2018\noxbow,h,junior,ADA quill,05/09/2018\n"
    assert question.id.startswith("ambiguous-date-")
    assert question.id in {other.id for other in hand_in({"0.csv": SHORT + more}).questions}


def twins(
    first: str, second: str, *, clubs: tuple[str, str] = ("Oxbow", "Oxbow"), born: tuple[str, str] = (BORN, BORN)
) -> str:
    return f"{SHORT}{clubs[0]},H,Junior,{first},{born[0]}\n{clubs[1]},E,Junior,{second},{born[1]}\n"


@pytest.mark.parametrize(
    ("rows", "code"),
    [
        (twins("Ada Quill", "ada  QUILL"), Code.SAME_CHILD),
        (twins("Ada Quill", "Ada Quill", born=(BORN, "03/05/2017")), Code.SAME_CHILD),
        (twins("Ada Quill", "Ada Quill", clubs=("Oxbow", "Tarn")), Code.MAYBE_SAME_CHILD),
        (twins("Ada Quill", "Ada Quill", born=(BORN, "2016-05-03")), Code.MAYBE_SAME_CHILD),
        (twins("Samuel Orrin", "Sam Orrin"), Code.MAYBE_SAME_CHILD),
        (twins("William Orrin", "Bill Orrin"), Code.MAYBE_SAME_CHILD),
        (twins("Ann Petersen", "Ann Peterson"), Code.MAYBE_SAME_CHILD),
        (twins("Anna Quill", "Hannah Quill", clubs=("Oxbow", "Tarn")), Code.MAYBE_SAME_CHILD),
        (twins("Ada Quill", "Ada Quill", clubs=("Oxbow", "Tarn"), born=(BORN, "2016-05-03")), None),
        (twins("Ada Quill", "Jonas Quill"), None),
        (twins("Ada Quill", "Ada Marsh"), None),
        (twins("Samuel Orrin", "Sam Orrin", born=(BORN, "2016-05-03")), None),
    ],
)
def test_who_may_be_one_child(hand_in: HandIn, rows: str, code: Code | None) -> None:
    assert [found for found, *_ in wrong(hand_in(rows))] == ([code] if code else [])


def test_the_name_a_child_goes_by_counts_as_a_name(hand_in: HandIn) -> None:
    header = "club,team,division,name,preferred_name,birth_date\n"
    rows = f"Oxbow,H,Junior,Florentina Orrin,Nina,{BORN}\nOxbow,E,Junior,Nina Orrin,,{BORN}\n"
    assert [code for code, *_ in wrong(hand_in(header + rows))] == [Code.MAYBE_SAME_CHILD]


@pytest.mark.parametrize(
    ("answer", "codes"), [("Two children", []), ("one child", [Code.SAME_CHILD]), ("no", [Code.BAD_VALUE])]
)
def test_likely_doubles_are_settled_by_their_answer(hand_in: HandIn, answer: str, codes: list[Code]) -> None:
    rows = twins("Samuel Orrin", "Sam Orrin")
    (question,) = hand_in(rows).questions
    handed_in = hand_in(rows, answered(question.id, answer))
    assert [fault.code for fault in handed_in.faults] == codes
    assert not handed_in.questions


def test_rows_sent_twice_count_once(hand_in: HandIn) -> None:
    rows = f"{SHORT}Oxbow,H,Junior,Ada Quill,{BORN}\n"
    handed_in = hand_in({"first.csv": rows, "second.csv": rows})
    assert wrong(handed_in) == []
    assert [note.code for note in handed_in.notes if note.file == "entries/second.csv"] == [Code.SAME_CHILD]
    assert len(handed_in.teams[0].members) == 1


def test_an_answer_that_nothing_asks_for_names_the_nearest(hand_in: HandIn) -> None:
    (question,) = hand_in(AMBIGUOUS).questions
    handed_in = hand_in(AMBIGUOUS, answered(question.id[:-1], "2018-05-09"))
    assert [(fault.code, fault.where, fault.hint) for fault in handed_in.faults] == [
        (Code.UNUSED_ANSWER, "answers[1].id", f'The nearest is "{question.id}".')
    ]


def test_a_form_that_was_sent_empty_is_noted(hand_in: HandIn) -> None:
    handed_in = hand_in({"full.csv": f"{SHORT}Oxbow,H,Junior,Ada Quill,{BORN}\n", "empty.csv": SHORT + ",,,,\n"})
    assert wrong(handed_in) == []
    assert ("entries/empty.csv", "empty.csv lists no child.") in [(note.file, note.message) for note in handed_in.notes]


def test_entries_may_come_from_a_free_office_program(hand_in: HandIn, tmp_path: Path) -> None:
    """Element and attribute names by OASIS OpenDocument 1.2, part 1, 9.1 and 19."""
    assert hand_in({}).faults
    words = (SHORT.strip().split(","), ("Oxbow", "H", "Junior", "Ada Quill"))
    head, child = (
        "".join(f"<table:table-cell><text:p>{word}</text:p></table:table-cell>" for word in row) for row in words
    )
    kind = f'office:value-type="date" office:date-value="{BORN}"'
    born = f"<table:table-cell {kind}><text:p>3 May</text:p></table:table-cell>"
    content = (
        f'<office:document-content {ODF}><office:body><office:spreadsheet><table:table table:name="Entries">'
        f"<table:table-row>{head}</table:table-row><table:table-row>{child}{born}</table:table-row>"
        "</table:table></office:spreadsheet></office:body></office:document-content>"
    )
    (tmp_path / "entries" / "club.ods").write_bytes(packed({"content.xml": content.encode()}))
    handed_in = read_folder(tmp_path)
    assert wrong(handed_in) == [] and [team.members[0].name for team in handed_in.teams] == ["Ada Quill"]
    (tmp_path / "entries" / "club.ods").write_bytes(
        packed({"content.xml": content.replace(BORN, "2002-05-03").encode()})
    )
    assert [(fault.code, fault.where) for fault in read_folder(tmp_path).faults] == [
        (Code.WRONG_DIVISION, "Entries!C2")
    ]


def test_files_of_other_kinds_are_named_and_leftovers_are_not(hand_in: HandIn) -> None:
    row = f"{SHORT}Oxbow,H,Junior,Ada Quill,{BORN}\n"
    leftovers = dict.fromkeys(("~$club.xlsx", ".DS_Store", "._club.csv", "Thumbs.db", "desktop.ini"), "x")
    handed_in = hand_in({"A club.CSV": row, "list.docx": "x", "old.xls": "x", **leftovers})
    assert [(fault.file, fault.code) for fault in handed_in.faults] == [
        ("entries/list.docx", Code.UNREADABLE_FILE),
        ("entries/old.xls", Code.UNREADABLE_FILE),
    ]
    assert len(handed_in.teams) == 1
