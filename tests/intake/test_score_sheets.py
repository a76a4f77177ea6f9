"""Filled score sheets: what is certain is taken, what is not is named, and nothing is guessed."""

import csv
import io
import random
import zipfile
from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, date, datetime
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from openpyxl import Workbook, load_workbook
from openpyxl.cell import Cell
from openpyxl.comments import Comment
from openpyxl.worksheet.worksheet import Worksheet

from tests.intake.zipped import saved
from tourney.intake.marks import letters_of
from tourney.intake.score_sheets import read_score_sheets
from tourney.model.event import Division, Event, Room
from tourney.model.people import Contestant
from tourney.model.plan import DrawRecord, Heat, Plan, Wave
from tourney.model.sheet import LETTERS, FilledSheet, Marked, SheetNote, SheetReading
from tourney.model.sheet_layout import (
    INITIALS_TAG,
    JUDGED_TAG,
    POINTS,
    SheetIdentity,
    call_tag,
    event_mark,
    line_tag,
    sheet_code,
    total_tag,
)

CALLS = 6
TRIALS = 100
LINE = ("J01-1", "J01-2", "J02-1", "J02-2")
SECRET = "sha256:0123456789abcdef"
FIRST_ROW, FIRST_COLUMN = 4, 4  # line 1 and call 1, as openpyxl counts
JUDGED_ROW = FIRST_ROW + len(LINE)


def heat(name: str, line: tuple[str, ...] = LINE) -> Heat:
    teams, judges = ("J01", "J02"), ("O01", "O02", "O03")
    return Heat(name, "Junior", 1, "W01", "Hall", "J-W01", teams, judges, "O04", None, line)


def plan(revision: int = 1, line: tuple[str, ...] = LINE) -> Plan:
    event = Event(
        name="Lantern day",
        date=date(2027, 4, 17),
        rooms=(Room(name="Hall"),),
        divisions=(Division(name="Junior", ages=(8, 10), calls=CALLS),),
    )
    waves = (Wave("W01", datetime(2027, 4, 17, 9, tzinfo=UTC), 15),)
    heats = (heat("J-R1-1", line), heat("J-R1-2", ("J02-2", *LINE[:3])))
    return Plan(revision, event, DrawRecord("words", "", SECRET), (), {}, (), waves, heats, (), (), ())


PLAN = plan()


def identity(judge: int = 1, name: str = "J-R1-1", revision: int = 1, secret: str = SECRET) -> SheetIdentity:
    return SheetIdentity(sheet_code(name, judge), name, judge, revision, event_mark(secret))


def draw(sheet: Worksheet, who: SheetIdentity, line: tuple[str, ...] = LINE) -> None:
    """A score sheet with nothing but what the reader goes by, and the numbers that people see."""
    sheet["A1"] = who.text()
    for call in range(1, CALLS + 1):
        sheet.cell(1, FIRST_COLUMN + call - 1, call_tag(call))
        sheet.cell(FIRST_ROW - 1, FIRST_COLUMN + call - 1, call)
    for number, contestant in enumerate(line, 1):
        sheet.cell(FIRST_ROW + number - 1, 1, line_tag(number, contestant))
        sheet.cell(FIRST_ROW + number - 1, 2, number)
        sheet.cell(FIRST_ROW + number - 1, 3, f"Child {contestant}")
    sheet.cell(JUDGED_ROW, 1, JUDGED_TAG)
    sheet["A2"] = INITIALS_TAG
    sheet["C1"] = INITIALS_TAG  # the initials stand in C2


def tick_all(sheet: Worksheet, tick: Any = "x") -> None:
    for call in range(1, CALLS + 1):
        sheet.cell(JUDGED_ROW, FIRST_COLUMN + call - 1, tick)
    sheet["C2"] = "AB"


def put(sheet: Worksheet, line: int, call: int, value: Any) -> str:
    cell = sheet.cell(FIRST_ROW + line - 1, FIRST_COLUMN + call - 1, value)
    return f"{sheet.title}!{cell.coordinate}"


def workbook(*changes: Callable[[Worksheet], object], who: SheetIdentity | None = None) -> bytes:
    """A workbook with one sheet, all ticked and clean, then changed."""
    book = Workbook()
    sheet = book.worksheets[0]
    sheet.title = "Sheet A"
    draw(sheet, who or identity())
    tick_all(sheet)
    for change in changes:
        change(sheet)
    return saved(book)


def read_one(content: bytes, day: Plan = PLAN) -> SheetReading:
    (reading,) = read_score_sheets("hall.xlsx", content, day, {})
    return reading


def filled(reading: SheetReading) -> FilledSheet:
    assert reading.sheet_read is not None, reading.notes
    return reading.sheet_read


def refusal(reading: SheetReading) -> str:
    assert reading.state == "refused"
    assert reading.sheet_read is None
    (note,) = reading.notes
    return note.message


def test_a_clean_sheet_is_accepted() -> None:
    reading = read_one(workbook())
    assert (reading.file, reading.sheet, reading.code) == ("hall.xlsx", "Sheet A", sheet_code("J-R1-1", 1))
    assert (reading.state, reading.notes) == ("accepted", ())
    sheet = filled(reading)
    assert (sheet.heat, sheet.judge, sheet.revision, sheet.initials) == ("J-R1-1", 1, 1, "AB")
    assert sheet.contestants == LINE
    assert sheet.judged == tuple(range(1, CALLS + 1))
    assert (sheet.marks, sheet.open_cells) == ((), ())


@given(
    st.dictionaries(
        st.tuples(st.integers(1, len(LINE)), st.integers(1, CALLS)),
        st.sets(st.sampled_from("LWSH"), min_size=1),
        max_size=6,
    ),
    st.sets(st.integers(1, CALLS)),
    st.sampled_from(["", " ", ", ", "/"]),
)
@settings(max_examples=25)
def test_what_was_typed_is_what_is_read(
    marks: dict[tuple[int, int], set[str]], unticked: set[int], between: str
) -> None:
    def change(sheet: Worksheet) -> None:
        for (line, call), letters in marks.items():
            put(sheet, line, call, between.join(sorted(letters)).lower())
        for call in unticked:
            sheet.cell(JUDGED_ROW, FIRST_COLUMN + call - 1).value = None

    sheet = filled(read_one(workbook(change)))
    in_order = {place: tuple(letter for letter in LETTERS if letter in letters) for place, letters in marks.items()}
    assert {(mark.line, mark.call): mark.letters for mark in sheet.marks} == in_order
    assert set(sheet.judged) == set(range(1, CALLS + 1)) - unticked
    assert sheet.open_cells == ()


@pytest.mark.parametrize(
    ("typed", "cure"),
    [
        ("Q", "Type L, W, S, H or N, or clear"),
        (0, "Type L, W, S, H or N, or clear"),
        ("-", "Type L, W, S, H or N, or clear"),
        ("✓", "Type L, W, S, H or N, or clear"),
        ("\N{CYRILLIC CAPITAL LETTER EN}", "If the letter H was meant, type that"),
        ("\N{GREEK CAPITAL LETTER NU}", "If the letter N was meant, type that"),
        (1, "If the letter L was meant, type that"),
        ("LL", "Type each letter once."),
        ("NW", "N means absent and stands alone"),
        (True, "Type L, W, S, H or N, or clear"),
    ],
)
def test_what_is_no_mark_stays_open_and_is_named(typed: Any, cure: str) -> None:
    places: list[str] = []
    reading = read_one(workbook(lambda sheet: places.append(put(sheet, 2, 3, typed))))
    assert reading.state == "noted"
    assert filled(reading).open_cells == ((2, 3),)
    assert filled(reading).marks == ()
    (note,) = reading.notes
    assert [note.where] == places
    assert note.message.startswith("Line 2, call 3 says ")
    assert cure in note.message


@pytest.mark.parametrize(("value", "what"), [('="L"', "holds a formula"), ("#N/A", "shows an error")])
def test_formulas_and_errors_are_never_read_as_clean(value: str, what: str) -> None:
    reading = read_one(workbook(lambda sheet: put(sheet, 1, 1, value)))
    assert filled(reading).open_cells == ((1, 1),)
    assert what in reading.notes[0].message


def test_joined_cells_are_open() -> None:
    reading = read_one(workbook(lambda sheet: sheet.merge_cells("D4:E4")))
    assert filled(reading).open_cells == ((1, 1), (1, 2))
    assert "joined" in reading.notes[0].message


def test_ticks_a_line_too_high_are_one_note() -> None:
    def change(sheet: Worksheet) -> None:
        for call in range(1, CALLS + 1):
            put(sheet, 4, call, "x" if call != 3 else "?")

    reading = read_one(workbook(change))
    assert filled(reading).open_cells == tuple((4, call) for call in range(1, CALLS + 1))
    assert [(note.where, note.message.partition(".")[0]) for note in reading.notes] == [
        (f"Sheet A!D{FIRST_ROW + 3} to E{FIRST_ROW + 3}", 'Line 4, calls 1 to 2: each says "x"'),
        (f"Sheet A!F{FIRST_ROW + 3}", 'Line 4, call 3 says "?"'),
        (f"Sheet A!G{FIRST_ROW + 3} to I{FIRST_ROW + 3}", 'Line 4, calls 4 to 6: each says "x"'),
    ]
    assert "Ticks belong in the row beneath the lines" in reading.notes[0].message


@pytest.mark.parametrize("tick", ["x", "X", " x ", "✓", "✔", 1, True, "Yes", "\N{FULLWIDTH LATIN SMALL LETTER X}"])
def test_ticks_as_people_make_them(tick: Any) -> None:
    assert filled(read_one(workbook(lambda sheet: tick_all(sheet, tick)))).judged == tuple(range(1, CALLS + 1))


@pytest.mark.parametrize("typed", ["no", False, 0, "?", "=TRUE()"])
def test_what_is_no_tick_is_not_judged(typed: Any) -> None:
    reading = read_one(workbook(lambda sheet: sheet.cell(JUDGED_ROW, FIRST_COLUMN, typed)))
    assert filled(reading).judged == tuple(range(2, CALLS + 1))
    assert reading.state == "noted"
    assert reading.notes[0].where == f"Sheet A!D{JUDGED_ROW}"
    assert "not judged" in reading.notes[0].message


def test_a_mark_without_a_tick_counts_alone() -> None:
    def change(sheet: Worksheet) -> None:
        put(sheet, 1, 2, "L")
        sheet.cell(JUDGED_ROW, FIRST_COLUMN + 1).value = None

    reading = read_one(workbook(change))
    assert filled(reading).marks == (Marked(1, 2, ("L",)),)
    assert 2 not in filled(reading).judged
    assert "every other line is not judged" in reading.notes[0].message


def test_missing_initials_are_noted() -> None:
    reading = read_one(workbook(lambda sheet: sheet.__setitem__("C2", None)))
    assert reading.state == "noted"
    assert [note.where for note in reading.notes] == ["Sheet A!C2"]


def test_an_unfilled_sheet_is_left_out() -> None:
    book = Workbook()
    draw(book.worksheets[0], identity())
    assert read_score_sheets("hall.xlsx", saved(book), PLAN, {}) == ()


def test_sheets_of_other_kinds_are_passed_over() -> None:
    book = load_workbook(io.BytesIO(workbook()))
    book.create_sheet("Notes")["A1"] = "Thank you all"
    assert read_one(saved(book)).state == "accepted"


def test_a_workbook_without_a_score_sheet_is_refused_whole() -> None:
    reading = read_one(saved(Workbook()))
    assert (reading.sheet, reading.code) == ("", "")
    assert "There is no score sheet in this file" in refusal(reading)


def test_rows_may_be_sorted_and_rows_and_columns_put_in() -> None:
    def change(sheet: Worksheet) -> None:
        put(sheet, 1, 1, "L")
        put(sheet, 4, 6, "W")
        rows = [[cell.value for cell in sheet[FIRST_ROW + n]] for n in range(len(LINE))]
        for n, values in enumerate(reversed(rows)):
            for column, value in enumerate(values, 1):
                sheet.cell(FIRST_ROW + n, column).value = value
        sheet.insert_rows(1, 2)
        sheet.insert_rows(FIRST_ROW + 3)
        sheet.insert_cols(1)
        sheet.insert_cols(FIRST_COLUMN + 2)
        sheet.title = "renamed"

    reading = read_one(workbook(change))
    assert reading.state == "accepted"
    assert filled(reading).marks == (Marked(1, 1, ("L",)), Marked(4, 6, ("W",)))
    assert filled(reading).judged == tuple(range(1, CALLS + 1))


def test_rows_sorted_without_their_hidden_tags_are_refused() -> None:
    def change(sheet: Worksheet) -> None:
        for n in range(len(LINE)):
            sheet.cell(FIRST_ROW + n, 2).value = len(LINE) - n

    assert "sorted or moved without the rest" in refusal(read_one(workbook(change)))


@pytest.mark.parametrize(("rows", "columns"), [(0, 1), (1, 0)])
def test_boxes_moved_with_their_numbers_but_without_the_hidden_tags_are_refused(rows: int, columns: int) -> None:
    def change(sheet: Worksheet) -> None:
        put(sheet, 1, 1, "L")
        sheet.move_range("B3:I7", rows=rows, cols=columns)

    assert "sorted or moved without the rest" in refusal(read_one(workbook(change)))


NAMES = ("Ada Low", "Ben High", "Ada Hill", "Line Dale")
PEOPLE = {number: Contestant(number, name) for number, name in zip(LINE, NAMES, strict=True)}


def named(*names: str) -> Callable[[Worksheet], None]:
    def change(sheet: Worksheet) -> None:
        for number, name in enumerate(names):
            sheet.cell(FIRST_ROW + number, 3, f"{name}\nHarbour Foxes")

    return change


def test_names_sorted_without_the_hidden_tags_are_refused() -> None:
    def state(*names: str) -> str:
        (reading,) = read_score_sheets("hall.xlsx", workbook(named(*names)), PLAN, PEOPLE)
        return reading.state

    assert state("Ada L.", "Ben H.", "Ada H.", "Line D.") == "accepted"
    assert state("J01-1", "Ben H.", "Ada H.", "Linnea D.") == "accepted"  # the number alone, a spelling corrected
    assert state("Ben H.", "Ada L.", "Ada H.", "Line D.") == "refused"
    assert state("Ada L.", "Ben H.", "Ada H.", "J01-2") == "refused"


def test_what_stands_in_a_row_put_in_is_named() -> None:
    def change(sheet: Worksheet) -> None:
        sheet.insert_rows(FIRST_ROW + 1)
        sheet.cell(FIRST_ROW + 1, FIRST_COLUMN, "L")

    reading = read_one(workbook(change))
    assert filled(reading).marks == ()
    assert [note.where for note in reading.notes] == [f"Sheet A!D{FIRST_ROW + 1}"]
    assert "was not read" in reading.notes[0].message


@pytest.mark.parametrize(
    ("who", "words"),
    [
        (identity(secret="sha256:ffffffffffffffff"), "belongs to another event"),
        (identity(name="S-R9-9"), "no heat S-R9-9"),
        (identity(judge=4), "has 3 judges, but this sheet is for judge 4"),
        (replace(identity(), code="J-R1-1.A.0"), "code of this sheet should be J-R1-1.A."),
        (identity(revision=2), "is of plan 2, but this folder holds plan 1"),
    ],
)
def test_a_sheet_that_does_not_belong_is_refused_by_name(who: SheetIdentity, words: str) -> None:
    reading = read_one(workbook(who=who))
    assert reading.code == who.code
    assert words in refusal(reading)


def test_an_older_sheet_counts_while_its_line_is_unchanged() -> None:
    assert read_one(workbook(), plan(revision=2)).state == "accepted"
    changed = plan(revision=2, line=(*LINE[:3], "J02-3"))
    assert "since then the line of heat J-R1-1 has changed" in refusal(read_one(workbook(), changed))
    assert "rows were deleted or changed" in refusal(read_one(workbook(), replace(changed, revision=1)))


@pytest.mark.parametrize("gone", range(len(LINE)))
def test_marks_of_a_child_who_has_left_are_named(gone: int) -> None:
    stays = tuple(child for number, child in enumerate(LINE) if number != gone)
    later = plan(revision=2, line=stays)

    def notes(typed: str) -> list[tuple[str, str]]:
        reading = read_one(workbook(lambda sheet: put(sheet, gone + 1, 2, typed)), later)
        assert filled(reading).contestants == stays
        assert (filled(reading).marks, filled(reading).open_cells) == ((), ())
        return [(note.where, note.message.partition(":")[0]) for note in reading.notes]

    where = f"Sheet A!E{FIRST_ROW + gone}"
    assert notes("L") == [(where, f'{LINE[gone]} has left this line, but has "L" here')]
    assert notes("N") == []  # absent, as everybody knows


@pytest.mark.parametrize(
    ("change", "words"),
    [
        (lambda sheet: sheet.delete_rows(FIRST_ROW + 1), "Line 2 is gone"),
        (lambda sheet: sheet.delete_cols(FIRST_COLUMN + 2), "Call 3 is gone"),
        (lambda sheet: sheet.delete_rows(JUDGED_ROW), "row for the ticks is gone"),
        (lambda sheet: sheet.cell(FIRST_ROW, 1, line_tag(2, "J01-2")), "Line 2 stands on this sheet twice"),
        (lambda sheet: sheet.__setitem__("A1", "tourney-sheet/1|broken"), "hidden first cell"),
        (lambda sheet: sheet.__setitem__("A20", identity(2).text()), "Two score sheets were put into one"),
        (lambda sheet: sheet.__setitem__("A20", JUDGED_TAG), "was copied"),
    ],
)
def test_a_sheet_out_of_joint_is_refused(change: Callable[[Worksheet], object], words: str) -> None:
    assert words in refusal(read_one(workbook(change)))


def test_each_sheet_of_a_workbook_is_read_on_its_own() -> None:
    book = Workbook()
    sheets = [book.worksheets[0], book.create_sheet("two"), book.create_sheet("three")]
    for judge, sheet in enumerate(sheets, 1):
        draw(sheet, identity(judge))
        tick_all(sheet)
    sheets[1].delete_rows(JUDGED_ROW)
    states = [reading.state for reading in read_score_sheets("hall.xlsx", saved(book), PLAN, {})]
    assert states == ["accepted", "refused", "accepted"]


def test_a_sheet_with_the_line_of_another_heat_names_that_heat() -> None:
    moved = replace(PLAN, heats=(heat("J-R1-1", LINE[::-1]), replace(heat("M-R1-2"), division="Middle")))
    assert "those of heat M-R1-2 (Middle), but its code is of heat J-R1-1 (Junior)" in refusal(
        read_one(workbook(), moved)
    )


def test_comments_are_kept_word_for_word() -> None:
    words = "Child 2 dropped the book.\nCount it as H?"
    reading = read_one(workbook(lambda sheet: setattr(sheet["E5"], "comment", Comment(words, "judge"))))
    assert reading.state == "noted"
    assert filled(reading).comments == (SheetNote("Sheet A!E5", words),)
    assert filled(reading).notes == ()
    assert [note.message for note in reading.notes] == [f'Somebody wrote beside it: "{words}"']


def test_a_comment_on_an_empty_sheet_is_not_lost() -> None:
    book = Workbook()
    draw(book.worksheets[0], identity())
    book.worksheets[0]["D4"].comment = Comment("Fire alarm: this heat was not held", "judge")
    reading = read_one(saved(book))
    assert [note.message for note in filled(reading).comments] == ["Fire alarm: this heat was not held"]
    assert any("No call has a tick" in note.message for note in reading.notes)


def beside(sheet: Worksheet) -> None:
    """Columns for totals behind the boxes: L, W, S, H, N, points."""
    for place, what in enumerate((*LETTERS, POINTS)):
        sheet.cell(1, FIRST_COLUMN + CALLS + place, total_tag(what))


def beneath(sheet: Worksheet) -> None:
    """The same in rows below the ticks, line 1 under call 1."""
    for place, what in enumerate((*LETTERS, POINTS)):
        sheet.cell(JUDGED_ROW + 2 + place, 1, total_tag(what))


def total_cell(sheet: Worksheet, line: int, what: str) -> Cell:
    place = [*LETTERS, POINTS].index(what)
    if sheet.cell(1, FIRST_COLUMN + CALLS).value:
        row, column = FIRST_ROW + line - 1, FIRST_COLUMN + CALLS + place
    else:
        row, column = JUDGED_ROW + 2 + place, FIRST_COLUMN + line - 1
    cell = sheet.cell(row, column)
    assert isinstance(cell, Cell)
    return cell


@pytest.mark.parametrize("layout", [beside, beneath])
@pytest.mark.parametrize(
    ("typed", "says"),
    [
        ({}, ""),
        ({"L": 2, "W": 1, "S": 0, "H": 0, "N": 0, POINTS: 30}, ""),
        ({"L": 2, POINTS: 30}, ""),
        ({"L": 1}, "Line 2 has 1 L on paper, but 2 in its boxes. Look at D5, F5."),
        ({"W": 2}, "Line 2 has 2 W on paper, but 1 in its boxes. One may be missing"),
        ({"L": 3, "W": 0}, "Line 2 has 0 W on paper, but 1 in its boxes. Look at I5."),
        ({"L": 3, "W": 0, "H": 0}, "Line 2 has 3 L on paper, but 2 in its boxes. Look at I5: was it L?"),
        ({POINTS: 40}, "Line 2 has 40 points on paper, but its marks make 30."),
        ({"L": "two"}, 'The total says "two": type a whole number.'),
        ({"L": "=1+1"}, ""),
    ],
)
def test_totals_from_paper_find_the_box_of_a_slip(
    layout: Callable[[Worksheet], None], typed: dict[str, Any], says: str
) -> None:
    """Line 2 has L, L and W: three of six calls at 10 points are gone."""

    def change(sheet: Worksheet) -> None:
        layout(sheet)
        for call, letter in ((1, "L"), (3, "L"), (6, "W")):
            put(sheet, 2, call, letter)
        for what, value in typed.items():
            total_cell(sheet, 2, what).value = value

    notes = filled(read_one(workbook(change))).notes
    assert any(note.message.startswith(says) for note in notes) if says else notes == ()
    assert filled(read_one(workbook(change))).marks[0] == Marked(2, 1, ("L",))


def test_totals_in_csv_may_be_computed_and_are_not_compared() -> None:
    def change(sheet: Worksheet) -> None:
        beside(sheet)
        total_cell(sheet, 2, "L").value = 5

    assert filled(read_one(workbook(change))).notes
    assert filled(read_one(as_csv(workbook(change), ",", "utf-8"))).notes == ()


def as_csv(content: bytes, separator: str, code: str) -> bytes:
    """The values of the first sheet, as programs save them."""
    text = io.StringIO()
    rows = load_workbook(io.BytesIO(content)).worksheets[0].iter_rows(values_only=True)
    csv.writer(text, delimiter=separator).writerows(rows)
    return text.getvalue().encode(code)


@pytest.mark.parametrize(("separator", "code"), [(",", "utf-8"), (";", "utf-8-sig"), ("\t", "utf-16"), (";", "cp1252")])
def test_a_sheet_saved_as_csv_is_read_by_its_tags(separator: str, code: str) -> None:
    content = workbook(lambda sheet: put(sheet, 1, 2, "L"), lambda sheet: put(sheet, 4, 6, "Q"))
    reading, of_workbook = read_one(as_csv(content, separator, code)), read_one(content)
    assert filled(reading).marks == filled(of_workbook).marks == (Marked(1, 2, ("L",)),)
    assert filled(reading).judged == filled(of_workbook).judged
    assert filled(reading).open_cells == ((4, 6),)
    assert [note.where for note in reading.notes] == ["I7"]


@pytest.mark.parametrize(
    ("content", "words"),
    [
        (b"", "This file is empty."),
        (b"\xff\xd8\xff\xe0\0\x10JFIF", "This file is not a workbook, whatever its name says."),
        (b"%PDF-1.7\n", "There is no score sheet in this file."),
        (b"heat;points\n", "There is no score sheet in this file."),
        (b"a" * 200_000, "This file can't be read as a table from line 1 on."),
    ],
)
def test_other_files_get_one_sentence(content: bytes, words: str) -> None:
    assert refusal(read_one(content)).startswith(words)


def test_damage_never_changes_a_mark_unseen() -> None:
    """The XML of a filled sheet is changed at random; what is still taken must be what openpyxl finds in the file."""
    chance = random.Random(20261125)
    content = workbook(lambda sheet: put(sheet, 1, 2, "L"), lambda sheet: put(sheet, 4, 6, "WS"))
    with zipfile.ZipFile(io.BytesIO(content)) as archive:
        parts = {name: archive.read(name) for name in archive.namelist()}
    compared = 0
    name = "xl/worksheets/sheet1.xml"
    for _ in range(TRIALS):
        part = bytearray(parts[name])
        at = chance.randrange(len(part))
        part[at : at + chance.randint(0, 2)] = chance.choice(
            [b"", b"<", b">", b"0", b"c", b"r", b"t", b" ", b"L", b"="]
        )
        target = io.BytesIO()
        with zipfile.ZipFile(target, "w") as archive:
            for other, unchanged in parts.items():
                archive.writestr(other, bytes(part) if other == name else unchanged)
        for reading in read_score_sheets("hall.xlsx", target.getvalue(), PLAN, {}):
            found = found_by_openpyxl(target, reading.sheet_read) if reading.sheet_read else None
            if reading.sheet_read and found is not None:
                compared += 1
                assert found == taken(reading.sheet_read)
    assert compared > TRIALS / 10


Cells = dict[tuple[int, int], object]


def taken(sheet: FilledSheet) -> Cells:
    """Letters of every cell that was not left open."""
    marks = {(mark.line, mark.call): mark.letters for mark in sheet.marks}
    places = [(line, call) for line in range(1, len(LINE) + 1) for call in range(1, CALLS + 1)]
    return {place: marks.get(place, ()) for place in places if place not in sheet.open_cells}


def found_by_openpyxl(content: io.BytesIO, sheet: FilledSheet) -> Cells | None:
    """The same, at the places where the tags stand for openpyxl; None where it does not find its way."""
    try:
        page = load_workbook(content).worksheets[0]
    except (TypeError, ValueError, KeyError):
        return None
    rows = {str(row[0].value): row for row in page.iter_rows()}
    columns = {str(cell.value): number for number, cell in enumerate(page[1])}
    try:
        boxes = {
            (line, call): rows[line_tag(line, LINE[line - 1])][columns[call_tag(call)]].value or ""
            for line, call in taken(sheet)
        }
    except KeyError:
        return None
    return {place: letters_of(value) for place, value in boxes.items()}


def with_zones(day: Plan) -> Plan:
    division = day.event.divisions[0].model_copy(update={"zones": ((1, 2), (3, 12), (13, 14))})
    return replace(day, event=day.event.model_copy(update={"divisions": (division,)}))


def test_a_mark_outside_of_the_judges_zone_is_shown_and_not_taken() -> None:
    places: list[str] = []
    content = workbook(
        lambda sheet: put(sheet, 2, 1, "L"),
        lambda sheet: places.append(put(sheet, 3, 2, "W")),
        lambda sheet: places.append(put(sheet, 4, 5, "?!")),
    )
    reading = read_one(content, with_zones(PLAN))
    assert filled(reading).marks == (Marked(2, 1, ("L",)),)
    assert filled(reading).open_cells == ()
    assert [note.where for note in reading.notes] == places
    assert reading.notes[0].message == (
        'Line 3, call 2 says "W", but this judge marks lines 1 to 2: it was not taken. Show it to the chief judge.'
    )


def test_the_other_judge_marks_the_other_lines() -> None:
    content = workbook(lambda sheet: put(sheet, 3, 2, "W"), who=identity(judge=2))
    reading = read_one(content, with_zones(PLAN))
    assert (reading.state, filled(reading).marks) == ("accepted", (Marked(3, 2, ("W",)),))
