"""Judges' score sheets: a workbook a room, a sheet a judge and heat, in wave order."""

from collections.abc import Iterable
from pathlib import Path

from tourney.model.calls import CallBook
from tourney.model.event import Points
from tourney.model.people import Roster
from tourney.model.plan import Plan
from tourney.model.sheet_layout import event_mark
from tourney.papers.file_names import file_names
from tourney.papers.sheet_face import ASKED_BOX, draw_face
from tourney.papers.sheet_facts import SheetFacts, facts_by_room
from tourney.papers.sheet_gaps import gaps_of
from tourney.papers.sheet_grid import Grid
from tourney.papers.sheet_setup import name_places, set_up
from tourney.papers.workbook import Sheet, Workbook


def write_score_sheets(folder: Path, plan: Plan, book: CallBook, roster: Roster) -> tuple[Path, ...]:
    """Write the workbook of every room into `folder`; returns their paths, rooms in the order of the settings.

    The same plan gives the same bytes. FileTrouble when the folder can't be written.
    """
    rooms = facts_by_room(plan, book, roster)
    names = file_names(rooms)
    written = []
    for room, sheets in rooms.items():
        path = folder / f"{names[room]}.xlsx"
        score_workbook(f"score sheets, {room}", sheets, plan).save(path)
        written.append(path)
    return tuple(written)


def score_workbook(what: str, sheets: Iterable[SheetFacts], plan: Plan) -> Workbook:
    """A workbook of these sheets, not yet written.

    Each size of sheet is drawn once; the others are made from it by filling its gaps, ten times as fast.
    """
    workbook = Workbook(f"{plan.event.name}: {what}", plan.event.date)
    workbook.tell(tourney_event=event_mark(plan.draw.secret), tourney_plan=str(plan.revision), tourney_holds=what)
    drawn: dict[tuple[Grid, Points], Sheet] = {}
    for facts in sheets:
        grid = Grid(facts.calls, len(facts.line), facts.paper, facts.zone)
        sheet = workbook.add(facts.title)
        name_places(sheet.frame, grid)
        model = drawn.setdefault((grid, facts.points), sheet)
        if model is sheet:
            set_up(sheet.frame, grid)
            draw_face(sheet, grid, facts.points)
        sheet.take_after(model, gaps_of(facts, grid, workbook.number_of(ASKED_BOX)))
    return workbook
