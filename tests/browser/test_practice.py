"""The caller's page in a real browser, under a clock that only moves when it is told to."""

import json
import re
from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser
from playwright.sync_api import Page as Tab

from tests.browser.conftest import CHROMIUM
from tourney.canon.syllabus import built_in
from tourney.intake.findings import Findings
from tourney.intake.tally import read_tally
from tourney.model.event import Event
from tourney.papers.caller_page import CallerPage, PageCall, PageSet, caller_page
from tourney.papers.practice_book import PlanCall, PlanDay, PracticeBook, SectionLine, card_of, practice_pages
from tourney.papers.scripts import OwnSignal

HOSTILE = "</script><script>document.title='broken'</script><img src=x onerror=document.title='broken'>"
BOOKS = built_in()
# By how many pixels the large words are wider or higher than their place.
OVER = """() => { const said = document.getElementById('said'), room = said.parentElement;
    return said.textContent ? [said.scrollWidth - room.clientWidth, said.scrollHeight - room.clientHeight] : [0]; }"""

pytestmark = pytest.mark.skipif(CHROMIUM is None, reason="needs Chromium")
Open = Callable[..., Tab]


def call(no: int, item: str, speaker: int | None = None, replaces: tuple[int, ...] = ()) -> PageCall:
    return PageCall(no, item, BOOKS.item(item).name, BOOKS.answer(item), "", speaker, replaces)


PAGE = CallerPage(
    title="Practice",
    event=f"Reed Day {HOSTILE}",
    division="Junior",
    group=f"Otters {HOSTILE}",
    cues=("Stand ready", "Books closed", "Find it"),
    paper="A4",
    sets=(
        PageSet("One", "One", 10, tuple(call(no, item) for no, item in enumerate(("MIC", "SNG", "ROM", "GEN"), 1))),
        PageSet("Two", "Two", 12, (call(1, "PHM"),)),
    ),
    note="For practice.",
    lines=("J01-1", "J01-2", HOSTILE),
)


@pytest.fixture
def show(browser: Browser, tmp_path: Path) -> Iterator[Open]:
    """Open a page: its clock stands still; what it says on the console, or asks of a network, fails the test."""
    said: list[str] = []
    contexts = []

    def open_(page: CallerPage, width: int = 1920, height: int = 1080, **more: Any) -> Tab:
        context = browser.new_context(viewport={"width": width, "height": height}, **more)
        contexts.append(context)
        tab = context.new_page()
        tab.on("console", lambda message: said.append(message.text))
        tab.on("pageerror", lambda error: said.append(str(error)))
        tab.on(
            "request", lambda request: said.append(request.url) if request.url[:5] not in ("file:", "blob:") else None
        )
        tab.clock.install(time=0)
        tab.clock.pause_at(1000)
        (tmp_path / "page.html").write_text(caller_page(page, BOOKS), encoding="utf-8")
        tab.goto((tmp_path / "page.html").as_uri())
        return tab

    yield open_
    for context in contexts:
        context.close()
    assert said == []


def phase(tab: Tab) -> str | None:
    return tab.locator("body").get_attribute("data-phase")


def press(tab: Tab, *keys: str) -> None:
    for key in keys:
        tab.keyboard.press(key)


def text(tab: Tab, name: str) -> str:
    return tab.locator(f"#{name}").inner_text()


def test_one_call_from_the_first_cue_to_the_answer(show: Open) -> None:
    tab = show(PAGE)
    seen = []
    for key in (" ", "Enter", "PageDown", "ArrowRight"):
        press(tab, key)
        seen.append((phase(tab), text(tab, "said")))
    assert seen == [("cue1", "Stand ready"), ("cue2", "Books closed"), ("call", "Micah"), ("run", "Micah")]
    assert text(tab, "cue") == "Find it" and text(tab, "left") == "10"
    tab.clock.fast_forward(9_999)
    press(tab, "PageDown")  # a clicker pressed too early does not end the time
    assert phase(tab) == "run" and text(tab, "left") == "1"
    tab.clock.fast_forward(1)
    assert phase(tab) == "time" and text(tab, "aside") == "Now the answer, aloud"
    press(tab, "PageDown")
    assert text(tab, "parts").split("\n") == ["Jonah", "before", "Micah", "Nahum", "after"]
    assert text(tab, "strip").startswith("Hosea, Joel, Amos") and text(tab, "strip").endswith("Malachi")
    assert tab.locator("#strip .now").inner_text() == "Micah"
    assert tab.locator("#strip .near").all_inner_texts() == ["Jonah", "Nahum"]
    assert text(tab, "open") == "Open three quarters of the way in, at Matthew. Then 7 books to the left."
    press(tab, "PageDown")
    assert phase(tab) == "ready" and text(tab, "place") == "call 2 of 4"


def test_a_pause_holds_the_clock_and_the_page_up_key_goes_back(show: Open) -> None:
    tab = show(PAGE)
    press(tab, *["PageDown"] * 4)
    tab.clock.fast_forward(4_000)
    press(tab, "p")
    tab.clock.fast_forward(60_000)
    assert phase(tab) == "paused"
    press(tab, "p")
    tab.clock.fast_forward(5_999)
    assert phase(tab) == "run"
    tab.clock.fast_forward(1)
    assert phase(tab) == "time"
    press(tab, "PageUp")
    assert phase(tab) == "call" and text(tab, "said") == "Micah"
    press(tab, "PageDown", "e")
    assert phase(tab) == "time"


def test_every_accepted_name_stands_with_the_answer_and_none_is_shown_for_what_is_missing(show: Open) -> None:
    tab = show(PAGE)
    press(tab, "s", *["PageDown"] * 4, "e", "PageDown")
    assert text(tab, "also") == "Also right: " + ", ".join(BOOKS.also("SNG"))
    press(tab, "PageDown", "s", *["PageDown"] * 4, "e", "PageDown")
    assert text(tab, "parts").split("\n") == ["none", "before", "Genesis", "Exodus", "after"]
    assert text(tab, "open") == "Open at the front: Genesis is there."


def test_repeat_skip_and_void_are_kept_apart(show: Open) -> None:
    tab = show(PAGE)
    press(tab, *["PageDown"] * 4)
    tab.clock.fast_forward(3_000)
    press(tab, "r")
    assert phase(tab) == "call"
    tab.clock.fast_forward(20_000)
    assert phase(tab) == "call"  # the first clock is gone
    press(tab, "PageDown", "e", "PageDown", "PageDown", "s", "v", "s")
    assert phase(tab) == "done"
    assert "1 calls made; left out: 2 (skipped), 3 (void), 4 (skipped)." in text(tab, "done")
    labels = tab.locator("#calls li").evaluate_all("boxes => boxes.map(box => box.getAttribute('aria-label'))")
    assert labels == ["call 1, over", "call 2, skipped", "call 3, void", "call 4, skipped"]


def test_a_series_gets_shorter_from_fourteen_to_eight(show: Open) -> None:
    tab = show(PAGE)
    tab.locator("#shorten").click()
    shown = []
    for _ in range(4):
        shown.append(text(tab, "seconds"))
        press(tab, *["PageDown"] * 4)
        tab.clock.run_for(int(1000 * float(shown[-1].split()[0])) - 1)
        assert phase(tab) == "run"
        tab.clock.fast_forward(1)
        assert phase(tab) == "time"
        press(tab, "PageDown", "PageDown")
    assert shown == ["14 s", "12 s", "10 s", "8 s"]


def test_seconds_can_be_changed_and_another_set_brings_its_own(show: Open) -> None:
    tab = show(PAGE)
    tab.locator("#more").click()
    assert text(tab, "seconds") == "11 s"
    tab.locator("#choose").select_option("Two")
    assert (text(tab, "seconds"), text(tab, "place")) == ("12 s", "call 1 of 1")


def test_the_answer_waits_for_a_child_with_time_of_its_own(show: Open) -> None:
    tab = show(replace(PAGE, sets=(PageSet("One", "One", 10, (call(1, "MIC"),), "", (OwnSignal(15, (3,)),)),)))
    press(tab, *["PageDown"] * 4)
    tab.clock.fast_forward(10_050)
    assert phase(tab) == "run" and text(tab, "aside") == "Signal for line 3 at 15 s"
    tab.clock.fast_forward(4_949)
    assert phase(tab) == "run"
    tab.clock.fast_forward(1)
    assert phase(tab) == "time"


def test_a_tally_by_line_is_saved_and_read_back(show: Open, tmp_path: Path) -> None:
    tab = show(PAGE)
    press(tab, "2")
    assert not tab.locator("#tally").is_visible()
    press(tab, *["PageDown"] * 4, "e", "2", "2", "2")
    assert tab.locator("#lines button").nth(1).get_attribute("aria-label") == "Line 2, J01-2: wrong place"
    press(tab, "+", "1", "1", "1", "1", "PageDown", "PageDown", *["PageDown"] * 4, "e", "3")
    with tab.expect_download() as saved:
        press(tab, "t")
    saved.value.save_as(tmp_path / "tally.json")
    content = (tmp_path / "tally.json").read_bytes()
    findings = Findings()
    notes = read_tally("tally.json", content, BOOKS, findings)
    assert [(note.call, note.item, note.line, note.who, note.mark) for note in notes] == [
        (1, "MIC", 2, "J01-2", "W"), (1, "MIC", 3, HOSTILE, "found"), (2, "SNG", 3, HOSTILE, "found"),
    ]  # fmt: skip
    assert findings.faults == [] and json.loads(content)["session"] == notes[0].session


def test_what_is_not_noted_counts_for_nothing_and_a_void_call_takes_its_notes_along(show: Open) -> None:
    tab = show(PAGE)
    press(tab, *["PageDown"] * 4, "e", "1", "v")
    press(tab, *["PageDown"] * 4, "e", "2", "2", "PageDown", "PageDown", "s", "s")
    assert tab.locator("#done tbody tr").all_inner_texts() == ["2 · J01-2\t0 of 1\tSong of Songs (late)"]


def test_the_days_own_calls_take_a_reserve_call_and_nothing_is_noted_or_changed(show: Open) -> None:
    calls = (call(1, "MIC", speaker=5), call(2, "ROM", speaker=2))
    one = PageSet("J-R1-1", "09:00", 10, calls, "", (), (call(1, "NAM", replaces=(1,)),))
    tab = show(replace(PAGE, sets=(one,), lines=(), sealed=True))
    for missing in ("less", "more", "shorten", "save"):
        assert tab.locator(f"#{missing}").count() == 0
    press(tab, *["PageDown"] * 3, "v")
    assert (text(tab, "said"), text(tab, "cue"), text(tab, "place")) == (
        "Reserve call", "instead of call 1", "call 2 of 3",
    )  # fmt: skip
    press(tab, *["PageDown"] * 4, "e")
    assert text(tab, "aside") == "Line 5 answers aloud" and not tab.locator("#tally").is_visible()
    press(tab, "PageDown", "PageDown", "v")
    assert phase(tab) == "done" and "tell the coordinator" in text(tab, "done")


def test_it_goes_on_by_itself_and_stays_on_time(show: Open) -> None:
    pace = {"cue": 1000, "call": 1000, "time": 2000, "answer": 3000}
    tab = show(replace(PAGE, pace=pace))
    tab.evaluate("""() => { window.seen = []; new MutationObserver(() => window.seen.push([document.body.dataset.phase,
        performance.now()])).observe(document.body, { attributeFilter: ['data-phase'] }); }""")
    began = tab.evaluate("performance.now()")
    press(tab, "a")
    tab.clock.run_for(80_000)
    assert phase(tab) == "done"
    times = [moment - began for name, moment in tab.evaluate("window.seen") if name == "time"]
    one = 1000 + 1000 + 1000 + 10_000 + 2000 + 3000
    assert times == pytest.approx([14_000 + one * number for number in range(4)], abs=1)


def test_fingers_do_all_that_keys_do(show: Open) -> None:
    tab = show(PAGE, 820, 1180, has_touch=True)
    for _ in range(4):
        tab.locator("#forward").tap()
    tab.locator("#pause").tap()
    assert phase(tab) == "paused"
    tab.locator("#pause").tap()
    tab.locator("#end").tap()
    tab.locator("#lines button").nth(0).tap()
    assert tab.locator("#lines button").nth(0).inner_text() == "1\n✓ found"
    tab.locator("#hall").tap()
    assert tab.locator("body").get_attribute("data-view") == "hall"
    tab.locator("#stage").tap()
    assert phase(tab) == "answer"


def test_names_are_shown_as_they_are_and_run_nothing(show: Open) -> None:
    tab = show(PAGE)
    assert HOSTILE in tab.locator(".where").inner_text()
    assert tab.title() != "broken" and tab.locator("img").count() == 0
    press(tab, *["PageDown"] * 4, "e")
    assert tab.locator("#lines button").nth(2).inner_text() == f"3\n{HOSTILE}"


@pytest.mark.parametrize(("width", "height", "large"), [(1920, 1080, False), (820, 1180, True), (390, 800, True)])
def test_nothing_is_cut_at_any_size(show: Open, width: int, height: int, large: bool) -> None:
    long = PageCall(
        1,
        "1TH",
        "The one about the seven lamps that nobody had thought of bringing",
        ("1 Thessalonians",),
        "say the place",
    )
    tab = show(replace(PAGE, sets=(PageSet("One", "One", 10, (long, call(2, "1TH"))),)), width, height)
    if large:
        press(tab, "g")
    for key in ("PageDown", "PageDown", "PageDown", "PageDown", "e", "PageDown"):
        press(tab, key)
        inner, outer = tab.evaluate("[document.documentElement.scrollWidth, document.documentElement.clientWidth]")
        assert inner <= outer
        assert max(tab.evaluate(OVER)) <= 1


def test_a_narrow_screen_keeps_a_name_in_one_piece(show: Open) -> None:
    tab = show(replace(PAGE, sets=(PageSet("One", "One", 10, (call(1, "JER"),)),)), 390, 800)
    press(tab, *["PageDown"] * 3)
    high, size = tab.evaluate("(one => [one.offsetHeight, parseFloat(getComputedStyle(one).fontSize)])(said)")
    assert high < 1.5 * size
    assert max(tab.evaluate(OVER)) <= 1


def test_a_call_is_legible_across_a_hall(show: Open) -> None:
    """25 mm of letter for each 3 m is common practice, no source: a screen 1 m high serves a hall of 12 m and more."""
    tab = show(PAGE)
    press(tab, *["PageDown"] * 3)
    assert tab.evaluate("parseFloat(getComputedStyle(document.getElementById('said')).fontSize)") > 0.2 * 1080
    press(tab, "PageDown")
    assert tab.evaluate("parseFloat(getComputedStyle(document.getElementById('left')).fontSize)") > 0.15 * 1080


def test_every_control_has_a_name_and_nothing_moves_for_who_wants_it_still(show: Open) -> None:
    tab = show(PAGE, reduced_motion="reduce")
    names = "[...document.querySelectorAll('button, select')].map(one => one.ariaLabel || one.textContent.trim())"
    assert all(tab.evaluate(names))
    assert tab.evaluate("getComputedStyle(document.getElementById('ring')).transitionDuration") == "0s"
    press(tab, *["PageDown"] * 4)
    offset = "document.getElementById('ring').style.strokeDashoffset"
    tab.clock.run_for(300)
    before = tab.evaluate(offset)
    tab.clock.run_for(300)
    assert tab.evaluate(offset) == before
    tab.clock.run_for(800)
    assert tab.evaluate(offset) != before


def test_the_paper_has_the_chosen_set_alone(show: Open) -> None:
    tab = show(PAGE)
    tab.emulate_media(media="print")
    assert (
        tab.locator(".paper h2").all_inner_texts() == ["One 10 s", ""] or tab.locator(".paper h2:visible").count() == 1
    )
    tab.emulate_media(media="screen")
    tab.locator("#choose").select_option("Two")
    tab.emulate_media(media="print")
    visible = tab.locator(".paper section:visible")
    assert visible.count() == 1 and "Titus – Philemon – Hebrews" in visible.inner_text()
    assert not tab.locator("nav").is_visible()


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_plan_and_cards_fit_their_paper(browser: Browser, paper: str) -> None:
    event = Event.model_validate({
        "name": "Reed Day", "date": "2027-04-17", "day": {"paper": paper}, "rooms": [{"name": "Loft"}],
        "divisions": [{"name": "Junior", "ages": [8, 10]}],
    })  # fmt: skip
    longest = sorted((item.name for item in BOOKS.items), key=len)[-12:]
    days = tuple(
        PlanDay(day, "General Letters and Revelation", tuple(PlanCall(name, "new") for name in longest),
                (("1 Thessalonians", "2 Thessalonians"),) * 3)
        for day in range(1, 29)
    )  # fmt: skip
    sections = tuple(SectionLine(BOOKS.section_name(key), 10, 100) for key in BOOKS.sections)
    cards = tuple(card_of(BOOKS, item.id, item.name, BOOKS.answer(item.id), 28) for item in BOOKS.items)
    book = PracticeBook(
        "A Club With Quite A Long Name, Junior", "Junior", ("A sentence. " * 12,), sections, days, cards
    )
    tab = browser.new_page()
    tab.emulate_media(media="print")
    for page in practice_pages(event, book):
        tab.set_content(page.html)
        content = tab.pdf(prefer_css_page_size=True)
        assert len(re.findall(rb"/Type /Page\b", content)) == page.sheets, page.path
        cut = (
            "[...document.querySelectorAll('.card > *')].filter(one => one.scrollHeight > one.clientHeight + 1).length"
        )
        assert tab.evaluate(cut) == 0
    tab.close()
