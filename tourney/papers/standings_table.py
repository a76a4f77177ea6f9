"""Both standings of a division as rows of a table; totals are formulas over the rounds, and these over the heats."""

from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction

from openpyxl.utils import get_column_letter

from tourney.model.event import Division
from tourney.model.people import Roster
from tourney.model.standing import ContestantStanding, DivisionResults, TeamStanding
from tourney.papers.cells import Content, Formula
from tourney.papers.rounds_table import Sums, plain
from tourney.papers.table_sheet import BODY, FIRST_ROW, Field, Shown, number
from tourney.papers.views import Hall
from tourney.scoring.words import number as written
from tourney.scoring.words import place_range

ADVANCES = {"certain": "yes, certain", "possible": "possible", "out": "no"}
NO_HEAT = "–"  # of a round in which a team had a bye, or of which nothing is in yet
_COUNT = number()
_NONE = replace(BODY, across="right")
_TOTAL = number(bold=True)
_PERCENT = number(pattern="0.00%")
_PLACE = number(bold=True)
_SHARED = number(bold=True, pattern='0"="')
_ROUND_WIDTH = 15.0
FIRST_ROUND = 4  # the column in which a contestant's first round stands


def rounds_shown(results: DivisionResults) -> int:
    """How many rounds have a column."""
    return max((len(row.round_points) for row in results.teams), default=0)


def first_round(results: DivisionResults) -> int:
    """The column in which a team's first round stands."""
    return FIRST_ROUND + parted(results)


def parted(results: DivisionResults) -> bool:
    """Whether the division is in pools."""
    return any(row.pool for row in results.teams)


def team_fields(results: DivisionResults, division: Division) -> tuple[Field, ...]:
    """The columns of a division's teams."""
    return (
        Field("Place", 13, _PLACE),
        Field("Team", 40, replace(BODY, bold=True)),
        Field("Club", 34),
        *((Field("Pool", 13, replace(BODY, across="center")),) if parted(results) else ()),
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
        *(
            (Field("Order of all pools", 20, replace(_COUNT, across="center")), Field("Why, among the others", 75))
            if parted(results)
            else ()
        ),
        Field("Exact where not whole", 28),
    )


def team_rows(
    results: DivisionResults, division: Division, hall: Hall, sums: Sums
) -> Iterator[tuple[Content | Shown, ...]]:
    """One row a team, best first. sums: over the table of rounds."""
    rounds, first, pools = rounds_shown(results), first_round(results), parted(results)
    heats, told = division.rank_by == "heat_points", hall.stood - results.unheard
    total_column = get_column_letter(first + rounds + heats)
    available_column = get_column_letter(first + 1 + rounds + heats)
    for row, standing in enumerate(results.teams, FIRST_ROW):
        team = hall.roster.team[standing.team]
        yield (
            place_shown(standing.place, shared=standing.shared),
            team.name,
            team.club,
            *((standing.pool,) if pools else ()),
            *(
                sums.of("Points", standing.team, plain(points), number_)
                if (standing.team, number_) in told
                else Shown(NO_HEAT, _NONE)
                for number_, points in enumerate(standing.round_points, 1)
            ),
            *((sums.of("Heat points", standing.team, standing.heat_points),) if heats else ()),
            _total(standing.points, first, rounds, row),
            sums.of("Available", standing.team, plain(standing.available)),
            _part(f"{total_column}{row}", f"{available_column}{row}", standing.points, standing.available),
            sums.of("Clean calls", standing.team, standing.clean_calls),
            sums.of("L", standing.team, standing.late),
            sums.of("W", standing.team, standing.wrong_place),
            sums.of("S", standing.team, standing.spoken),
            sums.of("H", standing.team, standing.handling),
            standing.decided_by.replace("_", " "),
            standing.reason,
            standing.change,
            place_range(*standing.range),
            ADVANCES[standing.advances],
            *((standing.across, standing.across_reason) if pools else ()),
            _exact("total", standing),
        )


def contestant_fields(results: DivisionResults) -> tuple[Field, ...]:
    """The columns of a division's contestants."""
    return (
        Field("Place", 13, _PLACE),
        Field("Contestant", 50, replace(BODY, bold=True)),
        Field("Team", 50),
        *(Field(f"Round {number_}", _ROUND_WIDTH, _COUNT) for number_ in range(1, rounds_shown(results) + 1)),
        Field("Points", 16, _TOTAL),
        Field("Available", 18, _COUNT),
        Field("Part of available", 18, _PERCENT),
        Field("Band", 25, replace(BODY, across="center")),
        Field("Next award", 60),
        Field("Exact where not whole", 32),
    )


def contestant_rows(results: DivisionResults, roster: Roster) -> Iterator[tuple[Content | Shown, ...]]:
    """One row a contestant, best first; names as they may be shown."""
    rounds = rounds_shown(results)
    points_column, available_column = (get_column_letter(FIRST_ROUND + rounds + at) for at in (0, 1))
    for row, standing in enumerate(results.contestants, FIRST_ROW):
        yield (
            place_shown(standing.place, shared=standing.shared),
            standing.shown_as,
            roster.team[standing.team].name,
            *(
                plain(points) if (standing.team, number_) not in results.unheard else Shown(NO_HEAT, _NONE)
                for number_, points in enumerate(standing.round_points, 1)
            ),
            _total(standing.points, FIRST_ROUND, rounds, row),
            plain(standing.available),
            _part(f"{points_column}{row}", f"{available_column}{row}", standing.points, standing.available),
            standing.band or "",
            standing.next_band,
            _exact("points", standing),
        )


def place_shown(place: int, *, shared: bool) -> Shown:
    """A number, so that it sorts; a shared place shows as 2=."""
    return Shown(place, _SHARED if shared else _PLACE)


def _total(points: Fraction, first: int, rounds: int, row: int) -> Content:
    """The sum of so many columns from `first`; the number itself where no round is drawn."""
    cells = f"{get_column_letter(first)}{row}:{get_column_letter(first + rounds - 1)}{row}"
    return Formula(f"=SUM({cells})", plain(points)) if rounds else plain(points)


def _part(points_cell: str, available_cell: str, points: Fraction, available: Fraction) -> Formula:
    text = f'=IF({available_cell}>0,{points_cell}/{available_cell},"")'
    return Formula(text, float(points / available) if available > 0 else "")


def _exact(total: str, standing: TeamStanding | ContestantStanding) -> str:
    named = [(total, standing.points), ("available", standing.available)]
    named += [(f"round {number_}", points) for number_, points in enumerate(standing.round_points, 1)]
    return ", ".join(f"{name} {written(value)}" for name, value in named if value.denominator != 1)
