"""How much of a page a block takes at most, in mm, so that pages are filled in order and can be counted.

The figures are those of print.css; a test in a browser holds them against what is really printed.
"""

from collections.abc import Iterable
from dataclasses import replace

from tourney.papers.access import AccessRow, AccessStop
from tourney.papers.board import Board
from tourney.papers.fairness import FairnessRow, Property
from tourney.papers.itineraries import DutyRow, OfficialStrip, Stop, TeamStrip
from tourney.papers.page_writer import Page
from tourney.papers.paging import LEADING, Sheet, Words, in_pages
from tourney.papers.room_packs import PackHeat
from tourney.papers.run_sheet import Stage
from tourney.papers.sign_in import ClubList
from tourney.papers.text_cells import MM_PER_POINT
from tourney.papers.views import DoorSheet, HeatView, Interval, TeamLabel, WaveRow

LINE, TINY = 11 * LEADING * MM_PER_POINT, 9 * LEADING * MM_PER_POINT
PAUSE, STRIP_FRAME = 6.5, 9.5
TIME_ROW = 8.2
FAIR_LEADING = 1.2  # of the fairness page, which is set tighter
CARDS_GAP, CARD_ROW = 9.0, 5.8  # between two cards; a line of a card
DOOR_FRAME = 15.0  # of a door sheet, without the room's name
TEAM_KEY_COLUMNS = 3
LARGE, LARGE_LEADING = 22, 1.25  # of large print
LARGE_FRAME = 20.0  # of its sheet, without the names
CARE = (  # stands on each card
    "Two cleared adults stay with the children; never be alone with a child. A worry goes to the safeguarding lead at "
    "once. Your local safeguarding rules come first."
)
BOARD_ROW = (7.9, 13.0)  # least and most


def _tallest(words: Iterable[Words], least: float, padding: float) -> float:
    return max(least, max((word.mm for word in words), default=0) + padding)


def team_strip_mm(strip: TeamStrip, sheet: Sheet) -> float:
    """A team's strip: heading, stops, line numbers."""
    against = sheet.width - 26 - 26 - 42 - 36 - 4
    rows = 0.0
    for row in strip.rows:
        if isinstance(row, Stop):
            names = ", ".join(f"{team.id} {team.name}" for team in row.against)
            side = f"{row.side}, nos. {row.numbers}"
            words = (Words(names, against), Words(row.heat.room, 38, 13, bold=True), Words(side, 32))
            rows += _tallest(words, TIME_ROW, 1.3)
        else:
            rows += TIME_ROW
    name = Words(f"{strip.team.name} {strip.team.division.name}", sheet.width - 34, 13, bold=True)
    children = sum(
        _tallest((Words(child.shown_as, sheet.width - 14 * len(strip.stops)),), 6.8, 1.3) for child in strip.children
    )
    return STRIP_FRAME + max(10.5, name.mm + 2) + 11.5 + rows + (LINE if strip.byes else 0) + 9.5 + children + 9


def cards_mm(pair: tuple[OfficialStrip, ...], sheet: Sheet) -> float:
    """Officials' cards side by side: as high as the longer one."""
    return max(_card_mm(strip, (sheet.width - CARDS_GAP) / 2) for strip in pair)


def _card_mm(strip: OfficialStrip, width: float) -> float:
    """Heading, duties, whom not to meet."""
    rows = 0.0 if strip.duties else Words(strip.idle, width, 9).mm
    for row in strip.rows if strip.duties else ():
        if isinstance(row, DutyRow):
            words = (
                Words(row.heat.room, width - 14 - 38 - 4, 10, bold=True),
                Words(f"Timekeeper {row.heat.id}", 36, 10),
            )
            rows += _tallest(words, CARD_ROW, 1.1)
        else:
            label = Words(f"{row.label}, until {row.end}", width - 14 - 4, 10)
            rows += _tallest((label,), CARD_ROW, 1.1)
    asked = "You will not meet: . You know another child or team in your heat? Tell the coordinator before it starts."
    avoids = Words(f"{asked} {', '.join(strip.avoids)}", width, 9)
    name = Words(strip.name, width - 14, 13, bold=True)
    care = Words(CARE, width - 8, 9)
    return 6.5 + max(7, name.mm + 1) + rows + avoids.mm + 1.2 + care.mm + 1.2


def access_mm(row: AccessRow, sheet: Sheet) -> float:
    """A child's part of the access list."""
    width = sheet.width - 46
    said = (Words(row.needs, width, 13), Words(row.seat, width), Words(row.edition, width))
    rows = sum(word.mm + 1.3 for word in said if word.text) + (7 if row.seconds is not None else 0)
    rows += 2 * LINE + 1.3 if row.large_print else 0
    stops = sum(
        _tallest((Words(f"{stop.heat.room}, line no. {stop.line} – this room has steps", width),), TIME_ROW, 1.3)
        for stop in row.stops
    )
    name = Words(f"{row.name} {row.team.id} {row.team.name} {row.team.division.name}", sheet.width, 13, bold=True)
    return STRIP_FRAME + max(9, name.mm + 3) + rows + stops


def large_print_sheets(
    row: AccessRow, stops: Iterable[AccessStop | Interval], sheet: Sheet
) -> tuple[tuple[AccessStop | Interval, ...], ...]:
    """A child's day in large print, sheet by sheet."""
    name = Words(row.shown_as, sheet.width - 70, 40, bold=True, leading=1.2).mm
    team = Words(f"{row.team.id} {row.team.name}", sheet.width, LARGE, leading=LARGE_LEADING).mm
    return in_pages(stops, lambda stop: _large_mm(stop, sheet), sheet.height - LARGE_FRAME - name - team)


def _large_mm(stop: AccessStop | Interval, sheet: Sheet) -> float:
    width, line = sheet.width - 70, LARGE * LARGE_LEADING * MM_PER_POINT
    if isinstance(stop, Interval):
        label = Words(f"{stop.label}, until {stop.end}", width, LARGE, leading=LARGE_LEADING)
        return _tallest((label,), 2 * LARGE * 1.05 * MM_PER_POINT, 0) + 8.4
    room = Words(stop.heat.room, width, LARGE, bold=True, leading=LARGE_LEADING)
    return room.mm + 2 * line + 8.4


def team_key_mm(label: TeamLabel, sheet: Sheet) -> float:
    """A team in the list behind the schedule, which stands in columns."""
    width = sheet.width / TEAM_KEY_COLUMNS - 11
    words = (
        Words(f"{label.id} {label.name}", width, leading=1.2),
        Words(f"{label.club}, {label.division.name}", width, leading=1.2),
    )
    return max(11.2, sum(word.mm for word in words) + 1.6)


def pack_heat_mm(row: PackHeat, sheet: Sheet) -> float:
    """A heat in the list of a room's pack."""
    judges = ", ".join(person.name for person in row.heat.officials if person.duty == "judge")
    words = (
        Words(judges, sheet.width - 26 - 32 - 46 - 20 - 4),
        Words("x" * 6 * len(row.codes), 42),
        Words(row.heat.division.name, 24),
    )
    return _tallest(words, 2 * LINE + 2.2, 2.2)


def club_mm(club: ClubList, sheet: Sheet) -> float:
    """A club's part of the sign-in list."""
    name = Words(club.name, sheet.width, 17, bold=True).mm
    width = sheet.width - 14 - 26 - 60 - 4
    rows = 0.0
    for team in club.teams:
        rows += _tallest((Words(f"{team.label.id} {team.label.name}", width + 60),), 7.2, 2.2)
        rows += sum(_tallest((Words(child.shown_as, width, 13),), 9.2, 2.2) for child in team.children)
    return name + 18 + rows + 8


def property_mm(found: Property, sheet: Sheet) -> float:
    """A property of the fairness page with its rows."""
    what = Words(found.words, sheet.width - 130 - 2, bold=True, leading=FAIR_LEADING).mm + 1.3
    rows = 0.0
    for row in found.rows:
        words = (
            Words(row.where, 16, leading=FAIR_LEADING),
            Words(row.measured, 20, bold=True, leading=FAIR_LEADING),
            Words(row.limit, 24, leading=FAIR_LEADING),
            Words(row.best, 16, leading=FAIR_LEADING),
            Words(row.worst, 24, leading=FAIR_LEADING),
            Words(_kept(row), 18, leading=FAIR_LEADING),
        )
        rows += _tallest(words, 6.0, 1.3)
    return max(what, rows)


def _kept(row: FairnessRow) -> str:
    """What the page says about the limit of a row."""
    if row.found_best:
        return "fewest found"
    if row.kept is False:
        return "✗ not kept, but no plan can do better" if row.proven_best else "✗ not kept"
    return "no limit" if row.kept is None else "✓ kept"


def wave_mm(row: WaveRow | Interval, sheet: Sheet, size: float, with_officials: bool) -> float:
    """A wave of the schedule. size: of the type, in points."""
    if isinstance(row, Interval):
        return PAUSE
    column = (sheet.width - max(17, 4.2 * size * MM_PER_POINT) * (1 + with_officials)) / len(row.heats) - 2
    tallest = max((_heat_mm(heat, column, size, with_officials) for heat in row.heats if heat), default=0.0)
    free = Words(f"Could step in: {', '.join(row.free)}", sheet.width - 34, 9).mm + 1.6 if with_officials else 0
    return tallest + 1.8 + free


def _heat_mm(heat: HeatView, column: float, size: float, with_officials: bool) -> float:
    teams = (len(heat.teams) or 2) * size * 1.15 * MM_PER_POINT  # two lines where they are still to be drawn
    if not with_officials:
        return teams + (Words(heat.name, column - 4, 9, leading=1.15).mm if heat.name else 0)
    names = Words(f"C J T {', '.join(person.name for person in heat.officials)}", column, 9)
    return teams + Words(f"{heat.division.name} {heat.id} · {heat.name}", column - 4, 9).mm + names.mm


def door_sheets(doors: Iterable[DoorSheet], sheet: Sheet) -> tuple[DoorSheet, ...]:
    """What hangs on the doors, sheet by sheet: the names are too large to be many."""
    found = []
    for door in doors:
        room = sheet.height - DOOR_FRAME - Words(door.room, sheet.width - 62, 34, bold=True, leading=1).mm
        found += [replace(door, rows=rows) for rows in in_pages(door.rows, lambda row: _door_row_mm(row, sheet), room)]
    return tuple(found)


def _door_row_mm(row: HeatView | Interval, sheet: Sheet) -> float:
    width = sheet.width - 42 - 12
    if isinstance(row, Interval):
        return Words(f"{row.label}, until {row.end}", width, 20, leading=1.1).mm + 2.2
    drawn = [f"{team.id} {team.name}" for team in row.teams] or [f"{row.division.name}, round 1: drawn later"]
    teams = sum(Words(words, width, 20, leading=1.1).mm for words in drawn)
    below = sum(Words(words, 38, 17, leading=1.1).mm for words in (row.division.name, row.name) if words)
    return max(teams, 26 * MM_PER_POINT + below) + 2.2


def stage_mm(stage: Stage, sheet: Sheet) -> float:
    """A part of the coordinator's day."""
    width = sheet.width - 14 - 20 - (68 if any(task.sheets for task in stage.tasks) else 0) - 4
    rows = sum(_tallest((Words(task.words, width),), 8.4, 2.6) for task in stage.tasks)
    return 12 + 8 + rows


def print_row_mm(page: Page, sheet: Sheet) -> float:
    """A line of the print run."""
    words = (Words(page.title, sheet.width - 14 - 70 - 54 - 4, leading=1.2), Words(page.path, 66, 9, leading=1.25))
    return _tallest(words, 6.7, 2.2)


def board_rows(board: Board, sheet: Sheet) -> tuple[tuple[tuple[TeamLabel, ...], ...], float]:
    """The teams of a board, page by page, and the height of a row: as high as the page allows, 8 to 13 mm."""
    crib = sum(Words(f"{step.words}: {step.by_hand}", sheet.width / 2 - 14, 9).mm + 0.8 for step in board.steps)
    left = sheet.room - 12 - crib / 2 - TINY  # a step of it is not parted, so the columns are not quite as long

    def row_mm(team: TeamLabel) -> float:
        return _tallest((Words(f"{team.id} {team.name}{' pool A' * bool(team.pool)}", 56),), BOARD_ROW[0], 2.2)

    teams = in_pages(board.teams, row_mm, left)
    spare = min((left - sum(map(row_mm, page))) / max(1, len(page)) for page in teams)
    return teams, min(BOARD_ROW[1], BOARD_ROW[0] + max(0, spare))
