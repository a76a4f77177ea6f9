"""A small day made by hand, for papers: no planner, no clock. Every person, club and place is invented."""

import shutil
import subprocess
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, time, timedelta
from functools import cache
from pathlib import Path
from typing import Literal, TypeVar
from zoneinfo import ZoneInfo

import pytest

from tourney.canon.syllabus import Syllabus, built_in
from tourney.draw import digest
from tourney.model.calls import Call, CallBook, CallSet, Speakers, Use
from tourney.model.event import Day, Division, Event, Pause, Room
from tourney.model.people import Contestant, Official, Roster, Team
from tourney.model.plan import DrawRecord, FairnessLine, Heat, Plan, PublicOfficial, SealedSet, Wave

CLUBS = (
    "Gull Point",
    "Copper Mill",
    "Fernbank",
    "St. Quill / Marsh: Youth",
    "<script>alert(1)</script>",
    "=Tallow+Row",
)
FIRST = ("Orla", "Tamsin", "Bram", "Idris", "Wren", "Cosmo", "Delphine", "Ewan", "Fleur", "Gideon", "Hollis", "Juno")
LAST = ("Vantongeren", "Okpilo", "Marrowby", "Quillfeather", "Saltash", "Thrupple", "Underbough")
GROWN = ("Brackwater", "Ashcombe-Tarn", "Pellow", "Grindle", "Oxtoby", "Lanyard", "Merrifold")
STRANGE = (
    "نور الهادئ",
    "小林 波",
    "<b>Ned</b> Tack",
    "=SUM(A1) Oddly",
    "Maximiliana-Theodosia Featherstonehaugh-Winterbottom",
)
NEEDS = "reads large print only"
T = TypeVar("T")
ROOMS = ("Boat Shed", "Net Loft", "Con", "Map / Chart: Room", "Lamp Room", "Rope Walk")


@dataclass(frozen=True)
class SampleDay:
    """All that the papers are made from."""

    plan: Plan
    book: CallBook
    roster: Roster
    syllabus: Syllabus


def make_day(
    *,
    names: tuple[str, ...] = ("Junior", "Senior"),
    teams: int = 6,
    rooms: int = 3,
    calls: int = 16,
    squad: int = 4,
    judges: int = 3,
    teams_per_heat: int = 2,
    rounds: int = 3,
    paper: Literal["A4", "Letter"] = "A4",
    timekeeper: Literal["separate", "caller"] = "separate",
    zones: tuple[tuple[int, int], ...] | None = None,
    revision: int = 1,
) -> SampleDay:
    """A day whose teams all drill once a round. The third child of each division's first team has 15 seconds."""
    syllabus = built_in()
    event = Event(
        name="Pebble Harbour Drill Day",
        date=date(2027, 4, 17),
        timezone="America/Chicago",
        draw_words="salt kettle nine",
        day=Day(paper=paper, pauses=(Pause(after_wave=2, minutes=40, label="Lunch"),)),
        rooms=tuple(Room(name=name, step_free=name != "Net Loft") for name in ROOMS[:rooms]),
        divisions=tuple(
            Division(
                name=name,
                ages=(8 + 3 * place, 10 + 3 * place),
                calls=calls,
                squad=squad,
                counting=min(3, squad),
                minimum=min(2, squad),
                judges=judges,
                teams_per_heat=teams_per_heat,
                rounds=rounds,
                timekeeper=timekeeper,
                zones=zones,
            )
            for place, name in enumerate(names)
        ),
    )
    entered = [_team(name, number, squad) for name in names for number in range(1, teams + 1)]
    roster_teams = tuple(team for team, _ in entered)
    officials = tuple(
        Official(f"O{number:02}", f"{FIRST[-number % 12]} {GROWN[number % 7]}", clubs=CLUBS[: number % 2])
        for number in range(1, rooms * (judges + 2) + 1)
    )
    roster = Roster(roster_teams, tuple(child for _, members in entered for child in members), officials)
    waves, heats = _heats(event, roster_teams, rounds, [official.id for official in officials])
    book = _book(event, heats, calls, syllabus)
    plan = Plan(
        revision=revision,
        event=event,
        draw=DrawRecord(event.draw_words, digest("inputs"), digest("secret")),
        teams=roster_teams,
        drawn_rounds=dict.fromkeys(names, rounds),
        officials=tuple(PublicOfficial.of(official) for official in officials),
        waves=waves,
        heats=heats,
        byes=(),
        call_sets=tuple(SealedSet(found.id, found.division, found.use, found.fingerprint()) for found in book.sets),
        fairness=(
            FairnessLine("same_club_meetings", names[0], 0, 0, 0, True),
            FairnessLine("repeated_meetings", names[0], 2, 1, 1, False, f"{names[0][0]}01 and {names[0][0]}02"),
            FairnessLine("most_minutes_waiting", names[-1], 45, None, None, True, f"{names[-1][0]}03"),
        ),
    )
    return SampleDay(plan, book, roster, syllabus)


def _team(division: str, number: int, squad: int) -> tuple[Team, tuple[Contestant, ...]]:
    key = f"{division[0]}{number:02}"
    ids = tuple(f"{key}-{place}" for place in range(1, squad + 2))
    strange = iter(STRANGE if number == 2 else ())
    first = 11 * ord(division[0]) + len(ids) * number  # 12 and 7 share no factor: 84 names before one comes again
    children = [
        Contestant(child, next(strange, f"{FIRST[place % 12]} {LAST[place % 7]}"))
        for place, child in enumerate(ids, first)
    ]
    children[-1] = replace(children[-1], substitute=True, show_name="initial" if number == 2 else "number")
    if number == 1:
        children[min(2, squad - 1)] = replace(children[min(2, squad - 1)], seconds=15, needs=NEEDS, show_name="full")
    club = CLUBS[number % len(CLUBS)]
    return Team(key, f"{club} {division}", club, division, ids), tuple(children)


def _in_groups(things: Sequence[T], size: int) -> list[list[T]]:
    return [list(things[start : start + size]) for start in range(0, len(things), size)]


def _heats(
    event: Event, teams: tuple[Team, ...], rounds: int, officials: list[str]
) -> tuple[tuple[Wave, ...], tuple[Heat, ...]]:
    start = datetime.combine(event.date, time.fromisoformat(event.start), ZoneInfo(event.timezone))
    waves: list[Wave] = []
    heats: list[Heat] = []
    for round_no in range(1, rounds + 1):
        waiting: list[Heat] = []
        for division in event.divisions:
            own = [team for team in teams if team.division == division.name]
            ring = own[:1] + own[1:][round_no - 1 :] + own[1:][: round_no - 1]  # each round other pairs
            for number, group in enumerate(_in_groups(ring, division.teams_per_heat), 1):
                line = tuple(child for team in group for child in team.members[: division.squad])
                key = f"{division.name[0]}-R{round_no}-{number}"
                ids = tuple(team.id for team in group)
                waiting.append(Heat(key, division.name, round_no, "", "", "", ids, (), "", None, line))
        for batch in _in_groups(waiting, len(event.rooms)):
            waves.append(Wave(f"W{len(waves) + 1:02}", start, 15))
            start += timedelta(minutes=15)
            for place, (heat, room) in enumerate(zip(batch, event.rooms, strict=False)):
                division = event.division(heat.division)
                seats = officials[place * (division.judges + 2) :][: division.judges + 2]
                heats.append(
                    replace(
                        heat,
                        wave=waves[-1].id,
                        room=room.name,
                        call_set=f"{heat.division[0]}-{waves[-1].id}",
                        judges=tuple(seats[: division.judges]),
                        caller=seats[-2],
                        timekeeper=seats[-1] if division.timekeeper == "separate" else None,
                    )
                )
            pause = sum(pause.minutes for pause in event.day.pauses if pause.after_wave == len(waves))
            start += timedelta(minutes=max(event.day.changeover, pause))
    return tuple(waves), tuple(heats)


def _book(event: Event, heats: tuple[Heat, ...], calls: int, syllabus: Syllabus) -> CallBook:
    sets: dict[str, CallSet] = {}
    for heat in heats:
        if heat.call_set not in sets:
            first = 7 * len(sets)
            numbered = [_call(syllabus, number, first + 5 * number) for number in range(1, calls + 4)]
            order = 1 + sum(found.division == heat.division for found in sets.values())
            spare = tuple(replace(call, no=place) for place, call in enumerate(numbered[calls:], 1))
            sets[heat.call_set] = CallSet(
                heat.call_set,
                heat.division,
                "rotation",
                heat.round,
                order,
                event.division(heat.division).seconds,
                tuple(numbered[:calls]),
                spare,
            )
    for division in event.divisions:
        others: tuple[tuple[Use, int], ...] = (("drill_off", 3), ("drill_off", 3), ("practice", 10))
        for place, (use, size) in enumerate(others, 1):
            key = f"{division.name[0]}-{use.upper()}-{place}"
            numbered = [_call(syllabus, number, 3 + 11 * place + 4 * number) for number in range(1, size + 2)]
            spare = (replace(numbered[-1], no=1),)
            sets[key] = CallSet(key, division.name, use, None, None, division.seconds, tuple(numbered[:-1]), spare)
    speakers = (Speakers(heat.id, tuple(3 * no % len(heat.line) + 1 for no in range(calls))) for heat in heats)
    return CallBook(tuple(sets.values()), tuple(speakers))


def _call(syllabus: Syllabus, number: int, place: int) -> Call:
    item = syllabus.items[place % len(syllabus.items)]
    return Call(
        number,
        item.kind,
        item.id,
        item.section,
        item.difficulty,
        item.name,
        syllabus.answer(item.id),
        syllabus.also(item.id),
    )


@pytest.fixture(scope="session")
def office(tmp_path_factory: pytest.TempPathFactory) -> Callable[..., Path]:
    """Save a file as a spreadsheet program does: office(file, "ods") -> the new file. Skips where there is none."""
    program = shutil.which("soffice")
    if program is None:
        pytest.skip("needs a spreadsheet program")
    profile = tmp_path_factory.mktemp("profile").as_uri()

    @cache
    def convert(file: Path, kind: str) -> Path:
        into = tmp_path_factory.mktemp("office")
        command = [program, f"-env:UserInstallation={profile}", "--headless", "--convert-to", kind, "--outdir"]
        subprocess.run([*command, str(into), str(file)], check=True, capture_output=True, timeout=120)
        (made,) = into.iterdir()  # large batches have been known to lose files without a word
        return made

    return convert


@pytest.fixture(scope="session")
def new_day() -> Callable[..., SampleDay]:
    """The factory, for tests that need another size or paper."""
    return make_day


@pytest.fixture(scope="session")
def day() -> SampleDay:
    """Two divisions of six teams in three rooms."""
    return make_day()
