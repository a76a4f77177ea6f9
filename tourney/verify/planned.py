"""All properties of a planned day, in the order in which they are told."""

from collections.abc import Iterator
from typing import Any

from tourney.model.calls import CallBook
from tourney.model.plan import Plan
from tourney.verify.calls import call_lines
from tourney.verify.draw import draw_lines
from tourney.verify.duties import duty_lines
from tourney.verify.figures import figure_lines
from tourney.verify.finals import finals_lines
from tourney.verify.hours import hour_lines
from tourney.verify.line import Line
from tourney.verify.plan import known, plan_lines
from tourney.verify.syllabus import Listing


def planned_lines(
    plan: Plan, book: CallBook, listing: Listing, documents: tuple[dict[str, Any], dict[str, Any]], secret: str | None
) -> Iterator[Line]:
    """A line a property. documents: plan.json and calls.json as read. secret: text of its file, None when it is gone.

    What can't be looked up, since ids are unknown or sets are missing, is broken and ends its part.
    """
    yield from draw_lines(*documents, secret)
    yield from plan_lines(plan)
    if known(plan):
        for part in (duty_lines, hour_lines, figure_lines, finals_lines):
            yield from part(plan)
        if {sealed.id for sealed in plan.call_sets} == book.set.keys():
            yield from call_lines(plan, book, listing)
