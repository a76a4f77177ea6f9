"""What each team made heat by heat, as rows of a table, and the formulas of other tables that add it up."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from fractions import Fraction

from openpyxl.utils import get_column_letter

from tourney.model.standing import HeatStanding, Results
from tourney.papers.cells import Content, Formula
from tourney.papers.table_sheet import BODY, FIRST_ROW, Field, number
from tourney.papers.views import Hall
from tourney.scoring.words import number as written

ROUNDS_EXPLAINED = (
    "A row a team and heat: what its counting members made there. The totals of each division add these up."
)
_COUNT = number()
ROUNDS_FIELDS = (
    Field("Division", 26),
    Field("Round", 13, _COUNT),
    Field("Heat", 22),
    Field("Room", 32),
    Field("Team no.", 18),
    Field("Team", 44, replace(BODY, bold=True)),
    Field("Against", 50),
    Field("Points", 15, number(bold=True)),
    Field("Available", 18, _COUNT),
    Field("Heat points", 14, _COUNT),
    Field("Clean calls", 14, _COUNT),
    Field("L", 9, _COUNT),
    Field("W", 9, _COUNT),
    Field("S", 9, _COUNT),
    Field("H", 9, _COUNT),
    Field("Remark", 40),
)
_COLUMN = {field.heading: get_column_letter(place) for place, field in enumerate(ROUNDS_FIELDS, 1)}


@dataclass(frozen=True, slots=True)
class Sums:
    """Formulas over the table of rounds. title: of its sheet. rows: how many it has."""

    title: str
    rows: int

    def of(self, heading: str, team: str, value: int | float, round_: int | None = None) -> Formula:
        """The sum of a column over a team's rows, or over those of one round. value: what it comes to."""
        tests = f'{self._column("Team no.")},"{team}"'
        if round_ is not None:
            tests += f",{self._column('Round')},{round_}"
        return Formula(f"=SUMIFS({self._column(heading)},{tests})", value)

    def _column(self, heading: str) -> str:
        letter, title = _COLUMN[heading], self.title.replace("'", "''")
        return f"'{title}'!${letter}${FIRST_ROW}:${letter}${FIRST_ROW + max(self.rows, 1) - 1}"


def rounds_rows(results: Results, hall: Hall) -> Iterator[tuple[Content, ...]]:
    """The rows, division by division, heats in the plan's order."""
    for division in results.divisions:
        for row in division.heats:
            heat = hall.plan.heat[row.heat]
            against = [hall.teams[team].name for team in heat.teams if team != row.team]
            yield (
                division.division,
                row.round,
                row.heat,
                heat.room,
                row.team,
                hall.teams[row.team].name,
                ", ".join(against),
                plain(row.points) if row.heard else None,
                plain(row.available),
                *(
                    count if row.heard else None
                    for count in (
                        row.heat_points,
                        row.clean_calls,
                        row.late,
                        row.wrong_place,
                        row.spoken,
                        row.handling,
                    )
                ),
                _remark(row),
            )


def _remark(row: HeatStanding) -> str:
    said = [] if row.points.denominator == 1 else [f"points {written(row.points)}"]
    said += [] if row.counted else ["known by totals alone"]
    return "; ".join([*said, *([] if row.heard else ["not in yet"])])


def plain(value: Fraction) -> int | float:
    """A number for a cell: whole, or as near as a cell can hold it."""
    return value.numerator if value.denominator == 1 else float(value)
