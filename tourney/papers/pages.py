"""Pages in HTML, in the order in which they are printed: who reads what stands in the folders' names."""

from collections.abc import Iterator
from dataclasses import replace
from itertools import chain
from typing import Any

from tourney.canon.syllabus import Syllabus
from tourney.model.called import called
from tourney.model.calls import CallBook
from tourney.model.people import Roster
from tourney.model.plan import Plan
from tourney.papers.access import AccessStop, access_rows
from tourney.papers.awards import award_sheets, blank_lists
from tourney.papers.board import boards, cribs
from tourney.papers.briefing import briefing
from tourney.papers.call_pages import drill_offs, practice, whole_sets
from tourney.papers.call_report import report_sheets
from tourney.papers.drawings import drawings
from tourney.papers.fairness import Property, properties
from tourney.papers.file_names import file_name, file_names
from tourney.papers.heights import (
    TEAM_KEY_COLUMNS,
    access_mm,
    board_rows,
    cards_mm,
    club_mm,
    door_sheets,
    large_print_sheets,
    pack_heat_mm,
    print_row_mm,
    property_mm,
    stage_mm,
    team_key_mm,
    team_strip_mm,
    wave_mm,
)
from tourney.papers.itineraries import OfficialStrip, TeamStrip, official_strips, team_strips
from tourney.papers.page_writer import Page, Writer
from tourney.papers.paging import in_pages
from tourney.papers.room_packs import TOTALS, blank_sheets, room_packs
from tourney.papers.run_sheet import run_sheet
from tourney.papers.scripts import scripts
from tourney.papers.sheet_face import RULES
from tourney.papers.sign_in import sign_in_lists
from tourney.papers.text_cells import MM_PER_POINT
from tourney.papers.views import Hall, HeatView, Interval, WaveRow, in_order

NOTE_MM = 25.0  # a paragraph that stands at the head of a first page
SCHEDULE_HEAD_MM = 16.0
SLIPS = 12  # protests that can be written down
TABLE_HEAD_MM, FAIR_HEAD_MM, LEAD_MM = 8.0, 12.0, 14.0  # headings of a table, of fairness; a sentence at the head
WHOLE_SETS = {"final": "Finals", "reserve": "Reserve set"}


def pages(plan: Plan, book: CallBook, roster: Roster, syllabus: Syllabus) -> Iterator[Page]:
    """Every page; paths are below papers/."""
    hall, write = Hall(plan, roster), Writer(plan)
    made = [
        *_public(hall, write),
        *_coordinator(hall, write, book, syllabus),
        *_rooms(hall, write, book),
        *_clubs(hall, write),
        *_officials(hall, write),
        *_steward(hall, write),
        _emergency(hall, write),
        *_callers(hall, write, called(plan, book), syllabus),
    ]
    yield from made
    yield _print_run(write, [page for page in made if page.copies], plan.event.day.paper)


def heat_pages(plan: Plan, book: CallBook, roster: Roster, syllabus: Syllabus) -> Iterator[Page]:
    """What the heats of a plan need in their rooms: door sheets, room packs, scripts. Paths as those of `pages`."""
    hall, write = Hall(plan, roster), Writer(plan)
    doors = [replace(door, rows=tuple(row for row in door.rows if isinstance(row, HeatView))) for door in hall.doors]
    yield write("public/doors.html", "doors.html", "Door sheet", doors=door_sheets(doors, write.tall))
    yield from _rooms(hall, write, book)
    yield from _scripts(hall, write, called(plan, book), syllabus)


def _public(hall: Hall, write: Writer) -> Iterator[Page]:
    size = _schedule_size(hall, write.wide.room)
    yield _schedule(hall, write, "public/schedule.html", "Schedule", size, with_officials=False)
    yield write("public/doors.html", "doors.html", "Door sheet", doors=door_sheets(hall.doors, write.tall))
    rows = tuple((board, *board_rows(board, write.wide)) for board in boards(hall))
    yield write("public/standings_board.html", "board.html", "Standings board", turn="landscape", boards=rows)


def _coordinator(hall: Hall, write: Writer, book: CallBook, syllabus: Syllabus) -> Iterator[Page]:
    day, room = hall.plan.event.day, write.tall.room
    yield write(
        "coordinator/run_sheet.html",
        "run_sheet.html",
        "The day, step by step",
        sheets=in_pages(run_sheet(hall), lambda stage: stage_mm(stage, write.tall), room),
    )
    yield _schedule(hall, write, "coordinator/schedule.html", "Schedule with officials", 10, with_officials=True)
    yield _fairness(hall, write, syllabus)
    report = report_sheets(hall, book, syllabus, write.wide.room)
    yield write("coordinator/call_sets.html", "call_sets.html", "Call sets", turn="landscape", sheets=report)
    lists = [part for parts in sign_in_lists(hall).values() for part in parts]
    yield write(
        "coordinator/sign_in.html",
        "sign_in.html",
        "Sign-in list",
        sheets=in_pages(lists, lambda part: club_mm(part, write.tall), room, NOTE_MM),
        keep_days=day.keep_days,
    )
    numbers = range(1, SLIPS + 1)
    title = "Chief judge’s log"
    yield write("coordinator/protests.html", "protests.html", title, numbers=numbers, minutes=day.protest_minutes)
    blanks = award_sheets(blank_lists(hall), write.tall, NOTE_MM)
    yield write("coordinator/awards.html", "awards.html", "Award list", sheets=blanks, provisional=False)


def _schedule(hall: Hall, write: Writer, path: str, title: str, size: float, *, with_officials: bool) -> Page:
    rows = in_pages(
        hall.schedule,
        lambda row: wave_mm(row, write.wide, size, with_officials),
        write.wide.room - SCHEDULE_HEAD_MM,
    )
    columns = in_pages(hall.teams.values(), lambda label: team_key_mm(label, write.wide), write.wide.room)
    key = (columns[start : start + TEAM_KEY_COLUMNS] for start in range(0, len(columns), TEAM_KEY_COLUMNS))
    return write(
        path,
        "schedule.html",
        title,
        turn="landscape",
        with_officials=with_officials,
        size=size,
        divisions=tuple(hall.divisions.values()),
        rooms=tuple(room.name for room in hall.plan.event.rooms),
        sheets=rows,
        team_sheets=tuple(tuple(chain.from_iterable(beside)) for beside in key),
    )


def _schedule_size(hall: Hall, room_mm: float) -> float:
    """Type size in points, 9 to 14, with which the public schedule fills one page at most, as long as 9 can do it."""
    rows = [[heat for heat in row.heats if heat] for row in hall.schedule if isinstance(row, WaveRow)]
    lines = sum(max(len(heat.teams) + bool(heat.name) for heat in heats) for heats in rows)
    left = room_mm - SCHEDULE_HEAD_MM - 2 * len(hall.schedule) - 6 * len(hall.pauses)
    return max(9.0, min(14.0, left / lines / (1.15 * MM_PER_POINT) // 0.5 / 2))


def _fairness(hall: Hall, write: Writer, syllabus: Syllabus) -> Page:
    measured = properties(hall.plan.fairness, syllabus)
    kept, broken = (sum(row.kept is wanted for found in measured for row in found.rows) for wanted in (True, False))
    last = measured[-1:]

    def height(found: Property) -> float:
        return property_mm(found, write.tall) + (NOTE_MM if (found,) == last else 0)

    sheets = in_pages(measured, height, write.tall.room - FAIR_HEAD_MM, LEAD_MM)
    drawn = drawings(hall, write.tall.width)
    pictures = in_pages(drawn, lambda picture: picture.height, write.tall.room) if drawn else ()
    views: dict[str, Any] = {"sheets": sheets, "kept": kept, "broken": broken, "pictures": pictures}
    return write("coordinator/fairness.html", "fairness.html", "Fairness", **views)


def _rooms(hall: Hall, write: Writer, book: CallBook) -> Iterator[Page]:
    packs = room_packs(hall, book)
    for room, name in file_names(packs).items():
        room_mm = write.tall.room - TABLE_HEAD_MM
        views: dict[str, Any] = {
            "pack": packs[room],
            "doors": door_sheets([packs[room].door], write.tall),
            "lists": in_pages(packs[room].heats, lambda row: pack_heat_mm(row, write.tall), room_mm, NOTE_MM),
            "workbook": f"{name}.xlsx",
            "totals": TOTALS,
            "judge_rules": RULES,
        }
        yield write(f"judges/{name}.html", "pack.html", f"Room pack, {room}", turn="landscape", **views)


def _clubs(hall: Hall, write: Writer) -> Iterator[Page]:
    by_club, lists = team_strips(hall), sign_in_lists(hall)
    for club, name in file_names(by_club).items():
        views: dict[str, Any] = {
            "sheets": _team_sheets(by_club[club], write),
            "sign_in": in_pages(lists[club], lambda part: club_mm(part, write.tall), write.tall.room, NOTE_MM),
        }
        yield write(f"clubs/{name}.html", "club.html", club, **views)
    for strips in by_club.values():
        for strip in strips:
            path = f"teams/{strip.team.id}_{file_name(strip.team.name)}.html"
            yield write(path, "team.html", strip.team.name, copies=0, strip=strip)


def _team_sheets(strips: tuple[TeamStrip, ...], write: Writer) -> tuple[tuple[TeamStrip, ...], ...]:
    return in_pages(strips, lambda strip: team_strip_mm(strip, write.tall), write.tall.room)


def _official_sheets(hall: Hall, write: Writer) -> tuple[tuple[tuple[OfficialStrip, ...], ...], ...]:
    """Sheets of pairs of cards."""
    strips = official_strips(hall)
    pairs = [strips[at : at + 2] for at in range(0, len(strips), 2)]
    return in_pages(pairs, lambda pair: cards_mm(pair, write.tall), write.tall.room)


def _officials(hall: Hall, write: Writer) -> Iterator[Page]:
    officials = len(hall.roster.officials)
    yield write("officials/briefing.html", "briefing.html", "Briefing", copies=officials, **briefing(hall))
    strips = _official_sheets(hall, write)
    yield write("officials/itineraries.html", "officials.html", "Officials’ itineraries", sheets=strips)


def _steward(hall: Hall, write: Writer) -> Iterator[Page]:
    rows = access_rows(hall)
    sheets = in_pages(rows, lambda row: access_mm(row, write.tall), write.tall.room, NOTE_MM)
    yield write("steward/access_list.html", "access.html", "Access list", sheets=sheets)
    for row in rows:
        if row.large_print:
            path, title = f"steward/{row.large_print}", f"Itinerary of {row.id} in large print"
            stops: list[AccessStop | Interval] = [*row.stops, *hall.pauses]
            day = large_print_sheets(row, in_order(stops), write.tall)
            yield write(path, "large_print.html", title, copies=0, row=row, sheets=day)


def _emergency(hall: Hall, write: Writer) -> Page:
    strips = tuple(strip for found in team_strips(hall).values() for strip in found)
    return write(
        "coordinator/emergency.html",
        "emergency.html",
        "Emergency pack",
        cribs=cribs(boards(hall)),
        blanks=blank_sheets(hall),
        totals=TOTALS,
        judge_rules=RULES,
        team_sheets=_team_sheets(strips, write),
        official_sheets=_official_sheets(hall, write),
    )


def _callers(hall: Hall, write: Writer, book: CallBook, syllabus: Syllabus) -> Iterator[Page]:
    divisions = practice(hall, book, syllabus)
    if divisions:
        title, copies = "Practice calls", len({heat.room for heat in hall.heats.values()})
        yield write("callers/practice_calls.html", "practice.html", title, copies=copies, divisions=divisions)
    found = {one.division.name: one for one in drill_offs(hall, book, syllabus)}
    for division, name in file_names(found).items():
        title = f"Drill-off script, {division}"
        yield write(f"callers/drill_off/{name}.html", "drill_off.html", title, found=found[division])
    for use, divisions in whole_sets(hall, book, syllabus).items():
        sets = {one.division.name: one for one in divisions}
        for division, name in file_names(sets).items():
            words = WHOLE_SETS[use]
            title = f"{words} script, {division}"
            yield write(f"callers/{use}/{name}.html", "spare.html", title, use=words, found=sets[division])
    yield from _scripts(hall, write, book, syllabus)


def _scripts(hall: Hall, write: Writer, book: CallBook, syllabus: Syllabus) -> Iterator[Page]:
    by_room = scripts(hall, book, syllabus)
    for room, name in file_names(by_room).items():
        yield write(f"callers/{name}.html", "script.html", f"Caller’s script, {room}", scripts=by_room[room])


def _print_run(write: Writer, made: list[Page], paper: str) -> Page:
    total = sum(page.sheets * page.copies for page in made)
    room_mm = write.tall.room - TABLE_HEAD_MM
    sheets = in_pages(made, lambda page: print_row_mm(page, write.tall), room_mm, NOTE_MM)
    return write("coordinator/print_run.html", "print_run.html", "Print run", sheets=sheets, total=total, paper=paper)
