"""Pages in HTML: each one file that stands by itself, prints on A4 or Letter, and needs no network."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from jinja2 import Environment, FileSystemLoader, StrictUndefined

from tourney import resources
from tourney.canon.syllabus import Syllabus
from tourney.model.calls import CallBook
from tourney.model.people import Roster
from tourney.model.plan import Plan
from tourney.papers.access import access_rows
from tourney.papers.fairness import properties
from tourney.papers.file_names import file_names
from tourney.papers.itineraries import official_strips, team_strips
from tourney.papers.scripts import scripts
from tourney.papers.stamp import Stamp
from tourney.papers.views import Hall, Interval, WaveRow

PAPER_MM = {"A4": (210.0, 297.0), "Letter": (215.9, 279.4)}  # ISO 216; ANSI/ASME Y14.1
MARGINS_MM = (24, 26)  # across and along, as in print.css; along with a little room to spare
LINE_MM_A_POINT = 1.15 * 25.4 / 72
DUTY_NAMES = {
    "judge": ("Judge", "Judges"),
    "caller": ("Caller", "Callers"),
    "timekeeper": ("Timekeeper", "Timekeepers"),
}


@dataclass(frozen=True, slots=True)
class Sheet:
    """The paper a page is printed on. width, height: of what fits between the margins, in mm."""

    paper: str
    turn: str
    width: float
    height: float

    @staticmethod
    def of(paper: str, turn: str = "portrait") -> "Sheet":
        """A4 or Letter, portrait or landscape."""
        width, height = PAPER_MM[paper] if turn == "portrait" else PAPER_MM[paper][::-1]
        return Sheet(paper, turn, width - MARGINS_MM[0], height - MARGINS_MM[1])


def pages(plan: Plan, book: CallBook, roster: Roster, syllabus: Syllabus) -> Iterator[tuple[str, str]]:
    """Every page as (path below papers/, HTML)."""
    hall = Hall(plan, roster)
    write = _Writer(_environment(), Stamp.of(plan), plan.event.day.paper)
    schedule: dict[str, Any] = {
        "divisions": tuple(hall.divisions.values()),
        "rooms": tuple(room.name for room in plan.event.rooms),
        "schedule": hall.schedule,
        "teams": tuple(hall.teams.values()),
    }
    for folder, with_officials in (("public", False), ("coordinator", True)):
        title = "Schedule with officials" if with_officials else "Schedule"
        size = 10 if with_officials else _schedule_size(hall, Sheet.of(plan.event.day.paper, "landscape"))
        page = write("schedule.html", title, "landscape", with_officials=with_officials, size=size, **schedule)
        yield f"{folder}/schedule.html", page
    yield "public/doors.html", write("doors.html", "Door sheet", doors=hall.doors)
    measured = properties(plan.fairness, syllabus)
    kept, broken = (sum(row.kept is wanted for found in measured for row in found.rows) for wanted in (True, False))
    page = write("fairness.html", "Fairness", properties=measured, kept=kept, broken=broken)
    yield "coordinator/fairness.html", page
    by_room = scripts(hall, book, syllabus)
    for room, name in file_names(by_room).items():
        yield f"callers/{name}.html", write("script.html", f"Caller’s script, {room}", scripts=by_room[room])
    by_club = team_strips(hall)
    for club, name in file_names(by_club).items():
        yield f"teams/{name}.html", write("teams.html", club, strips=by_club[club])
    yield "officials/itineraries.html", write("officials.html", "Officials’ itineraries", strips=official_strips(hall))
    yield "steward/access_list.html", write("access.html", "Access list", rows=access_rows(hall))


@dataclass(frozen=True, slots=True)
class _Writer:
    environment: Environment
    stamp: Stamp
    paper: str

    def __call__(self, template: str, title: str, turn: str = "portrait", **views: Any) -> str:
        sheet = Sheet.of(self.paper, turn)
        return self.environment.get_template(template).render(title=title, stamp=self.stamp, sheet=sheet, **views)


def _environment() -> Environment:
    found = Environment(
        loader=FileSystemLoader(resources.templates() / "pages"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    found.tests["interval"] = lambda row: isinstance(row, Interval)
    found.globals["duty_names"] = DUTY_NAMES
    found.globals["parts"] = found.get_template("parts.html").module
    return found


def _schedule_size(hall: Hall, sheet: Sheet) -> float:
    """Type size in points, 9 to 14, with which the public schedule fills one page at most, as long as 9 can do it."""
    lines = sum(max(len(heat.teams) for heat in row.heats if heat) for row in hall.schedule if isinstance(row, WaveRow))
    room_mm = sheet.height - 42 - 2 * len(hall.schedule)  # less the heading, the foot, and the space between rows
    return max(9.0, min(14.0, room_mm / (lines + len(hall.pauses)) / LINE_MM_A_POINT // 0.5 / 2))
