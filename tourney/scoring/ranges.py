"""What is already certain while sheets are missing: each team's best and worst place still possible.

Only what ranks first is looked at, and each team on its own, so a range may be wider than need be, but it never
leaves out a place that can still come about by the sheets.
"""

from bisect import bisect_left, bisect_right
from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

from tourney.scoring.table import Table


@dataclass(frozen=True, slots=True)
class Span:
    """The least and the most that a team can still be worth."""

    least: Fraction
    most: Fraction


def spans_of(table: Table) -> dict[str, Span]:
    """Each team's span in what ranks first: parts of the points available, or heat points."""
    if table.rank_by == "points":
        return parts_of(table)
    return {team: _by_heat_points(table, team) for team in table.teams}


def parts_of(table: Table) -> dict[str, Span]:
    """Each team's span in parts of the points available."""
    return {team: _by_points(table, team) for team in table.teams}


def _by_points(table: Table, team: str) -> Span:
    if team in table.open_points:
        least, most = table.open_points[team]
    else:
        least = sum((one.least for one in table.heats_of[team]), Fraction())
        most = sum((one.most for one in table.heats_of[team]), Fraction())
    return Span(table.share(team, least), table.share(team, most))


def _by_heat_points(table: Table, team: str) -> Span:
    worth = {name: Fraction(value) for name, value in table.heat_points.model_dump().items()}
    ends = [[worth[outcome] for outcome in met.possible] for met in table.meetings[team]]
    return Span(sum((min(end) for end in ends), Fraction()), sum((max(end) for end in ends), Fraction()))


def place_ranges(spans: Mapping[str, Span]) -> dict[str, tuple[int, int]]:
    """Team -> (best, worst): behind all who surely have more, and behind all who can have as much."""
    least = sorted(span.least for span in spans.values())
    most = sorted(span.most for span in spans.values())
    count = len(spans)
    return {
        team: (1 + count - bisect_right(least, span.most), count - bisect_left(most, span.least))
        for team, span in spans.items()
    }
