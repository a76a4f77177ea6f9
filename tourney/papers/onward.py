"""The way on to the next level: entry files in the form that coaches fill in, for the teams of the finals alone."""

import shutil
from collections.abc import Iterator, Mapping
from pathlib import Path

from tourney.model.people import Roster, Team
from tourney.model.table_columns import ENTRIES
from tourney.papers.cells import Content
from tourney.papers.file_names import file_names
from tourney.papers.forms import form_width
from tourney.papers.shelf import Written, shelve
from tourney.papers.table_sheet import Field, write_table
from tourney.papers.wide_tables import fit_table
from tourney.papers.workbook import Workbook

FIXED = 4  # columns up to the child's name
PLACE = "place"  # a column beyond the form's: the place in the finals
REMARK = (
    "Teams of the finals with their places. Birth dates, grades and needs are left out on purpose: the club adds them "
    "if the next level asks for them, once the parents agree. Your local rules go first."
)


def write_onward(results: Path, roster: Roster, places: Mapping[str, int]) -> Written:
    """Write results/onward/, a workbook a club. places: team -> its place in the finals.

    A file that somebody filled in stays, and the new one lies beside it under a number. FileTrouble when one is open
    elsewhere or the folder is read-only.
    """
    fresh = results / ".onward"
    shutil.rmtree(fresh, ignore_errors=True)
    teams = sorted(
        (team for team in roster.teams if team.id in places), key=lambda team: (team.division, places[team.id])
    )
    clubs = sorted({team.club for team in teams})
    names = file_names(clubs)
    fields = [Field(column.name, form_width(column)) for column in ENTRIES] + [Field(PLACE, 20)]
    try:
        for club in clubs:
            workbook = Workbook(f"Onward entry of {club}")
            sheet = workbook.add("Entries")
            rows = [row for team in teams if team.club == club for row in _rows(team, roster, places[team.id])]
            write_table(sheet, f"Entries of {club}", REMARK, fields, rows, FIXED)
            fit_table(sheet, fields, fixed=FIXED)
            workbook.save(fresh / f"{names[club]}.xlsx")
        return shelve(fresh, results / "onward")
    finally:
        shutil.rmtree(fresh, ignore_errors=True)


def _rows(team: Team, roster: Roster, place: int) -> Iterator[list[Content]]:
    """A row a child, in the columns of the entry form, then the place."""
    for key in team.members:
        child = roster.contestant[key]
        known: dict[str, Content] = {
            "club": team.club,
            "team": team.name,
            "division": team.division,
            "name": child.name,
            "preferred_name": child.preferred_name or None,
            "show_name": child.show_name,
            "role": "substitute" if child.substitute else "member",
        }
        yield [*(known.get(column.name) for column in ENTRIES), place]
