"""Replanning a day of 120 teams: seconds, and changes beside the lower bound and beside a day that is drawn anew.

python -m tests.benchmarks.replan, in the checkout, writes replan.md beside this file and returns 1 when a target is
missed. The calls are drawn once, before the clock starts; so is the day.
"""

import sys
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, date, datetime
from pathlib import Path
from statistics import median
from time import perf_counter, process_time

from tests.benchmarks.whole_process import machine
from tourney.canon.syllabus import built_in
from tourney.draw import Draw
from tourney.model.event import Event
from tourney.model.people import Contestant, EnteredOfficial, EnteredTeam, Official, Roster, Team
from tourney.planning.plan import plan_day
from tourney.planning.replan.changes import Changes, Fewer, LateTeam
from tourney.planning.replan.replan import PlayedDay, replan
from tourney.planning.replan.sets import Source
from tourney.planning.roster import enrol
from tourney.planning.schedule import draw_schedule

HERE = Path(__file__).parent
TARGET = 0.5  # seconds of one core
TIMES = 5
DIVISIONS, TEAMS, CLUBS, ROOMS, OFFICIALS = ("Junior", "Middle", "Senior"), 40, 20, 14, 84
NOW = "11:00"
LATE = LateTeam(
    Team("J41", "Latecomers", "Quillmere", "Junior", ("J41-1", "J41-2", "J41-3")),
    tuple(Contestant(f"J41-{n}", f"Late Child{n}") for n in (1, 2, 3)),
)


@dataclass(frozen=True, slots=True)
class Row:
    """One mishap. seconds: of one core. anew: heats that would change if the rest of the day were drawn anew."""

    what: str
    seconds: float
    counts: str
    anew: str


def entered() -> tuple[Event, Roster]:
    """The event and its people; all names are numbers."""
    event = Event(
        name="A large day",
        date=date(2027, 4, 17),
        timezone="UTC",
        draw_words="a benchmark",
        rooms=[{"name": f"Room {n}"} for n in range(ROOMS)],
        divisions=[{"name": name, "ages": (8, 10)} for name in DIVISIONS],
    )
    teams = [
        EnteredTeam(
            f"{division} {n}",
            f"Club {n % CLUBS}",
            division,
            tuple(Contestant("", f"C {n} {seat}") for seat in range(4)),
        )
        for division in DIVISIONS
        for n in range(TEAMS)
    ]
    helpers = [
        EnteredOfficial(Official("", f"H {n}", clubs=(f"Club {n % CLUBS}",) if n % 2 else ())) for n in range(OFFICIALS)
    ]
    return event, enrol(teams, helpers, event, None)


def mishaps(day: PlayedDay) -> Iterator[tuple[str, Changes]]:
    """What may happen at eleven."""
    open_heats = [heat for heat in day.plan.heats if heat.wave not in day.held]
    used = {room.name: sum(heat.room == room.name for heat in open_heats) for room in day.plan.event.rooms}
    spare, busy = min(used, key=lambda room: (used[room], room)), max(used, key=lambda room: (used[room], room))
    yield "a team absent", Changes(absent=("J03",))
    yield "five teams absent", Changes(absent=("J03", "J07", "M11", "M12", "S20"))
    yield "an official out", Changes(officials_out=(open_heats[0].judges[0],))
    yield "a child out", Changes(contestants_out=("M05-2",))
    yield f"the room with fewest heats lost ({used[spare]})", Changes(rooms_lost=(spare,))
    yield f"the room with most heats lost ({used[busy]})", Changes(rooms_lost=(busy,))
    yield "twenty minutes late", Changes(delay=20)
    yield "twelve calls in round 4", Changes(fewer=(Fewer(12, 4),))
    yield "a call set leaked", Changes(leaked=(open_heats[-1].call_set,))
    yield "a team late", Changes(late=(LATE,))


def drawn_anew(day: PlayedDay, changes: Changes) -> str:
    """Heats that a new draw of the day without these teams or rooms would not leave as they were; the peer."""
    if not (changes.absent or changes.rooms_lost):
        return ""
    roster = Roster(
        tuple(team for team in day.roster.teams if team.id not in changes.absent),
        day.roster.contestants,
        day.roster.officials,
    )
    rooms = tuple(room for room in day.plan.event.rooms if room.name not in changes.rooms_lost)
    event = day.plan.event.model_copy(update={"rooms": rooms})
    fresh = {(heat.teams, heat.wave, heat.room) for heat in draw_schedule(event, roster, Draw("a benchmark"), 1).heats}
    later = [heat for heat in day.plan.heats if heat.wave not in day.held]
    return f"{sum((heat.teams, heat.wave, heat.room) not in fresh for heat in later)} of {len(later)} heats"


def rows() -> list[Row]:
    """Every mishap, measured."""
    event, roster = entered()
    began = perf_counter()
    plan, book = plan_day(event, roster, built_in(), "a secret", "")
    print(f"planned in {perf_counter() - began:.1f} s", file=sys.stderr)
    held = frozenset(wave.id for wave in plan.waves if f"{wave.start:%H:%M}" <= NOW)
    day = PlayedDay(plan, book, roster, held, NOW, {wave.id: wave.start for wave in plan.waves})
    source = Source(built_in(), Draw("a benchmark", "a secret revision 2"))
    found = []
    for what, changes in mishaps(day):
        taken = []
        for _ in range(TIMES):
            began = process_time()
            after = replan(day, changes, source)
            taken.append(process_time() - began)
        counts = "; ".join(f"{need.bound} {need.must}, {need.made} {need.done}" for need in after.needs)
        found.append(Row(what, median(taken), counts, drawn_anew(day, changes)))
    return found


def main() -> int:
    """Measure, and write the table."""
    found = rows()
    lines = [
        "# Replanning",
        "",
        f"{machine()}; {datetime.now(UTC):%Y-%m-%d}. Written by `python -m tests.benchmarks.replan`: "
        f"{len(DIVISIONS) * TEAMS} teams in pairs, {ROOMS} rooms, {OFFICIALS} officials, at {NOW}; "
        f"median of {TIMES} runs, target {TARGET} s.",
        "",
        "| what happened | of one core | the bound, and what was changed | a new draw would change |",
        "|---|---:|---|---|",
        *(f"| {row.what} | {row.seconds:.2f} s | {row.counts} | {row.anew} |" for row in found),
    ]
    (HERE / "replan.md").write_text("\n".join(lines) + "\n", encoding="utf-8")
    print("\n".join(lines))
    return int(any(row.seconds > TARGET for row in found))


if __name__ == "__main__":
    raise SystemExit(main())
