"""Pages in a real browser: no errors, nothing wider than the paper, and as many printed pages as there should be."""

import re
import runpy
import shutil
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, Page, sync_playwright

from tourney.papers.pages import Sheet, pages

CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser") or shutil.which("google-chrome")
FLAGS = ["--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking"]
PIXELS_A_MM = 96 / 25.4  # CSS Values and Units 4 (W3C): 1in = 96px = 25.4mm
POINTS_A_MM = 72 / 25.4
PAPERS = {"A4": (210, 297), "Letter": (215.9, 279.4)}  # ISO 216; ANSI/ASME Y14.1
ONE_OF_EACH = (
    "public/doors.html",
    "public/schedule.html",
    "coordinator/schedule.html",
    "coordinator/fairness.html",
    "callers/Boat_Shed.html",
    "teams/Fernbank.html",
    "officials/itineraries.html",
    "steward/access_list.html",
)
LANDSCAPE = ("public/schedule.html", "coordinator/schedule.html")

pytestmark = pytest.mark.skipif(CHROMIUM is None, reason="needs Chromium")


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    with sync_playwright() as playwright:
        found = playwright.chromium.launch(executable_path=CHROMIUM, args=FLAGS)
        yield found
        found.close()


@pytest.fixture(scope="module", params=sorted(PAPERS))
def written(request: pytest.FixtureRequest) -> tuple[str, dict[str, str]]:
    """Paper and pages of a day as large as one page of schedule should hold: twelve waves in six rooms."""
    make_day: Any = runpy.run_path(str(Path(__file__).parents[1] / "papers" / "conftest.py"))["make_day"]
    day = make_day(names=("Junior", "Middle", "Senior"), teams=12, rooms=6, rounds=4, paper=request.param)
    return request.param, dict(pages(day.plan, day.book, day.roster, day.syllabus))


@pytest.fixture
def page(browser: Browser) -> Iterator[Page]:
    found = browser.new_page()
    yield found
    found.close()


def printed(page: Page) -> tuple[int, set[tuple[float, float]]]:
    """How many sheets of paper a page needs, and their sizes in points."""
    content = page.pdf(prefer_css_page_size=True)
    boxes = re.findall(rb"/MediaBox \[0 0 ([\d.]+) ([\d.]+)\]", content)
    return len(re.findall(rb"/Type /Page\b", content)), {(float(width), float(height)) for width, height in boxes}


def test_pages_load_without_errors_and_nothing_is_wider_than_the_paper(
    page: Page, written: tuple[str, dict[str, str]]
) -> None:
    paper, found = written
    said: list[str] = []
    page.on("console", lambda message: said.append(message.text))
    page.on("pageerror", lambda error: said.append(str(error)))
    page.on("request", lambda request: said.append(request.url))
    for path in ONE_OF_EACH:
        sheet = Sheet.of(paper, "landscape" if path in LANDSCAPE else "portrait")
        page.set_viewport_size({"width": int(sheet.width * PIXELS_A_MM), "height": 800})
        page.set_content(found[path])
        inner, outer = page.evaluate("[document.documentElement.scrollWidth, document.documentElement.clientWidth]")
        assert inner <= outer, path
        wide = page.evaluate(
            """() => [...document.querySelectorAll('td, th, .call > *, .head > *')]
                .filter(cell => cell.scrollWidth > cell.clientWidth + 1)
                .map(cell => cell.textContent.trim())"""
        )
        assert wide == [], path
    assert said == []


def test_printed_pages_are_as_many_as_the_papers_need(page: Page, written: tuple[str, dict[str, str]]) -> None:
    paper, found = written
    width, height = (side * POINTS_A_MM for side in PAPERS[paper])
    # schedule: the day on one page, the teams on another; doors: a page a room; an envelope: cover, calls, reserves
    envelopes = found["callers/Rope_Walk.html"]
    expected = {
        "public/schedule.html": 2,
        "public/doors.html": 6,
        "callers/Rope_Walk.html": envelopes.count('<section class="page'),
        "coordinator/fairness.html": 1,
        "steward/access_list.html": 1,
    }
    for path, count in expected.items():
        page.set_content(found[path])
        sheets, sizes = printed(page)
        assert sheets == count, path
        ((across, along),) = sizes
        turned = (height, width) if path in LANDSCAPE else (width, height)
        assert (across, along) == pytest.approx(turned, abs=1.5), path


def test_no_page_of_a_script_has_more_than_eight_calls_and_none_is_cut(
    page: Page, written: tuple[str, dict[str, str]]
) -> None:
    paper, found = written
    page.set_viewport_size({"width": int(Sheet.of(paper).width * PIXELS_A_MM), "height": 800})
    page.emulate_media(media="print")
    page.set_content(found["callers/Boat_Shed.html"])
    sections = page.evaluate(
        """() => [...document.querySelectorAll('.script')].map(section => ({
            height: section.getBoundingClientRect().height,
            breaks: [...section.querySelectorAll('.call')].map(call => getComputedStyle(call).breakInside),
            sizes: [...section.querySelectorAll('.say')].map(say => parseFloat(getComputedStyle(say).fontSize)),
        }))"""
    )
    assert len(sections) == 36
    for section in sections:
        assert 1 <= len(section["sizes"]) <= 8
        assert set(section["breaks"]) == {"avoid"}
        assert min(section["sizes"]) * 72 / 96 >= 16
        assert section["height"] <= Sheet.of(paper).height * PIXELS_A_MM + 1
