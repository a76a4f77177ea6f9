"""For each fault code one event that is broken in one place: code, place, message and cure are what a person needs."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any, Literal

import pytest

from tourney.faults import Code, Fault, Question
from tourney.intake.folder import HandedIn, read_folder

Folder = Any  # the fixture's EventFolder
OXBOW, TARN, EVENT, OFFICIALS = "entries/oxbow.csv", "entries/tarn.csv", "event.toml", "officials.csv"
ADA = "Oxbow,Herons,Junior,Ada Quill,2017-05-03,"


@dataclass(frozen=True)
class Case:
    """One break and all that is then said."""

    code: Code
    change: Callable[[Folder], None]
    file: str
    where: str
    message: str
    hint: str
    kind: Literal["faults", "questions", "notes"] = "faults"


def swap(name: str, old: str, new: str) -> Callable[[Folder], None]:
    return lambda folder: folder.swap(name, old, new)


def add(name: str, text: str) -> Callable[[Folder], None]:
    return lambda folder: folder.add(name, text)


def write(name: str, text: str | bytes) -> Callable[[Folder], None]:
    return lambda folder: folder.write(name, text)


def drop(*names: str) -> Callable[[Folder], None]:
    def change(folder: Folder) -> None:
        for name in names:
            folder.drop(name)

    return change


def nobody_entered(folder: Folder) -> None:
    drop(OXBOW, TARN)(folder)
    folder.write(OFFICIALS, "name,clubs,cleared_until\nHal,,2028-01-01")


CASES = [
    Case(
        Code.MISSING_FILE,
        drop(OFFICIALS),
        OFFICIALS,
        "",
        "There is no list of officials: neither officials.csv nor officials.xlsx nor a sheet officials.",
        "List who can serve, one a row.",
    ),
    Case(
        Code.TWO_SETTINGS,
        write("event.xlsx", b""),
        "event.xlsx",
        "",
        "There are two files of settings, event.toml and event.xlsx.",
        "Keep the one that holds and take the other out of the folder.",
    ),
    Case(
        Code.UNREADABLE_FILE,
        write("entries/late.xlsx", "club,team\n"),
        "entries/late.xlsx",
        "",
        "late.xlsx is not a workbook, whatever its name says.",
        "Open it in a spreadsheet program, save it as an Excel workbook (.xlsx) and hand that in.",
    ),
    Case(
        Code.UNREADABLE_FILE,
        lambda folder: folder.write("entries/old/oxbow.csv", ""),
        "entries/old",
        "",
        "old is a folder and is not looked into.",
        "",
        "notes",
    ),
    Case(
        Code.UNKNOWN_KEY,
        add(EVENT, "callls = 20\n"),
        EVENT,
        "divisions[2].callls",
        "callls of Senior is not a key.",
        'The nearest is "calls".',
    ),
    Case(
        Code.BAD_VALUE,
        add(EVENT, 'calls = "many"\n'),
        EVENT,
        "divisions[2].calls",
        'calls of Senior is "many".',
        "Write a whole number from 1 to 60.",
    ),
    Case(
        Code.DIVISIONS_OVERLAP,
        swap(EVENT, "[11, 13]", "[10, 13]"),
        EVENT,
        "divisions[2].ages",
        "Junior (ages 8 to 10) and Senior (ages 10 to 13) overlap.",
        "Let each child fit one of them: change the numbers of one.",
    ),
    Case(
        Code.DIVISIONS_GAP,
        swap(EVENT, "[11, 13]", "[12, 13]"),
        EVENT,
        "divisions[2].ages",
        "No division is for age 11, between Junior and Senior.",
        "",
        "notes",
    ),
    Case(
        Code.DUPLICATE_NAME,
        swap(EVENT, '[[rooms]]\nname = "Barn"', '[[rooms]]\nname = "Barn"\n[[rooms]]\nname = "BARN"'),
        EVENT,
        "rooms[2].name",
        'Two rooms are called "BARN".',
        "Give each a name of its own.",
    ),
    Case(
        Code.LINE_TOO_LONG,
        add(EVENT, "teams_per_heat = 4\n"),
        EVENT,
        "divisions[2].teams_per_heat",
        "Senior: 4 teams of 4 are 16 in line, and no room has a line of more than 12.",
        "Set teams_per_heat to 3, or line_limit to 16 where it fits.",
    ),
    Case(
        Code.UNKNOWN_COLUMN,
        swap(OXBOW, "birth_date,role", "birth_date,rolle"),
        OXBOW,
        "line 1",
        'Column "rolle" is not known.',
        'If it is "role", write it so; otherwise give it a name less like that.',
    ),
    Case(
        Code.MISSING_COLUMN,
        swap(OXBOW, "team,division", "group,division"),
        OXBOW,
        "line 1",
        'No column is called "team".',
        "Add it to the row with the column names: the team's name.",
    ),
    Case(
        Code.EXTRA_COLUMNS,
        swap(OXBOW, "birth_date,role", "birth_date,role,T-shirt,Lunch"),
        OXBOW,
        "line 1",
        "Further columns are kept and not used: T-shirt, Lunch.",
        "",
        "notes",
    ),
    Case(
        Code.MISSING_VALUE,
        swap(OXBOW, "2017-05-03", ""),
        OXBOW,
        "line 2",
        "birth_date is empty for Ada Quill, and Junior needs it.",
        "Ask the club for it.",
    ),
    Case(
        Code.NO_ENTRIES,
        nobody_entered,
        "entries",
        "",
        "There are no entries.",
        "Put the clubs' workbooks or CSV files into the folder entries.",
    ),
    Case(
        Code.UNKNOWN_DIVISION,
        swap(OXBOW, "Junior,Ada", "Juniors,Ada"),
        OXBOW,
        "line 2",
        'There is no division "Juniors" (Ada Quill).',
        'The nearest is "Junior".',
    ),
    Case(
        Code.WRONG_DIVISION,
        swap(OXBOW, "2017-05-03", "2015-05-03"),
        OXBOW,
        "line 2",
        "Ada Quill is entered in Junior, for ages 8 to 10, but is 11 on 1 September 2026 (born 2015-05-03): "
        "that is Senior.",
        "Ask the club whether the birth date or the division is wrong, and mend that.",
    ),
    Case(
        Code.BAD_DATE,
        swap(OXBOW, "2017-05-03", "3/5/17"),
        OXBOW,
        "line 2",
        "The birth date of Ada Quill, 3/5/17, can't be read.",
        "Write year-month-day, such as 2016-05-03, in a cell formatted as text or as a date.",
    ),
    Case(
        Code.AMBIGUOUS_DATE,
        swap(OXBOW, "2017-05-03", "05/09/2018"),
        OXBOW,
        "line 2",
        "The birth date of Ada Quill can be 5 September 2018 (7 years old on the day that counts) "
        "or 9 May 2018 (8 years old on the day that counts); Junior is for ages 8 to 10.",
        "Write it as year-month-day in the entry, or answer 2018-09-05 or 2018-05-09.",
        "questions",
    ),
    Case(
        Code.SAME_CHILD,
        add(OXBOW, "Oxbow,Herons,Junior,ADA  Quill,2017-05-03,substitute\n"),
        OXBOW,
        "line 5",
        "ADA Quill of Oxbow is entered twice: here and in entries/oxbow.csv, line 2.",
        "Delete one of the two rows.",
    ),
    Case(
        Code.SAME_CHILD,
        add(OXBOW, f"{ADA}\n"),
        OXBOW,
        "line 5",
        "Ada Quill stands here again, exactly as in entries/oxbow.csv, line 2: counted once.",
        "",
        "notes",
    ),
    Case(
        Code.MAYBE_SAME_CHILD,
        add(OXBOW, "Oxbow,Herons,Junior,Benjamin Torrow,2017-11-30,\n"),
        OXBOW,
        "line 5",
        "Ben Torrow of Oxbow (entries/oxbow.csv, line 3) and Benjamin Torrow of Oxbow may be the same child.",
        'Delete one of the rows, or answer "two children".',
        "questions",
    ),
    Case(
        Code.SHORT_TEAM,
        add(OXBOW, "Oxbow,Egrets,Junior,Ida Juniper,2017-02-02,\n"),
        OXBOW,
        "line 5",
        "Egrets of Oxbow (Junior) has 1 member; a team needs 2.",
        "Ask the club for more children, join it with another team of the club, or take it out.",
    ),
    Case(
        Code.SHORT_TEAM,
        swap(OXBOW, f"{ADA}\n", ""),
        OXBOW,
        "line 2",
        "Herons of Oxbow (Junior) has 2 members; 3 scores count, and those missing are 0.",
        "",
        "notes",
    ),
    Case(
        Code.LARGE_TEAM,
        add(OXBOW, "Oxbow,Herons,Junior,Ida Juniper,2017-02-02,\nOxbow,Herons,Junior,Kit Loam,2017-07-07,\n"),
        OXBOW,
        "line 2",
        "Herons of Oxbow (Junior) has 5 members; at most 4 stand in line.",
        "Write substitute in the column role for 1, or enter a second team.",
    ),
    Case(
        Code.LARGE_TEAM,
        add(
            OXBOW,
            "Oxbow,Herons,Junior,Ida Juniper,2017-02-02,substitute\n"
            "Oxbow,Herons,Junior,Kit Loam,2017-07-07,substitute\n",
        ),
        OXBOW,
        "line 2",
        "Herons of Oxbow (Junior) has 2 substitutes; at most 1 may be.",
        "Take some out, or let them be members if there is a place.",
    ),
    Case(
        Code.SIMILAR_CLUBS,
        add(
            OXBOW,
            "Oxbows,Egrets,Junior,Ida Juniper,2017-02-02,\nOxbows,Egrets,Junior,Kit Loam,2017-07-07,\n"
            "Oxbows,Egrets,Junior,Lev Moor,2017-03-03,\n",
        ),
        "entries",
        "",
        '"Oxbow" and "Oxbows" are taken for two clubs.',
        "If they are one, write it the same everywhere.",
        "notes",
    ),
    Case(
        Code.UNKNOWN_CLUB,
        swap(OFFICIALS, "caller,Oxbow", "caller,Oxbo"),
        OFFICIALS,
        "line 2",
        'No club "Oxbo" has entered a team (Greta Hollin).',
        'The nearest is "Oxbow".',
    ),
    Case(
        Code.UNKNOWN_PERSON,
        swap(OFFICIALS, "Elke Fenn", "Elka Fenn"),
        OFFICIALS,
        "line 3",
        'No child called "Elka Fenn" is entered (Hal Iverne).',
        'The nearest is "Elke Fenn".',
    ),
    Case(
        Code.NOT_CLEARED,
        swap(OFFICIALS, "Oxbow,,2028-01-01", "Oxbow,,2027-04-16"),
        OFFICIALS,
        "line 2",
        "The clearance of Greta Hollin ends on 16 April 2027, before the event: no duty with children.",
        "Write the new date once it is renewed.",
        "notes",
    ),
    Case(
        Code.NOT_CLEARED,
        swap(OFFICIALS, "Oxbow,,2028-01-01", "Oxbow,,"),
        OFFICIALS,
        "line 2",
        "Greta Hollin has no date of clearance and is given no duty with children.",
        "Local rules decide who needs one: write the last day on which it holds.",
        "notes",
    ),
    Case(
        Code.NAMESAKES,
        add(OXBOW, "Oxbow,Herons,Junior,Elke Fenn,2017-02-02,\n"),
        OFFICIALS,
        "line 3",
        "2 children are called Elke Fenn; Hal Iverne is kept from all of them.",
        "",
        "notes",
    ),
    Case(
        Code.SHARED_SURNAME,
        swap(OFFICIALS, "Hal Iverne", "Hal Gorse"),
        OFFICIALS,
        "line 3",
        "Hal Gorse has a surname in common with Finn Gorse of Tarn, and no tie is declared.",
        "If they are family, write the child's name in the column people.",
        "notes",
    ),
    Case(
        Code.UNUSED_ANSWER,
        add(EVENT, '[[answers]]\nid = "ambiguous-date-000000"\nanswer = "2017-05-03"\n'),
        EVENT,
        "answers[1].id",
        "No question has the id ambiguous-date-000000.",
        "Take the answer out.",
    ),
    Case(
        Code.UNKNOWN_SECTION,
        add(EVENT, "sections = { law = 1, pauls = 1 }\n"),
        EVENT,
        "divisions[2].sections.pauls",
        'Senior: the syllabus has no section "pauls".',
        "Its sections are: law, history, poetry, major_prophets, minor_prophets, gospels_acts, paul, "
        "general_revelation.",
    ),
    Case(
        Code.UNKNOWN_ITEM,
        write("sound_alikes.csv", "names\nJoel; Job\nMicah; Malachy\n"),
        "sound_alikes.csv",
        "line 3",
        'Nothing in the syllabus is called "Malachy".',
        'The nearest is "Malachi".',
    ),
    Case(
        Code.TELLING_CALL,
        write("syllabus.csv", "id,name,section,position,kind,say\nR2,Ruth 2,one,1,story,Ruth in the barley field\n"),
        "syllabus.csv",
        "line 2",
        "What is called for Ruth 2 says where it is.",
        "Leave it if that is wanted. Otherwise call it by other words.",
        "notes",
    ),
    Case(
        Code.MEASURED_DIFFICULTY,
        write("difficulty.csv", "item,difficulty\nRUT,4.5\nJON,-0.2\n"),
        "difficulty.csv",
        "",
        "Difficulties of 2 items are those of difficulty.csv, for the other 64 as expected.",
        "Counted as 0, as they are below it: JON.",
        "notes",
    ),
]

# Without these the rest can't be checked against the settings, so more may be said than the one thing.
FIRST_THINGS = [
    Case(
        Code.NOT_TOML,
        swap(EVENT, 'name = "Millrace Day"', "name = Millrace Day"),
        EVENT,
        "line 2",
        "This line can't be understood: name = Millrace Day",
        'Look at it and at the line above: key = value, a text in "quotes", a list in [brackets], each key only once.',
    ),
    Case(
        Code.MISSING_KEY,
        swap(EVENT, "date = 2027-04-17\n", ""),
        EVENT,
        "event.date",
        "date is missing.",
        "Add it: the day, year-month-day.",
    ),
    Case(
        Code.MISSING_FILE,
        drop(EVENT),
        EVENT,
        "",
        "There is neither event.xlsx nor event.toml.",
        "Put the settings into this folder, or start one with `tourney new`.",
    ),
]


def said(handed_in: HandedIn, kind: str) -> list[tuple[Code, str, str, str, str]]:
    everything: tuple[Fault | Question, ...] = getattr(handed_in, kind)
    return [(one.code, one.file, one.where, one.message, one.hint) for one in everything]


@pytest.mark.parametrize("case", [*CASES, *FIRST_THINGS], ids=lambda case: f"{case.code}-{case.kind}")
def test_it_is_said_where_it_is(case: Case, event_folder: Folder) -> None:
    case.change(event_folder)
    everything = said(read_folder(event_folder.path), case.kind)
    assert (case.code, case.file, case.where, case.message, case.hint) in everything


@pytest.mark.parametrize("case", CASES, ids=lambda case: f"{case.code}-{case.kind}")
def test_nothing_else_is_called_wrong(case: Case, event_folder: Folder) -> None:
    case.change(event_folder)
    handed_in = read_folder(event_folder.path)
    told = {place[:3] for kind in ("faults", "questions") for place in said(handed_in, kind)}
    assert told == (set() if case.kind == "notes" else {(case.code, case.file, case.where)})


def test_every_code_has_a_case() -> None:
    assert {case.code for case in (*CASES, *FIRST_THINGS)} == set(Code)


def test_a_sound_event_gives_nothing(event_folder: Folder) -> None:
    handed_in = read_folder(event_folder.path)
    assert (handed_in.faults, handed_in.questions, handed_in.notes) == ((), (), ())


def test_all_faults_of_all_files_come_in_one_pass(event_folder: Folder) -> None:
    event_folder.add(EVENT, "callls = 20\n")
    event_folder.swap(OXBOW, "2017-05-03", "soon")
    event_folder.swap(TARN, "2014-01-15", "2010-01-15")
    event_folder.swap(OFFICIALS, "caller,Oxbow", "caller,Oxbo")
    event_folder.write("syllabus.csv", "id,name,section,position\nA,Aleph,one,first\n")
    codes = [(fault.file, fault.code) for fault in read_folder(event_folder.path).faults]
    assert codes == [
        (OXBOW, Code.BAD_DATE),
        (TARN, Code.WRONG_DIVISION),
        (EVENT, Code.UNKNOWN_KEY),
        (OFFICIALS, Code.UNKNOWN_CLUB),
        ("syllabus.csv", Code.BAD_VALUE),
    ]
