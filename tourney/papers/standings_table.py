"""Both standings of a division as rows of a table; totals are formulas over the rounds that a sceptic can follow."""

from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction

from openpyxl.utils import get_column_letter

from tourney.model.documents import exact_text
from tourney.model.event import Division
from tourney.model.people import Roster
from tourney.model.standing import DivisionResults, TeamStanding
from tourney.papers.cells import Content, Formula
from tourney.papers.table_sheet import BODY, FIRST_ROW, Field, Shown, number

ADVANCES = {"certain": "yes, certain", "possible": "possible", "out": "no"}
_COUNT = number()
_TOTAL = number(bold=True)
_PERCENT = number(pattern="0.00%")
_PLACE = number(bold=True)
_SHARED = number(bold=True, pattern='0"="')
_ROUND_WIDTH = 15.0
FIRST_ROUND = 4  # the column in which the first round stands


def rounds_shown(results: DivisionResults) -> int:
    """How many rounds have a column."""
    return max((len(row.round_points) for row in results.teams), default=0)


def team_fields(results: DivisionResults, division: Division) -> tuple[Field, ...]:
    """The columns of a division's teams."""
    return (
        Field("Place", 13, _PLACE),
        Field("Team", 40, replace(BODY, bold=True)),
        Field("Club", 34),
        *(Field(f"Round {number_}", _ROUND_WIDTH, _COUNT) for number_ in range(1, rounds_shown(results) + 1)),
        *((Field("Heat points", 14, _TOTAL),) if division.rank_by == "heat_points" else ()),
        Field("Total", 15, _TOTAL),
        Field("Available", 18, _COUNT),
        Field("Part of available", 18, _PERCENT),
        Field("Clean calls", 14, _COUNT),
        Field("L", 9, _COUNT),
        Field("W", 9, _COUNT),
        Field("S", 9, _COUNT),
        Field("H", 9, _COUNT),
        Field("Decided by", 26),
        Field("Why this place", 75),
        Field("Smallest change", 60),
        Field("Place can still be", 20, replace(BODY, across="center")),
        Field("Advances", 24),
        Field("Exact where not whole", 28),
    )


def team_rows(results: DivisionResults, division: Division, roster: Roster) -> Iterator[tuple[Content | Shown, ...]]:
    """One row a team, best first."""
    rounds = rounds_shown(results)
    heats = division.rank_by == "heat_points"
    total_column = get_column_letter(4 + rounds + heats)
    available_column = get_column_letter(5 + rounds + heats)
    for row, standing in enumerate(results.teams, FIRST_ROW):
        team = roster.team[standing.team]
        best, worst = standing.range
        yield (
            place_shown(standing.place, shared=standing.shared),
            team.name,
            team.club,
            *(_number(points) for points in standing.round_points),
            *[None] * (rounds - len(standing.round_points)),
            *((standing.heat_points,) if heats else ()),
            _total(standing, f"D{row}:{get_column_letter(3 + rounds)}{row}"),
            _number(standing.available),
            _part(f"{total_column}{row}", f"{available_column}{row}", standing.points, standing.available),
            standing.clean_calls,
            standing.late,
            standing.wrong_place,
            standing.spoken,
            standing.handling,
            standing.decided_by.replace("_", " "),
            standing.reason,
            standing.change,
            str(best) if best == worst else f"{best} to {worst}",
            ADVANCES[standing.advances],
            _exact(standing),
        )


CONTESTANT_FIELDS = (
    Field("Place", 13, _PLACE),
    Field("Contestant", 60, replace(BODY, bold=True)),
    Field("Team", 60),
    Field("Points", 16, _TOTAL),
    Field("Available", 18, _COUNT),
    Field("Part of available", 18, _PERCENT),
    Field("Band", 25, replace(BODY, across="center")),
    Field("Exact where not whole", 32),
)


def contestant_rows(results: DivisionResults, roster: Roster) -> Iterator[tuple[Content | Shown, ...]]:
    """One row a contestant, best first; names as they may be shown."""
    for row, standing in enumerate(results.contestants, FIRST_ROW):
        yield (
            place_shown(standing.place, shared=standing.shared),
            standing.shown_as,
            roster.team[standing.team].name,
            _number(standing.points),
            _number(standing.available),
            _part(f"D{row}", f"E{row}", standing.points, standing.available),
            standing.band or "",
            "" if standing.points.denominator == 1 else f"points {exact_text(standing.points)}",
        )


def place_shown(place: int, *, shared: bool) -> Shown:
    """A number, so that it sorts; a shared place shows as 2=."""
    return Shown(place, _SHARED if shared else _PLACE)


def _number(value: Fraction) -> int | float:
    return value.numerator if value.denominator == 1 else float(value)


def _total(standing: TeamStanding, rounds: str) -> Content:
    """A formula over the rounds; the number itself where the rounds are not known one by one."""
    adds_up = standing.round_points and sum(standing.round_points, Fraction()) == standing.points
    return Formula(f"=SUM({rounds})", _number(standing.points)) if adds_up else _number(standing.points)


def _part(points_cell: str, available_cell: str, points: Fraction, available: Fraction) -> Formula:
    text = f'=IF({available_cell}>0,{points_cell}/{available_cell},"")'
    return Formula(text, float(points / available) if available > 0 else "")


def _exact(standing: TeamStanding) -> str:
    named = [("total", standing.points), ("available", standing.available)]
    named += [(f"round {number_}", points) for number_, points in enumerate(standing.round_points, 1)]
    return ", ".join(f"{name} {exact_text(value)}" for name, value in named if value.denominator != 1)
