"""How often each team found what was called, section by section: a strip of bars a team."""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import Any

from openpyxl.formatting.rule import DataBarRule
from openpyxl.utils import get_column_letter

from tourney.canon.syllabus import Syllabus
from tourney.model.standing import DivisionResults, Results, TeamStanding
from tourney.papers.cells import Content, Formula
from tourney.papers.table_sheet import BODY, FIRST_ROW, Field
from tourney.papers.views import Hall
from tourney.papers.workbook import Sheet

SECTIONS_EXPLAINED = (
    "Found in time and in the right place, of the times that a child of the team was there to hear it; children who "
    "did not count included. Each box holds both numbers; the bar is as long as the part found."
)
_PART = replace(BODY, across="center", number="0%")
_BAR = "A6A6A6"
_FIRST = (Field("Division", 26), Field("Team", 44, replace(BODY, bold=True)))


def sections_heard(results: Results | DivisionResults, syllabus: Syllabus) -> tuple[str, ...]:
    """Keys of all sections from which anything was called, in the order of the syllabus."""
    divisions = results.divisions if isinstance(results, Results) else (results,)
    heard = {key for division in divisions for row in division.teams for key in row.sections}
    return (*(key for key in syllabus.sections if key in heard), *sorted(heard - set(syllabus.sections)))


def sections_fields(keys: Sequence[str], syllabus: Syllabus) -> tuple[Field, ...]:
    """The columns. keys: of the sections shown."""
    return (*_FIRST, *(Field(syllabus.section_name(key), 27, _PART) for key in keys), Field("All", 27, _PART))


def sections_rows(results: Results, hall: Hall, keys: Sequence[str]) -> Iterator[tuple[Content, ...]]:
    """A row a team, in the order of the standings."""
    for division in results.divisions:
        for row in division.teams:
            both = [row.sections.get(key, (0, 0)) for key in keys]
            yield (
                division.division,
                hall.teams[row.team].name,
                *(_part(*one) for one in (*both, every_section(row, keys))),
            )


def every_section(row: TeamStanding, keys: Sequence[str]) -> tuple[int, int]:
    """How often a team found what it heard of all these sections."""
    both = [row.sections[key] for key in keys if key in row.sections]
    return sum(found for found, _ in both), sum(heard for _, heard in both)


def _part(found: int, heard: int) -> Content:
    return Formula(f"={found}/{heard}", found / heard) if heard else None


def draw_bars(sheet: Sheet, sections: int, teams: int) -> None:
    """A grey bar in each box, as long as its part. sections: how many, without the column of all."""
    last = get_column_letter(len(_FIRST) + sections + 1)
    boxes = f"{get_column_letter(len(_FIRST) + 1)}{FIRST_ROW}:{last}{FIRST_ROW + max(teams, 1) - 1}"
    rule: Any = DataBarRule
    ends = {"start_type": "num", "start_value": 0, "end_type": "num", "end_value": 1}
    bar = rule(**ends, minLength=0, maxLength=100, color=_BAR)  # else no bar is shorter than a tenth of its box
    sheet.frame.conditional_formatting.add(boxes, bar)
