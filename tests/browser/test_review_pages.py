"""Reviews in a real browser: no errors, nothing cut off, and as many sheets as were counted."""

import re
from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser

from tests.browser.conftest import CHROMIUM
from tests.browser.test_pages_in_browser import PIXELS_A_MM, TALL, WIDE
from tests.papers.conftest import make_day
from tests.papers.test_review import Reviews
from tourney.papers.judges_page import judges_page
from tourney.papers.page_writer import Page, Writer
from tourney.papers.paging import Sheet
from tourney.papers.review_page import review_pages

pytestmark = pytest.mark.skipif(CHROMIUM is None, reason="needs Chromium")


def pages() -> Iterator[Page]:
    """Every page of a day of large squads, and those that are written before results are final."""
    made = Reviews(make_day(squad=6, rounds=2), final=True)
    yield from review_pages(made.clubs, Writer(made.day.plan), made.results)
    yield judges_page(made.chief, Writer(made.day.plan), made.results)
    early = Reviews(make_day(names=("Junior",), teams=2, rooms=1, rounds=1, paper="Letter"), final=False)
    yield from review_pages(early.clubs, Writer(early.day.plan), early.results)
    yield judges_page(early.chief, Writer(early.day.plan), early.results)


def test_reviews_fit_their_paper_and_print_as_many_sheets_as_were_counted(browser: Browser) -> None:
    tab, said = browser.new_page(), list[str]()
    tab.on("console", lambda message: said.append(message.text))
    tab.on("pageerror", lambda error: said.append(str(error)))
    tab.on("request", lambda request: said.append(request.url))
    tab.emulate_media(media="print")
    tab.set_viewport_size({"width": int(Sheet.of("A4", "landscape").width * PIXELS_A_MM) + 80, "height": 800})
    for page in pages():
        tab.set_content(page.html)
        assert tab.evaluate(WIDE) == [], page.path
        assert tab.evaluate(TALL) == [], page.path
        content = tab.pdf(prefer_css_page_size=True)
        assert len(re.findall(rb"/Type /Page\b", content)) == page.sheets, page.path
    assert said == []
