"""Which missing sheet to fetch first: of the heat on which most places depend, the one that tells most."""

from bisect import bisect_left, bisect_right
from collections.abc import Collection, Iterator, Sequence
from itertools import combinations

from tourney.model.event import Division
from tourney.model.sheet_layout import sheet_code
from tourney.model.standing import FetchFirst
from tourney.scoring.division_day import DivisionDay, table_of
from tourney.scoring.heats import HeatScore
from tourney.scoring.ranges import Span, spans_of
from tourney.scoring.table import Meeting, Table
from tourney.scoring.words import counted, listing

RANKED = {"points": "points", "heat_points": "heat points"}


def fetch_first(days: Sequence[DivisionDay], words: str, lost: Collection[str]) -> FetchFirst | None:
    """The heat on which most places depend. None where no sheet matters. lost: codes of sheets that will not come.

    Of equal ones it is the one through which most pairs of teams are open, then the first of the plan. Its sheets stand
    in the order in which to fetch them: those first whose judges watch most boxes that are open.

    A team's place depends on a heat when all that is open can end in two ways, alike but for this heat, that give it
    another place by what ranks first. That is looked at pair by pair: two teams of which one has open marks in the heat
    (by heat points: an open meeting), and either can end above the other, or level. So none is left out; one too many
    is counted only where heat points or points in large steps can't take the values between.
    """
    found = [one for day in days for one in _deciding(day, words, lost)]
    best = max(found, key=lambda one: (one[0].places, one[1]), default=None)
    return best and best[0]


def _deciding(day: DivisionDay, words: str, lost: Collection[str]) -> Iterator[tuple[FetchFirst, int]]:
    """(heat with missing sheets, open pairs of teams) of each heat on which any place depends."""
    if day.settled:
        return
    table = table_of(day, words)
    ranked = {team.id for team in day.ranked}
    spans = {team: span for team, span in spans_of(table).items() if team in ranked}
    least, most = (sorted(ends) for ends in zip(*((span.least, span.most) for span in spans.values()), strict=True))
    for score in day.scores:
        sheets = tuple(code for code in _missing(score, day.division) if code not in lost)
        if not sheets or score.settled or score.by_totals:
            continue
        own = [spans[team] for team in _open(score, table) if team in ranked]
        # With how many each can still change places, itself among them: all but who surely have more, or less.
        near = [bisect_right(least, span.most) - bisect_left(most, span.least) for span in own]
        places = sum(any(_undecided(span, other) for other in own) for span in spans.values())
        places -= sum(number == 1 for number in near)
        if places:
            first, *more = sheets
            then = f", then {listing(more)}" if more else ""
            what = (
                f"Fetch first: {first}{then} ({score.heat.room}). By {RANKED[day.division.rank_by]}, up to "
                f"{counted(places, 'place')} {'depends' if places == 1 else 'depend'} on {'them' if more else 'it'}."
            )
            among = sum(_undecided(one, other) for one, other in combinations(own, 2))
            yield FetchFirst(score.heat.id, sheets, places, what), sum(near) - len(near) - among


def _open(score: HeatScore, table: Table) -> list[str]:
    """Teams to which the heat can still be worth more or less."""
    if table.rank_by == "points":
        return [one.team for one in score.teams if one.least < one.most]
    return [
        one.team
        for one in score.teams
        if any(len(Meeting(one, other).possible) > 1 for other in score.teams if other is not one)
    ]


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
