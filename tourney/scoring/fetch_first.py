"""Which missing sheet to fetch first: of the heat without which most places can't be known, the one that tells most."""

from collections.abc import Collection, Iterator, Sequence

from tourney.model.event import Division
from tourney.model.sheet_layout import sheet_code
from tourney.model.standing import FetchFirst
from tourney.scoring.division_day import DivisionDay, table_of
from tourney.scoring.heats import HeatScore
from tourney.scoring.ranges import Span, spans_of
from tourney.scoring.words import counted, listing


def fetch_first(days: Sequence[DivisionDay], words: str, lost: Collection[str]) -> FetchFirst | None:
    """The heat whose sheets leave most places open; of equal ones the first of the plan. None where no sheet matters.

    Its sheets stand in the order in which to fetch them: those first whose judges watch most boxes that are open.

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
        sheets = tuple(code for code in _missing(score, day.division) if code not in lost)
        if not sheets or score.settled or score.by_totals:
            continue
        open_ = [one.team for one in score.teams if one.least < one.most and one.team in ranked]
        places = sum(any(_undecided(spans[team], spans[other]) for other in open_ if other != team) for team in ranked)
        if places:
            first, *more = sheets
            then = f", then {listing(more)}" if more else ""
            what = (
                f"Fetch first: {first}{then} ({score.heat.room}). Without "
                f"{'them' if more else 'it'} {counted(places, 'place')} can’t be known."
            )
            yield FetchFirst(score.heat.id, sheets, places, what)


def _missing(score: HeatScore, division: Division) -> list[str]:
    """Codes of the sheets that are out, by how many open boxes they would tell, then by the seat of their judge."""
    out = [judge for judge, sheet in enumerate(score.sheets, 1) if sheet is None]
    open_ = [line for (line, _), said in score.calls.items() if not said.settled]
    return [
        sheet_code(score.heat.id, judge)
        for judge in sorted(out, key=lambda judge: -sum(division.watches(judge, line) for line in open_))
    ]


def _undecided(one: Span, other: Span) -> bool:
    """Whether either may end above the other, or level."""
    return one.least <= other.most and other.least <= one.most
