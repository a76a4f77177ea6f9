"""The caller's page as text: its size, what it may load, its greys, and that no name can break out of it."""

import json
import re
from dataclasses import replace
from typing import Any

import pytest

from tourney.canon.openings import openings
from tourney.canon.syllabus import Item, Syllabus, built_in
from tourney.papers.caller_page import CallerPage, PageCall, PageSet, caller_page, opening_words
from tourney.papers.screen_pages import screen_pages

BOOKS = built_in()
HOSTILE = "</script><!--<script>{{ 7 * 7 }}"


def page(syllabus: Syllabus, sets: int = 1, group: str = "Otters") -> CallerPage:
    calls = tuple(
        PageCall(no, item.id, item.say or item.name, syllabus.answer(item.id), "")
        for no, item in enumerate(syllabus.items[:16], 1)
    )
    one = PageSet("One", "One", 10, calls, "balanced")
    return CallerPage(
        "Practice", "Reed Day", "Junior", group, ("Up", "Still", "Find it"), "A4",
        tuple(replace(one, id=f"S{n}", title=f"Set {n}") for n in range(sets)), "For practice.", ("",) * 12,
    )  # fmt: skip


def data(html: str) -> Any:
    (found,) = re.findall(r'<script type="application/json" id="data">(.*?)</script>', html, re.DOTALL)
    return json.loads(found)


def test_a_month_of_sets_is_smaller_than_150_kb() -> None:
    assert len(caller_page(page(BOOKS, sets=60), BOOKS).encode()) < 150_000


def test_nothing_is_loaded_and_one_script_may_run() -> None:
    html = caller_page(page(BOOKS), BOOKS)
    assert not re.search(r"(src|href)\s*=|url\(|@import|https?:", html.replace("link.href =", ""))
    assert html.count("script-src 'sha256-") == 1 and "default-src 'none'" in html


def test_ink_and_greys_alone() -> None:
    html = caller_page(page(BOOKS), BOOKS)
    colours = re.findall(r"#([0-9a-f]{3}|[0-9a-f]{6})(?=[;\s])", html.split("</style>")[0])
    assert len(colours) >= 5
    for colour in colours:
        parts = re.findall("." * (len(colour) // 3), colour)
        assert max(int(part, 16) for part in parts) - min(int(part, 16) for part in parts) <= 2, colour


def test_no_name_breaks_out_of_the_page() -> None:
    items = tuple(Item(f"I{n}", f"{HOSTILE} {n}", HOSTILE, 1.0, (HOSTILE,)) for n in range(5))
    syllabus = Syllabus(items)
    html = caller_page(page(syllabus, group=HOSTILE), syllabus)
    assert HOSTILE not in html and "49" not in data(html)["group"]
    assert data(html)["group"] == HOSTILE and data(html)["items"]["I1"]["also"] == [HOSTILE]
    assert html.count("</script>") == 2


@pytest.mark.parametrize(
    ("item", "words"),
    [
        ("PSA", "Open in the middle: Psalms is there."),
        ("JOB", "Open in the middle, at Psalms. Then 1 book to the left."),
        ("PHM", "Open at the back, at Revelation. Then 9 books to the left."),
        ("2SA", "Open a quarter of the way in, at 1 Samuel. Then 1 book to the right."),
    ],
)
def test_where_to_open_in_words(item: str, words: str) -> None:
    assert opening_words(BOOKS, openings(BOOKS)[item]) == words


def test_another_list_counts_places() -> None:
    syllabus = Syllabus(tuple(Item(f"I{n}", f"Item {n}", "all", 1.0) for n in range(9)))
    assert opening_words(syllabus, openings(syllabus)["I1"]).endswith("Then 1 place to the left.")


def test_a_rooms_page_has_what_its_scripts_have(day: Any) -> None:
    pages = dict(screen_pages(day.plan, day.book, day.roster, day.syllabus))
    assert sorted(pages) == [f"callers/screen/{name}.html" for name in ("Boat_Shed", "Con_", "Net_Loft")]
    for html in pages.values():
        found = data(html)
        assert found["sealed"] and not found["tally"] and len(html.encode()) < 150_000
        for one in found["sets"]:
            heat = day.plan.heat[one["id"]]
            calls = [call if isinstance(call, str) else call["item"] for call in one["calls"]]
            assert calls == [call.item for call in day.book.set[heat.call_set].calls]
            speakers = [call["speaker"] for call in one["calls"]]
            assert speakers == list(day.book.speakers_of[heat.id]) and len(one["reserves"]) == 3
            own = {
                day.roster.contestant[child].seconds: line
                for line, child in enumerate(heat.line, 1)
                if day.roster.contestant[child].seconds
            }
            assert {signal["seconds"]: signal["lines"] for signal in one["signals"]} == {
                seconds: [line] for seconds, line in own.items()
            }
