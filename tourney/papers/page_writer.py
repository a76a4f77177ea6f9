"""Turns views into HTML: each page one file that stands by itself, prints on A4 or Letter, and needs no network."""

from dataclasses import dataclass
from functools import cache
from typing import Any

from jinja2 import Environment, FileSystemLoader, StrictUndefined

from tourney import resources
from tourney.model.event import Event
from tourney.model.plan import Plan
from tourney.papers.paging import JUDGE_MARGINS_MM, Sheet
from tourney.papers.stamp import Stamp
from tourney.papers.views import Interval

SHEET_MARK = '<section class="page'  # begins every printed sheet; no name can hold it, since pages are escaped
DUTY_NAMES = {
    "judge": ("Judge", "Judges"),
    "caller": ("Caller", "Callers"),
    "timekeeper": ("Timekeeper", "Timekeepers"),
}


@dataclass(frozen=True, slots=True)
class Page:
    """One document in HTML.

    path: below its folder, with "/". sheets: of paper that one copy takes. copies: to be printed, 0 for what is sent
    or only looked at.
    """

    path: str
    title: str
    html: str
    sheets: int
    copies: int


class Writer:
    """Writes the pages of one plan, or of an event before it is planned."""

    def __init__(self, made_from: Plan | Event) -> None:
        self._environment = environment()
        self._stamp = Stamp.of(made_from)
        paper = (made_from if isinstance(made_from, Event) else made_from.event).day.paper
        self.tall, self.wide = Sheet.of(paper), Sheet.of(paper, "landscape")
        self._judge = Sheet.of(paper, "landscape", JUDGE_MARGINS_MM)

    def __call__(
        self, path: str, template: str, title: str, *, turn: str = "portrait", copies: int = 1, **views: Any
    ) -> Page:
        """Render a template. turn: how most of its sheets lie, for browsers that can't turn single ones."""
        html = self._environment.get_template(template).render(
            title=title, stamp=self._stamp, tall=self.tall, wide=self.wide, judge=self._judge, turn=turn, **views
        )
        return Page(path, title, html, html.count(SHEET_MARK), copies)


@cache
def environment() -> Environment:
    """What renders the templates of pages: everything is escaped, and nothing may be missing."""
    found = Environment(
        loader=FileSystemLoader(resources.templates() / "pages"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    found.tests["interval"] = lambda row: isinstance(row, Interval)
    found.globals["duty_names"] = DUTY_NAMES
    found.globals["parts"] = found.get_template("parts.html").module
    return found
