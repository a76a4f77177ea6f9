"""Kinds of call on the caller's script and on the judge's sheet."""

from collections.abc import Iterator
from dataclasses import replace
from typing import Any

import pytest

from tourney.model.calls import Call, CallBook
from tourney.model.table_columns import SYLLABUS
from tourney.papers.pages import pages
from tourney.papers.sheet_facts import facts_by_room
from tourney.papers.tasks import task, tasks

STORY: dict[str, Any] = {"kind": "story", "say": "The fox and the kettle", "answer": ("Row 7",), "also": ("Line 7",)}
FINISH: dict[str, Any] = {
    "kind": "finish",
    "say": "Rain before seven",
    "answer": ("fine by eleven", "Row 8"),
    "also": (),
}


@pytest.fixture(scope="module")
def mixed(new_day: Any) -> Any:
    """A day of which every set begins with a story and a text to finish."""
    day = new_day(rooms=1, teams=2, names=("Only",), rounds=1)

    def calls(row: tuple[Call, ...]) -> Iterator[Call]:
        yield replace(row[0], **STORY)
        yield replace(row[1], **FINISH)
        yield from row[2:]

    book = CallBook(
        tuple(replace(found, calls=tuple(calls(found.calls))) for found in day.book.sets), day.book.speakers
    )
    return replace(day, book=book)


def test_every_kind_but_the_usual_one_has_words() -> None:
    (kind,) = (column for column in SYLLABUS if column.name == "kind")
    usual, *others = kind.words
    assert task(usual) == "" and all(task(other) for other in others)
    assert tasks(kind.words) == tuple(f"{other}: {task(other)}" for other in others)
    assert tasks([usual, usual]) == ()


def test_the_script_says_what_is_asked_and_answered(mixed: Any) -> None:
    written = {page.path: page.html for page in pages(mixed.plan, mixed.book, mixed.roster, mixed.syllabus)}
    script = written["callers/Boat_Shed.html"]
    first, second, third = script.split('<div class="call">')[1:4]
    assert "The fox and the kettle" in first and "<b>say the place</b>" in first
    assert "Row 7" in first and "Line 7" in first
    assert "<b>finish it and say the place</b>" in second
    assert second.index("fine by eleven") < second.index("Row 8")
    assert "say the place" not in third


def test_the_judge_knows_what_is_a_right_answer_and_no_call(mixed: Any) -> None:
    (sheets,) = facts_by_room(mixed.plan, mixed.book, mixed.roster).values()
    assert {sheet.tasks for sheet in sheets} == {("story: say the place", "finish: finish it and say the place")}


def test_a_set_of_the_usual_kind_needs_no_words(day: Any) -> None:
    sheets = [sheet for room in facts_by_room(day.plan, day.book, day.roster).values() for sheet in room]
    assert {sheet.tasks for sheet in sheets} == {()}
