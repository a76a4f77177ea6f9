"""Plan, cards and quiz."""

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from openpyxl import load_workbook

from tourney.canon.syllabus import built_in
from tourney.papers.practice_book import PlanCall, PlanDay, PracticeBook, SectionLine, card_of, practice_pages
from tourney.papers.practice_quiz import RIGHT, WRONG, Question, quiz_workbook

BOOKS = built_in()
HOSTILE = "=HYPERLINK(0) <script>alert(1)</script>"


def book(days: int, cards: int) -> PracticeBook:
    calls = tuple(PlanCall("1 Thessalonians", kind) for kind in ("new", "again", "mixed") * 4)
    pair = ("1 Thessalonians", "2 Thessalonians")
    return PracticeBook(
        HOSTILE,
        "Junior",
        ("Nothing has been noted yet: all is weighed alike.",),
        tuple(SectionLine(BOOKS.section_name(key), 1, 6) for key in BOOKS.sections),
        tuple(PlanDay(n + 1, "General Letters and Revelation", calls, (pair,) * 3) for n in range(days)),
        tuple(card_of(BOOKS, item.id, item.name, BOOKS.answer(item.id), 1) for item in BOOKS.items[:cards]),
    )


@pytest.mark.parametrize("made_from", ["plan", "event"])
def test_pages_count_their_sheets_and_escape_names(day: Any, made_from: str) -> None:
    source = day.plan if made_from == "plan" else day.plan.event
    plan, cards = practice_pages(source, book(14, 42))
    assert cards.sheets == 6 and 2 <= plan.sheets <= 4
    for page in (plan, cards):
        assert "<script" not in page.html
        assert ("plan 1" in page.html) == (made_from == "plan")
    assert plan.html.count('class="tick"') == 14


SONG = Question("What comes right after Ecclesiastes?", ("Song of Songs", *BOOKS.also("SNG")))
SAMUEL = Question(HOSTILE, ("1 Samuel", *BOOKS.also("1SA")))
SIGNS = Question("Signs", ("What? Why* ~|",))
TYPED = (
    (SONG, "Song of Songs", RIGHT), (SONG, "  song   of SOLOMON ", RIGHT), (SONG, "Canticle", WRONG),
    (SAMUEL, "1 samuel", RIGHT), (SAMUEL, "I Samuel", RIGHT), (SAMUEL, "Samuel", WRONG),
    (SIGNS, "what? why* ~", RIGHT), (SIGNS, "what. whyy ~", WRONG), (SIGNS, "", ""),
)  # fmt: skip


def test_the_quiz_knows_every_accepted_name_and_no_wildcards(
    day: Any, tmp_path: Path, office: Callable[..., Path]
) -> None:
    quiz_workbook(day.plan.event, HOSTILE, [question for question, _, _ in TYPED]).save(tmp_path / "quiz.xlsx")
    workbook = load_workbook(tmp_path / "quiz.xlsx")
    for row, (_, typed, _) in enumerate(TYPED, 5):
        workbook["Neighbours"].cell(row, 3).value = typed
    workbook.save(tmp_path / "typed.xlsx")
    said = load_workbook(office(tmp_path / "typed.xlsx", "xlsx"), data_only=True)["Neighbours"]
    assert [said.cell(row, 4).value or "" for row in range(5, 5 + len(TYPED))] == [check for _, _, check in TYPED]
    assert str(said["A2"].value).endswith(": 5")


def test_only_answers_can_be_typed_and_a_name_is_no_formula(day: Any, tmp_path: Path) -> None:
    quiz_workbook(day.plan.event, HOSTILE, (SONG, SAMUEL)).save(tmp_path / "quiz.xlsx")
    sheet = load_workbook(tmp_path / "quiz.xlsx")["Neighbours"]
    assert sheet.protection.sheet
    assert [sheet.cell(5, column).protection.locked for column in range(1, 5)] == [True, True, False, True]
    assert sheet["B6"].data_type == "s" and sheet["B6"].value == HOSTILE
