"""The page that shows balance without showing calls."""

import re
from dataclasses import replace
from html import unescape
from typing import Any

import pytest

from tourney.canon.counting import guessing_chances
from tourney.model.calls import CallBook
from tourney.papers.call_report import CALLS_A_ROW, TELLING, call_report
from tourney.papers.pages import pages
from tourney.papers.views import Hall

PAGE = "coordinator/call_sets.html"


@pytest.fixture(scope="module")
def mixed(day: Any) -> Any:
    """The day with a drill-off of three calls, a reserve set and a practice set for the first division."""
    rounds = [found for found in day.book.sets if found.use == "rotation"]
    first = rounds[0]
    others = (
        replace(first, id="J-DRILLOFF-1", use="drill_off", round=None, order=None, calls=first.calls[4:7]),
        replace(first, id="J-RESERVE-1", use="reserve", round=None, order=None, calls=first.calls[::-1]),
        replace(first, id="J-PRACTICE", use="practice", round=None, order=None, reserves=()),
    )
    return replace(day, book=CallBook((*rounds, *others), day.book.speakers))


def report(day: Any) -> tuple[Any, ...]:
    return call_report(Hall(day.plan, day.roster), day.book, day.syllabus)


def said(day: Any) -> str:
    (page,) = (page.html for page in pages(day.plan, day.book, day.roster, day.syllabus) if page.path == PAGE)
    return unescape(re.sub(r"<style>.*?</style>|<[^>]*>", " ", page, flags=re.DOTALL))


def test_no_name_and_no_id_of_any_item_is_shown(mixed: Any) -> None:
    words = said(mixed)
    for section in mixed.syllabus.sections:
        words = words.replace(mixed.syllabus.section_name(section), "")
    for item in mixed.syllabus.items:
        for name in (item.id, item.name, *mixed.syllabus.also(item.id)):
            assert not re.search(rf"\b{re.escape(name)}\b", words), name


def test_a_set_that_is_changed_in_nothing_but_its_calls_looks_the_same(mixed: Any) -> None:
    """Other items of the same sections and difficulties, in their places: the page differs in fingerprints alone."""
    sets = tuple(
        replace(found, calls=tuple(replace(call, item="?", say="?", answer=("?",), also=()) for call in found.calls))
        for found in mixed.book.sets
    )
    other = replace(mixed, book=CallBook(sets, mixed.book.speakers))
    without_marks = [re.sub(r"\b[0-9a-f]{8}\b", "", said(day)) for day in (mixed, other)]
    assert without_marks[0] == without_marks[1] and said(mixed) != said(other)


def test_every_set_with_its_figures(mixed: Any) -> None:
    rows = {row.id: row for division in report(mixed) for row in division.sets}
    assert set(rows) == {found.id for found in mixed.book.sets}
    for found in mixed.book.sets:
        row, bits = rows[found.id], [call.difficulty for call in found.calls]
        assert found.fingerprint().startswith(f"sha256:{row.mark}")
        assert (row.calls, row.reserves) == (len(found.calls), len(found.reserves))
        if len(bits) >= TELLING:
            assert sum(row.counts) == sum(row.bands) == len(bits)
            assert row.difficulty == pytest.approx(sum(bits))
            assert row.halves == pytest.approx(sum(bits[:8]) / 8 - sum(bits[8:]) / 8)
            assert row.thirds == pytest.approx((sum(bits[:5]) / 5, sum(bits[5:11]) / 6, sum(bits[11:]) / 5))


def test_of_a_drill_off_neither_sections_nor_difficulty_are_shown(mixed: Any) -> None:
    """With three calls both together would name them."""
    (row,) = (row for division in report(mixed) for row in division.sets if row.use == "drill-off")
    assert (row.calls, row.counts, row.difficulty, row.halves, row.thirds, row.bands) == (3, *[None] * 5)


def test_the_counting_leak_call_by_call(day: Any) -> None:
    (first, *_) = report(day)
    guesses = [guess for row in first.guesses for guess in row]
    assert [guess.no for guess in guesses] == list(range(1, 17))
    heard = [s for s in day.book.sets if (s.division, s.use) == (first.label.name, "rotation")]
    counts = [[[call.section for call in found.calls].count(key) for key in day.syllabus.sections] for found in heard]
    worst = max(map(guessing_chances, counts), key=sum)
    assert [guess.counting for guess in guesses] == pytest.approx([100 * float(chance) for chance in worst])
    assert guesses[-1].counting == guesses[-1].apart == 100
    assert all(0 <= guess.apart <= 100 for guess in guesses)


def test_long_sets_have_rows_of_24_calls(new_day: Any) -> None:
    day = new_day(rooms=1, teams=2, names=("Only",), rounds=1, calls=30)
    (only,) = report(day)
    assert [len(row) for row in only.guesses] == [CALLS_A_ROW, 6]


def test_sets_that_are_only_kept_ready_are_shown_too(mixed: Any) -> None:
    kept = tuple(found for found in mixed.book.sets if found.use in ("reserve", "practice"))
    (only,) = report(replace(mixed, book=CallBook(kept)))
    assert [row.use for row in only.sets] == ["in reserve", "practice"]
