"""What a room is handed for the day: its door sheet, and the judges' sheets on paper, heat after heat."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from math import ceil

from tourney.model.calls import CallBook
from tourney.model.event import Points
from tourney.model.sheet import LETTERS
from tourney.model.sheet_layout import Zone, judge_letter
from tourney.papers.sheet_facts import SheetFacts, Standing, facts_by_room
from tourney.papers.sheet_grid import BENEATH_ROW, BOX, COUNTED, FIT, Grid
from tourney.papers.sheet_names import name_parts
from tourney.papers.sheet_style import HALF, LARGER
from tourney.papers.views import DivisionLabel, DoorSheet, Hall, HeatView

TOTALS = (*COUNTED, "Points")  # columns for sums by hand


@dataclass(frozen=True, slots=True)
class PaperLine:
    """One contestant's row. parts: name, own seconds and team as (text, points, bold). asked: call by call.

    marked: does this judge mark it.
    """

    number: int
    parts: tuple[tuple[str, float, bool], ...]
    asked: tuple[bool, ...]
    marked: bool = True


@dataclass(frozen=True, slots=True)
class PaperSheet:
    """One judge's sheet, or as much of it as fits a page.

    head: (text, large) of the heading. calls: their numbers. legend: (letter, meaning and cost). sizes: of the grid in
    mm, by the names that the style sheet uses. beside: do the totals stand beside the boxes. larger: by how much all of
    it is printed larger.
    """

    title: str
    code: str
    facts: tuple[str, ...]
    calls: tuple[int, ...]
    lines: tuple[PaperLine, ...]
    legend: tuple[tuple[str, str], ...]
    sizes: tuple[tuple[str, str], ...]
    beside: bool
    foot: str
    larger: float = 1.0


@dataclass(frozen=True, slots=True)
class PackHeat:
    """A heat in a room's pack, with the sheets of its judges."""

    heat: HeatView
    sheets: tuple[PaperSheet, ...]
    codes: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class RoomPack:
    """All that a room is handed but the calls."""

    door: DoorSheet
    heats: tuple[PackHeat, ...]


def room_packs(hall: Hall, book: CallBook) -> dict[str, RoomPack]:
    """Room -> its pack, heats in wave order."""
    doors = {door.room: door for door in hall.doors}
    found = {}
    for room, sheets in facts_by_room(hall.plan, book, hall.roster).items():
        heats: dict[str, list[SheetFacts]] = {}
        for facts in sheets:
            heats.setdefault(facts.heat.id, []).append(facts)
        found[room] = RoomPack(
            doors[room],
            tuple(
                PackHeat(
                    hall.heats[heat],
                    tuple(part for facts in judges for part in paper_sheets(facts)),
                    tuple(facts.identity.code for facts in judges),
                )
                for heat, judges in heats.items()
            ),
        )
    return found


def paper_sheets(facts: SheetFacts) -> Iterator[PaperSheet]:
    """A judge's sheet as pages: one, unless more calls or lines are asked than boxes of 8 mm fit."""
    heat = facts.heat
    said = (
        f"wave {heat.wave}",
        f"judge {judge_letter(facts.identity.judge)}: {facts.judge}",
        *facts.zone_words,
        f"{facts.seconds} seconds a call",
        *facts.tasks,
        "line 1 stands on your left",
    )
    whole = PaperSheet(
        f"{heat.division}   ·   {facts.occasion}   ·   {facts.start}   ·   {heat.room}",
        facts.identity.code,
        said,
        (),
        (),
        legend(facts.points),
        (),
        True,
        f"calls {facts.call_mark}: the script must show the same",
    )
    if facts.large:
        whole = replace(whole, larger=LARGER)
    paper = HALF[facts.paper] if facts.large else facts.paper
    yield from _parts(whole, facts.calls, facts.line, facts.speakers, paper, facts.zone)


def blank_sheets(hall: Hall) -> tuple[PaperSheet, ...]:
    """A sheet a division for any of its heats: nobody's name, nobody asked."""
    return tuple(sheet for label in hall.divisions.values() for sheet in _blank(hall, label))


def _blank(hall: Hall, label: DivisionLabel) -> Iterator[PaperSheet]:
    division = hall.plan.event.division(label.name)
    heats = [heat for heat in hall.plan.heats if heat.division == label.name]
    most = max((len(heat.line) for heat in heats), default=division.squad * division.teams_per_heat)
    nobody = tuple(Standing("", "", "", None) for _ in range(most))
    whole = PaperSheet(
        f"{label.name}   ·   round ____   ·   time ______   ·   room __________________",
        "heat __________",
        ("judge ____________________________", f"{division.seconds} seconds a call", "line 1 stands on your left"),
        (),
        (),
        legend(division.points),
        (),
        True,
        "blank sheet",
    )
    yield from _parts(whole, division.calls, nobody, (), hall.plan.event.day.paper)


def legend(points: Points) -> tuple[tuple[str, str], ...]:
    """Each letter with its meaning and what it costs."""
    off = {"L": points.late, "W": points.wrong_place, "S": points.spoken, "H": points.handling}
    letters = ((key, f"{meaning} −{off[key]}" if off.get(key) else meaning) for key, meaning in LETTERS.items())
    return (*letters, ("", f"clean {points.call}"))


def _parts(
    whole: PaperSheet,
    calls: int,
    line: tuple[Standing, ...],
    speakers: tuple[int, ...],
    paper: str,
    zone: Zone | None = None,
) -> Iterator[PaperSheet]:
    grids = (Grid(size, 1, paper) for size in range(calls, 0, -1))
    across = next(grid.calls for grid in grids if grid.pages[0] == 1 and (grid.beside or whole.larger == 1))
    across = ceil(calls / ceil(calls / across))
    for first_call in range(1, calls + 1, across):
        numbers = tuple(range(first_call, min(first_call + across, calls + 1)))
        down = next(size for size in range(len(line), 0, -1) if Grid(len(numbers), size, paper).pages[1] == 1)
        down = ceil(len(line) / ceil(len(line) / down))
        for first in range(0, len(line), down):
            standing = line[first : first + down]
            grid = Grid(len(numbers), len(standing), paper, zone)
            rows = tuple(
                PaperLine(
                    number,
                    name_parts(child, *grid.name_mm),
                    tuple(grid.marked(number) and speakers[call - 1 : call] == (number,) for call in numbers),
                    grid.marked(number),
                )
                for number, child in enumerate(standing, first + 1)
            )
            yield replace(whole, calls=numbers, lines=rows, sizes=_sizes(grid), beside=grid.beside)


def _sizes(grid: Grid) -> tuple[tuple[str, str], ...]:
    """The grid's sizes as they print: the workbook's are laid out a little larger and shrunk by its page."""
    sizes = {
        "name": grid.name_width,
        "box": grid.box_width,
        "line": grid.line_height,
        "count": grid.count_width,
        "points": grid.points_width,
        "judged": BOX,
        "beneath": BENEATH_ROW,
    }
    return tuple((name, f"{mm / FIT:.2f}mm") for name, mm in sizes.items())
