"""Results, amendments and finals in a real browser: nothing cut off, whatever children and teams are called."""

import re
from collections.abc import Iterator
from dataclasses import replace
from datetime import UTC, datetime
from fractions import Fraction
from typing import Literal

import pytest
from playwright.sync_api import Browser

from tests.browser.conftest import CHROMIUM
from tests.browser.test_pages_in_browser import PAPERS, PIXELS_A_MM, TALL, WIDE
from tests.papers.conftest import SampleDay, make_day
from tests.papers.sample_brackets import double_knockout_of_four, knockout, last_out, names_of, played
from tourney.model.standing import ContestantStanding, DivisionResults, OpenMatter, Results, TeamStanding
from tourney.papers.amended_page import amended_page
from tourney.papers.bracket_page import bracket_page
from tourney.papers.page_writer import Page
from tourney.papers.paging import Sheet
from tourney.papers.results_page import results_pages
from tourney.scoring.changes import changes_between

pytestmark = pytest.mark.skipif(CHROMIUM is None, reason="needs Chromium")

NOON = datetime(2027, 4, 17, 17, 5, tzinfo=UTC)
CHAIN = "3f9c01ab77d2" + "0" * 52
NAMES = (  # 45 characters each: many words, one word, capitals, and what a page could take for its own
    "Harbour Light and Lantern Street Juniors Blue",
    "Saltmarshferrycrossinglighthousekeepersjunior",
    "HARBOUR MISSION MEMORIAL WHARF JUNIORS MMXXVI",
    "<script>alert(1)</script><b>&amp; 'Gulls' </b",
)
REASON = "Level on points with 3 others; ahead by clean calls, 41 to 40; then by fewer calls in the wrong place" * 2

# Names in a picture that run into the points beside them on the same line.
OVERLAPPING = """() => [...document.querySelectorAll('.picture svg')].flatMap(svg => {
    const texts = [...svg.querySelectorAll('text')].map(text => [text, text.getBoundingClientRect()]);
    const ends = texts.filter(([text]) => text.getAttribute('text-anchor') === 'end');
    return texts.filter(([text]) => text.getAttribute('text-anchor') === 'start').filter(([, name]) =>
        ends.some(([, points]) => Math.abs(points.top - name.top) < 2
            && name.left < points.left && points.left < name.right)).map(([text]) => text.textContent);
})"""


# Words of which a line holds hardly more than a letter or two.
TOWERS = """() => [...document.querySelectorAll('td, th, h1, h2, p, bdi')].filter(seen => {
    const box = seen.getBoundingClientRect();
    return box.width && seen.textContent.trim().length > 8 && box.width < 50;
}).map(seen => seen.textContent.trim())"""


def test_names_have_45_characters() -> None:
    assert {len(name) for name in NAMES} == {45}


def renamed(day: SampleDay) -> SampleDay:
    """The day with teams of long and hostile names."""
    teams = tuple(replace(team, name=NAMES[at % len(NAMES)]) for at, team in enumerate(day.plan.teams))
    return replace(day, plan=replace(day.plan, teams=teams), roster=replace(day.roster, teams=teams))


def results_of(day: SampleDay) -> Results:
    """Everyone level and every column as full as it gets."""
    sections = dict.fromkeys(day.syllabus.sections, (1000, 1200))
    divisions = []
    for division in day.plan.event.divisions:
        teams = [team for team in day.plan.teams if team.division == division.name]
        rounds = (Fraction(2401, 2), Fraction(999), Fraction(0)) * 3
        rows = tuple(
            TeamStanding(
                1, True, team.id, Fraction(10001, 2), Fraction(11520), 400, 10, 20, 30, 40, 0, "points",
                REASON, (1, len(teams)), "possible", rounds, REASON, sections,
            )
            for team in teams
        )  # fmt: skip
        children = tuple(
            ContestantStanding(
                at, True, child, NAMES[at % len(NAMES)], team.id, Fraction(2401, 2), Fraction(11520), "Gold"
            )
            for team in teams
            for at, child in enumerate(team.members, 11)
        )
        divisions.append(DivisionResults(division.name, rows, children))
    return Results("provisional", 1, tuple(divisions), (OpenMatter("missing_sheet", "J-R1-1", "out"),))


def swapped(results: Results) -> Results:
    """The results with every team and contestant of the first division a place lower."""
    first, *rest = results.divisions
    teams = tuple(replace(row, place=row.place + 1) for row in first.teams)
    children = tuple(replace(row, place=row.place + 1) for row in first.contestants)
    return replace(results, state="final", divisions=(replace(first, teams=teams, contestants=children), *rest))


def pages(paper: Literal["A4", "Letter"]) -> Iterator[Page]:
    """Every page of results of a day with more teams and children than one sheet holds, and of its finals."""
    day = renamed(make_day(names=("Junior", "Middle"), teams=14, rooms=4, rounds=3, paper=paper))
    before = results_of(day)
    yield from results_pages(day.plan, day.roster, before, CHAIN, NOON, day.syllabus)
    final = replace(before, state="final", open_matters=())
    yield from results_pages(day.plan, day.roster, final, CHAIN, NOON, day.syllabus)
    after = swapped(before)
    yield amended_page(day.plan, day.roster, after, changes_between(before, after), CHAIN, NOON)
    yield amended_page(day.plan, day.roster, after, (), CHAIN, NOON)
    for bracket in (played(knockout(4), 1), played(knockout(13), 2), played(knockout(100)),
                    played(double_knockout_of_four(), 2), played(last_out())):  # fmt: skip
        long = {team: NAMES[at % len(NAMES)] for at, team in enumerate(sorted(names_of(bracket)))}
        yield bracket_page(day.plan, day.roster, bracket, long)


@pytest.mark.parametrize("width", [320, 390, 600])
def test_results_are_read_on_a_telephone(browser: Browser, width: int) -> None:
    """Nothing but the drawing and the table of a line is moved sideways, and no words stand letter below letter."""
    tab = browser.new_page(viewport={"width": width, "height": 800})
    for page in pages("A4"):
        tab.set_content(page.html)
        assert tab.evaluate("document.documentElement.scrollWidth") <= width, page.path
        assert tab.evaluate(TOWERS) == [], page.path


@pytest.mark.parametrize("paper", sorted(PAPERS))
def test_results_fit_their_paper_and_print_as_many_sheets_as_were_counted(
    browser: Browser, paper: Literal["A4", "Letter"]
) -> None:
    tab, said = browser.new_page(), list[str]()
    tab.on("console", lambda message: said.append(message.text))
    tab.on("pageerror", lambda error: said.append(str(error)))
    tab.on("request", lambda request: said.append(request.url))
    tab.emulate_media(media="print")
    tab.set_viewport_size({"width": int(Sheet.of(paper, "landscape").width * PIXELS_A_MM) + 80, "height": 800})
    for page in pages(paper):
        tab.set_content(page.html)
        assert tab.evaluate(WIDE) == [], page.path
        assert tab.evaluate(TALL) == [], page.path
        assert tab.evaluate(OVERLAPPING) == [], page.path
        content = tab.pdf(prefer_css_page_size=True)
        assert len(re.findall(rb"/Type /Page\b", content)) == page.sheets, page.path
    assert said == []
