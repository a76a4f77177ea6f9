"""What changed since results were final: who moved, from where to where, and nothing else."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from tourney.model.people import Roster
from tourney.model.plan import Plan
from tourney.model.standing import Results
from tourney.papers.page_writer import Page, Writer
from tourney.papers.paging import Sheet, Words, in_pages
from tourney.papers.stamp import shown_chain
from tourney.papers.views import DivisionLabel, Hall
from tourney.scoring.changes import Change, PlaceThen
from tourney.scoring.words import number, place_words

DIVISION, PLACE = 32.0, 46.0  # mm of the columns beside the names


@dataclass(frozen=True, slots=True)
class ChangeRow:
    """One team or contestant. before, after: place and points in words, "none" where it took no place."""

    division: DivisionLabel
    name: str
    before: str
    after: str
    moved: bool


def amended_page(
    plan: Plan, roster: Roster, results: Results, changes: Sequence[Change], chain: str, now: datetime
) -> Page:
    """The page of the differences; its path is below results/. Names are those that may be shown in the hall."""
    hall, write = Hall(plan, roster), Writer(plan)
    rows = [
        ChangeRow(
            hall.divisions[change.division],
            hall.teams[change.id].name if change.kind == "team" else hall.names[change.id],
            _then(change.before),
            _then(change.after),
            change.moved,
        )
        for change in changes
    ]
    return write(
        "amended.html",
        "amended.html",
        "Amended results",
        sheets=in_pages(rows, lambda row: _row_mm(row, write.tall), write.tall.room - 30),
        final=results.state == "final",
        as_of=hall.clock(now),
        chain=shown_chain(chain),
    )


def _row_mm(row: ChangeRow, sheet: Sheet) -> float:
    places = [Words(text, PLACE - 4, bold=True).mm for text in (row.before, row.after)]
    name = Words(row.name, sheet.width - DIVISION - 2 * PLACE - 4, 12, bold=True)  # wider: capitals break early
    return max(name.mm, *places) + 2.6


def _then(then: PlaceThen | None) -> str:
    if then is None:
        return "none"
    return f"{place_words(then.place, shared=then.shared)}, {number(then.points)} of {number(then.available)}"
