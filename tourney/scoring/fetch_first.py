"""Which missing sheets to fetch first: those of the heat without which most places can't be known."""

from collections.abc import Collection, Iterator, Sequence

from tourney.model.sheet_layout import sheet_code
from tourney.model.standing import FetchFirst
from tourney.scoring.heats import HeatScore
from tourney.scoring.ranges import Span, spans_of
from tourney.scoring.standings import DivisionDay, table_of
from tourney.scoring.words import listing


def fetch_first(days: Sequence[DivisionDay], words: str, lost: Collection[str]) -> FetchFirst | None:
    """The heat whose sheets leave most places open; of equal ones the first of the plan. None where no sheet matters.

    A team's place hangs on a heat when some team of the heat can still end above it and below it, or level, by what
    that heat is worth to it: compared by what ranks first. lost: codes of sheets that will not come.
    """
    found = [one for day in days for one in _hanging(day, words, lost)]
    return max(found, key=lambda one: one.places, default=None)


def _hanging(day: DivisionDay, words: str, lost: Collection[str]) -> Iterator[FetchFirst]:
    if day.settled:
        return
    spans = spans_of(table_of(day, words))
    ranked = [team.id for team in day.ranked]
    for score in day.scores:
        sheets = tuple(code for code in _missing(score) if code not in lost)
        if not sheets or score.settled or score.by_totals:
            continue
        open_ = [one.team for one in score.teams if one.least < one.most and one.team in ranked]
        places = sum(any(_undecided(spans[team], spans[other]) for other in open_ if other != team) for team in ranked)
        if places:
            what = (
                f"Fetch first: {listing(list(sheets))} ({score.heat.room}). Without "
                f"{'it' if len(sheets) == 1 else 'them'} {places} places can’t be known."
            )
            yield FetchFirst(score.heat.id, sheets, places, what)


def _missing(score: HeatScore) -> Iterator[str]:
    for judge, sheet in enumerate(score.sheets, 1):
        if sheet is None:
            yield sheet_code(score.heat.id, judge)


def _undecided(one: Span, other: Span) -> bool:
    """Whether either may end above the other, or level."""
    return one.least <= other.most and other.least <= one.most
