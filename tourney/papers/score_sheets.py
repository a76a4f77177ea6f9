"""Judges' score sheets: a workbook a room, a sheet a judge and heat, in wave order."""

from collections.abc import Sequence
from pathlib import Path

from openpyxl import Workbook

from tourney.model.calls import CallBook
from tourney.model.people import Roster
from tourney.model.plan import Plan
from tourney.papers.file_names import file_names
from tourney.papers.sheet_face import draw_face
from tourney.papers.sheet_facts import SheetFacts, facts_by_room
from tourney.papers.sheet_grid import Grid
from tourney.papers.sheet_setup import set_up
from tourney.papers.sheet_style import Painter, new_workbook, save_workbook
from tourney.papers.text_cells import sheet_title


def write_score_sheets(folder: Path, plan: Plan, book: CallBook, roster: Roster) -> tuple[Path, ...]:
    """Write the workbook of every room into `folder`; returns their paths, rooms in the order of the settings.

    The same plan gives the same bytes. FileTrouble when the folder can't be written.
    """
    rooms = facts_by_room(plan, book, roster)
    names = file_names(rooms)
    written = []
    for room, sheets in rooms.items():
        path = folder / f"{names[room]}.xlsx"
        save_workbook(path, _room_workbook(room, sheets, plan))
        written.append(path)
    return tuple(written)


def _room_workbook(room: str, sheets: Sequence[SheetFacts], plan: Plan) -> Workbook:
    workbook = new_workbook(f"{plan.event.name}: score sheets, {room}", plan.event.date)
    painter = Painter(workbook)
    blank = workbook.worksheets[0]
    for facts in sheets:
        sheet = workbook.create_sheet(sheet_title(facts.title, workbook.sheetnames))
        grid = Grid(facts.calls, len(facts.line), facts.paper)
        draw_face(sheet, painter, grid, facts)
        set_up(sheet, grid, facts)
    workbook.remove(blank)
    return workbook
