"""Pages in a real browser: no errors, nothing wider or taller than the paper, and as many sheets as were counted."""

import re
import runpy
from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser
from playwright.sync_api import Page as Tab

from tests.browser.conftest import CHROMIUM
from tourney.model.standing import ContestantStanding, DivisionResults, Results, TeamStanding
from tourney.papers.awards import award_pages
from tourney.papers.page_writer import Page
from tourney.papers.pages import pages
from tourney.papers.paging import Sheet

PIXELS_A_MM = 96 / 25.4  # CSS Values and Units 4 (W3C): 1in = 96px = 25.4mm
POINTS_A_MM = 72 / 25.4
PAPERS = {"A4": (210, 297), "Letter": (215.9, 279.4)}  # ISO 216; ANSI/ASME Y14.1
ALIKE = (  # of these, one is printed
    "callers",
    "callers/drill_off",
    "callers/final",
    "callers/reserve",
    "judges",
    "clubs",
    "teams",
    "steward/large_print",
)  # of these, one is printed
# What is wider than its place, and by how many pixels sheets are taller than the paper.
WIDE = """() => [...document.querySelectorAll('td, th, .call > *, .head > *, .fill, .stamp')]
    .filter(cell => cell.scrollWidth > cell.clientWidth + 1).map(cell => cell.textContent.trim())"""
TALL = """() => [...document.querySelectorAll('.page')]
    .map(sheet => sheet.getBoundingClientRect().height - parseFloat(getComputedStyle(sheet).minHeight))
    .filter(over => over > 1)"""

pytestmark = pytest.mark.skipif(CHROMIUM is None, reason="needs Chromium")


@pytest.fixture(scope="module", params=sorted(PAPERS))
def written(request: pytest.FixtureRequest) -> tuple[str, dict[str, Page]]:
    """Paper and one page of each kind, of a day as large as one page of schedule should hold: 12 waves in 6 rooms."""
    make_day: Any = runpy.run_path(str(Path(__file__).parents[1] / "papers" / "conftest.py"))["make_day"]
    day = make_day(names=("Junior", "Middle", "Senior"), teams=12, rooms=6, rounds=4, paper=request.param)
    officials = tuple(replace(one, large_print=one.id == day.plan.heats[0].judges[0]) for one in day.roster.officials)
    day = replace(day, roster=replace(day.roster, officials=officials))
    found: dict[str, Page] = {}
    for page in pages(day.plan, day.book, day.roster, day.syllabus):
        folder = page.path.rpartition("/")[0]
        alone = folder not in ALIKE or page.path == "callers/practice_calls.html"
        found.setdefault(page.path if alone else folder, page)
    for page in award_pages(day.plan, day.roster, results_of(day)):
        found[page.path] = page
    return request.param, found


def results_of(day: Any) -> Results:
    """Results in which everyone of a division is level and has an award: as many names as one list can hold."""
    divisions = []
    for division in day.plan.event.divisions:
        teams = [team for team in day.plan.teams if team.division == division.name]
        one, rows, children = Fraction(1), [], []
        for team in teams:
            rows.append(TeamStanding(1, True, team.id, one, one, 1, 0, 0, 0, 0, 0, "shared", "", (1, 12), "possible"))
            children += [
                ContestantStanding(1, True, child, f"Child {child}", team.id, one, one, division.bands[0].label)
                for child in team.members
            ]
        divisions.append(DivisionResults(division.name, tuple(rows), tuple(children)))
    return Results("final", 1, tuple(divisions), ())


@pytest.fixture
def tab(browser: Browser) -> Iterator[Tab]:
    found = browser.new_page()
    yield found
    found.close()


@pytest.mark.parametrize(("name", "sheets"), [("Ada B.", 2), ("Maximiliana Theodora Wolkenstein-Untermbach", 2)])
def test_a_long_day_in_large_print_is_counted_by_its_sheets(tab: Tab, name: str, sheets: int) -> None:
    make_day: Any = runpy.run_path(str(Path(__file__).parents[1] / "papers" / "conftest.py"))["make_day"]
    day = make_day(teams=12, rooms=3, rounds=8)
    child = day.plan.heats[0].line[0]
    asked = replace(day.roster.contestant[child], name=name, show_name="full", needs="large print")
    others = tuple(asked if one.id == child else one for one in day.roster.contestants)
    found = pages(day.plan, day.book, replace(day.roster, contestants=others), day.syllabus)
    page = next(page for page in found if page.path == f"steward/large_print/{child}.html")
    tab.emulate_media(media="print")
    tab.set_content(page.html)
    assert tab.evaluate(TALL) == [] and tab.evaluate(WIDE) == []
    assert len(re.findall(rb"/Type /Page\b", tab.pdf(prefer_css_page_size=True))) == page.sheets == sheets


@pytest.fixture(scope="module")
def small() -> dict[str, Page]:
    """Every page of a day of four teams in two rooms, in which type is as large as it gets."""
    make_day: Any = runpy.run_path(str(Path(__file__).parents[1] / "papers" / "conftest.py"))["make_day"]
    day = make_day(teams=4, rooms=2, rounds=2)
    return {page.path: page for page in pages(day.plan, day.book, day.roster, day.syllabus)}


@pytest.fixture(scope="module", params=[6, 12], ids=["six teams", "twelve teams"])
def long_names(request: pytest.FixtureRequest) -> dict[str, Page]:
    """Every page of a day of names as long as people have them, in words of many letters and in other scripts."""
    make_day: Any = runpy.run_path(str(Path(__file__).parents[1] / "papers" / "conftest.py"))["make_day"]
    day = make_day(teams=request.param, rooms=request.param // 2)
    words = (
        "Saint Bartholomew-on-the-Water Upper Juniors",
        "Donaudampfschifffahrtsgesellschaft",
        "<script>alert(1)</script>",
        "فريق النجوم الذهبية",
        "é" * 20,
        "A",
    )
    people = (
        "Maximiliana Theodora Wolkenstein-Untermbach",
        "Li Wu",
        "Анастасия Константинопольская",
        "محمد عبد الرحمن",
    )
    teams = tuple(
        replace(team, name=words[at % 6], club=words[(at + 3) % 6] + at % 2 * " club")
        for at, team in enumerate(day.plan.teams)
    )
    children = tuple(
        replace(child, name=people[at % 4], show_name="full", edition="large print" if at % 9 == 0 else "")
        for at, child in enumerate(day.roster.contestants)
    )
    officials = tuple(
        replace(one, name=f"{people[at % 4]} {at}", clubs=words[:3]) for at, one in enumerate(day.roster.officials)
    )
    plan = replace(day.plan, teams=teams)
    roster = replace(day.roster, teams=teams, contestants=children, officials=officials)
    return {page.path: page for page in pages(plan, day.book, roster, day.syllabus)}


def test_pages_of_a_small_day_fit_their_paper(tab: Tab, small: dict[str, Page]) -> None:
    fit(tab, small)


def test_pages_with_long_names_fit_their_paper(tab: Tab, long_names: dict[str, Page]) -> None:
    fit(tab, long_names)


def fit(tab: Tab, found: dict[str, Page]) -> None:
    """Nothing is wider or taller than its paper, times stand in one piece, and sheets are as many as were counted."""
    tab.emulate_media(media="print")
    tab.set_viewport_size({"width": int(Sheet.of("A4", "landscape").width * PIXELS_A_MM) + 80, "height": 800})
    for page in found.values():
        tab.set_content(page.html)
        assert tab.evaluate(WIDE) == [], page.path
        assert tab.evaluate(TALL) == [], page.path
        times = "() => [...document.querySelectorAll('.time')].filter(time => time.getClientRects().length > 1).length"
        assert tab.evaluate(times) == 0, page.path
        assert len(re.findall(rb"/Type /Page\b", tab.pdf(prefer_css_page_size=True))) == page.sheets, page.path


def test_pages_load_without_errors_fit_their_paper_and_print_as_many_sheets_as_were_counted(
    tab: Tab, written: tuple[str, dict[str, Page]]
) -> None:
    paper, found = written
    portrait = tuple(side * POINTS_A_MM for side in PAPERS[paper])
    said: list[str] = []
    tab.on("console", lambda message: said.append(message.text))
    tab.on("pageerror", lambda error: said.append(str(error)))
    tab.on("request", lambda request: said.append(request.url))
    tab.emulate_media(media="print")
    tab.set_viewport_size({"width": int(Sheet.of("A4", "landscape").width * PIXELS_A_MM) + 80, "height": 800})
    for page in found.values():
        tab.set_content(page.html)
        assert tab.evaluate(WIDE) == [], page.path
        assert tab.evaluate(TALL) == [], page.path
        content = tab.pdf(prefer_css_page_size=True)
        boxes = re.findall(rb"/MediaBox \[0 0 ([\d.]+) ([\d.]+)\]", content)
        assert len(re.findall(rb"/Type /Page\b", content)) == page.sheets, page.path
        turned = re.findall('<section class="page ?([a-z]*)', page.html)
        for (across, along), kind in zip(boxes, turned, strict=True):
            expected = portrait[::-1] if kind in ("wide", "judge") else portrait
            assert (float(across), float(along)) == pytest.approx(expected, abs=1.5), page.path
    assert said == []


def test_a_small_screen_shows_a_teams_page_without_scrolling_sideways(
    tab: Tab, written: tuple[str, dict[str, Page]]
) -> None:
    tab.set_viewport_size({"width": 600, "height": 800})
    tab.set_content(written[1]["teams"].html)
    inner, outer = tab.evaluate("[document.documentElement.scrollWidth, document.documentElement.clientWidth]")
    assert inner <= outer


def test_no_page_of_a_script_has_more_than_eight_calls_and_none_is_cut(
    tab: Tab, written: tuple[str, dict[str, Page]]
) -> None:
    tab.emulate_media(media="print")
    tab.set_content(written[1]["callers"].html)
    sections = tab.evaluate(
        """() => [...document.querySelectorAll('.script')].map(section => ({
            breaks: [...section.querySelectorAll('.call')].map(call => getComputedStyle(call).breakInside),
            sizes: [...section.querySelectorAll('.say')].map(say => parseFloat(getComputedStyle(say).fontSize)),
        }))"""
    )
    assert len(sections) == 36
    for section in sections:
        assert 1 <= len(section["sizes"]) <= 8
        assert set(section["breaks"]) == {"avoid"}
        assert min(section["sizes"]) * 72 / 96 >= 16


def test_a_judges_box_is_eight_mm_or_more(tab: Tab, written: tuple[str, dict[str, Page]]) -> None:
    """8 mm: common practice, no source."""
    tab.emulate_media(media="print")
    tab.set_viewport_size({"width": 1200, "height": 800})
    tab.set_content(written[1]["judges"].html)
    boxes = tab.evaluate(
        """() => [...document.querySelectorAll('.judge')].flatMap(sheet => {
            const calls = sheet.querySelectorAll('.call-no').length;
            return [...sheet.querySelectorAll('.marks tbody tr')].flatMap(row => [...row.children].slice(2, 2 + calls))
                .map(box => [box.getBoundingClientRect().width, box.getBoundingClientRect().height]);
        })"""
    )
    assert boxes and min(min(box) for box in boxes) >= 8 * PIXELS_A_MM - 0.5
