"""Change the plan when the day goes wrong: say what would change, and record it once it is confirmed."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any

from tourney.errors import FaultsFound, FileTrouble, Refusal
from tourney.scoring.words import counted

if TYPE_CHECKING:
    from tourney.day.state import PlannedDay
    from tourney.intake.folder import HandedIn
    from tourney.model.people import Team
    from tourney.model.plan import Plan
    from tourney.planning.replan.changes import Changes, LateTeam
    from tourney.planning.replan.replan import Replanned


@dataclass(frozen=True, slots=True)
class Asked:
    """What the coordinator types: ids or names of teams, rooms, officials, contestants, call sets; minutes; calls."""

    absent: tuple[str, ...] = ()
    late_team: Path | None = None
    late_apart: bool = False
    room_lost: tuple[str, ...] = ()
    official_out: tuple[str, ...] = ()
    contestant_out: tuple[str, ...] = ()
    leaked: tuple[str, ...] = ()
    delay: int = 0
    fewer_calls: int | None = None
    round: int | None = None


@dataclass(frozen=True, slots=True)
class Outcome:
    """A replanned day. files: where each paper to be printed lies.

    at: "HH:MM", up to which heats count as begun; 00:00 before the day.
    """

    replanned: "Replanned"
    before: "Plan"
    at: str
    confirmed: bool
    files: tuple[str, ...]

    def document(self) -> dict[str, Any]:
        """What `replan --json` prints."""
        from tourney.model.documents import dump

        found = self.replanned
        waves = {wave.id: wave.start for wave in self.before.waves}
        return {
            "format": "tourney-replan/1",
            "confirmed": self.confirmed,
            "revision": found.plan.revision,
            "at": self.at,
            "moved": [dump(move) for move in found.moved],
            "bound": [dump(need) for need in found.needs],
            "waves": [
                {"wave": wave.id, "start": wave.start.isoformat(), "minutes": wave.minutes,
                 "before": waves[wave.id].isoformat() if wave.id in waves else None}
                for wave in found.plan.waves if waves.get(wave.id) != wave.start
            ],
            "told": [dump(told) for told in found.told],
            "reprint": [dump(paper) | {"file": file} for paper, file in zip(found.reprint, self.files, strict=True)],
            "options": [dump(option) for option in found.options],
            "notes": list(found.notes),
        }  # fmt: skip


def replan(folder: Path, asked: Asked, at: str, now: datetime, *, confirm: bool) -> Outcome:
    """The next revision of the plan after what happened. at: "HH:MM" on the day, empty for now.

    Waves that began by then, or of which a sheet has come in, stay as they are. Nothing is written unless confirm:
    then the record gets the new plan, and plan.json and calls.json are written anew.
    Refusal when it can't be done; FaultsFound when a late entry must be mended first.
    """
    from tourney.day.state import read_day
    from tourney.draw import Draw
    from tourney.intake.folder import read_folder
    from tourney.planning.replan.replan import PlayedDay, replan
    from tourney.planning.replan.sets import Source
    from tourney.record.folder import secret

    day = read_day(folder)
    moment = _moment(day.plan, at, now)
    clock = "00:00" if moment.date() < day.plan.event.date else f"{moment:%H:%M}"
    sheets = {sheet.heat for sheet in day.state.versions} | {total.heat for total in day.state.totals}
    begun = {heat.wave for heat in day.plan.heats if heat.id in sheets} | set(day.state.decisions.started)
    held = frozenset(wave.id for wave in day.plan.waves if wave.start <= moment or wave.id in begun)
    if held.issuperset(wave.id for wave in day.plan.waves) and not _concerns_finals(day.plan, asked):
        raise Refusal(f"By {clock} every wave has begun or has sheets in, so there is nothing left to change.")
    if asked.late_team is not None and not asked.late_team.is_file():
        raise FileTrouble(f"{asked.late_team} does not exist.", "Check the name of the file with the late team.")
    late = read_folder(folder, asked.late_team)
    changes = _changes(day, asked, late)
    draw = Draw(day.plan.draw.words, f"{secret(folder)} revision {day.plan.revision + 1}")
    found = replan(
        PlayedDay(day.plan, day.book, day.roster, held, clock, _announced(day)), changes, Source(late.syllabus, draw)
    )
    if confirm:
        _record(folder, day, found, asked, now)
    files = tuple(_files(found))
    return Outcome(found, day.plan, clock, confirm, files)


def _concerns_finals(plan: "Plan", asked: Asked) -> bool:
    """Whether it matters once the rounds are over: finals still to be drawn do without who and what is lost."""
    lost = (*asked.absent, *asked.contestant_out, *asked.official_out, *asked.room_lost, *asked.leaked)
    waves = asked.late_team or asked.delay or asked.fewer_calls is not None
    return bool(lost) and not waves and any(division.finals != "none" for division in plan.event.divisions)


def _moment(plan: "Plan", at: str, now: datetime) -> datetime:
    from tourney.model.decisions import clock_time

    start = plan.waves[0].start
    if not at:
        return now.astimezone(start.tzinfo)
    try:
        return clock_time(start, at)
    except ValueError:
        raise Refusal(
            f'"{at}" is no time of the day.', cures=("Write hours and minutes, such as --at 10:40.",)
        ) from None


def _announced(day: "PlannedDay") -> dict[str, datetime]:
    """When each wave was first to start, by the last plan that was drawn and not replanned."""
    from tourney.model.documents import load
    from tourney.model.plan import Plan

    plans = [row for row in day.rows if row.kind == "plan"]
    drawn = [row for row in plans if "replan" not in row.body]
    first = load(Plan, drawn[-1].body["plan"]) if drawn else day.plan
    return {wave.id: wave.start for wave in first.waves}


def _changes(day: "PlannedDay", asked: Asked, late: "HandedIn") -> "Changes":
    """What was typed, as ids that the plan knows. Refusal for anything unknown, or where nothing was asked."""
    from tourney.planning.replan.changes import Changes, Fewer

    if asked == Asked():
        raise Refusal("Nothing was said to have happened.", cures=("Say what, such as --absent J05 or --delay 15.",))
    if (asked.fewer_calls is None) != (asked.round is None):
        raise Refusal("--fewer-calls and --round belong together.", cures=("Write --fewer-calls 12 --round 3.",))
    if asked.late_apart and not asked.late_team:
        raise Refusal("--late-apart belongs to --late-team.", cures=("Name the late team's file: --late-team FILE.",))
    if asked.delay < 0:
        raise Refusal("A delay is a number of minutes above 0.")
    plan, roster = day.plan, day.roster
    fewer = (Fewer(asked.fewer_calls, asked.round),) if asked.fewer_calls is not None and asked.round else ()
    return Changes(
        _known("team", asked.absent, {team.id: team.name for team in plan.teams}),
        _known("contestant", asked.contestant_out, {child.id: child.name for child in roster.contestants}),
        _late_teams(day, late, asked.late_team.name) if asked.late_team else (),
        asked.late_apart,
        _known("room", asked.room_lost, {room.name: room.name for room in plan.event.rooms}),
        _known("official", asked.official_out, {person.id: person.name for person in roster.officials}),
        _known("call set", asked.leaked, {sealed.id: sealed.id for sealed in plan.call_sets}),
        asked.delay,
        fewer,
    )


def _known(kind: str, words: Iterable[str], names: Mapping[str, str]) -> tuple[str, ...]:
    """The ids that these words mean: an id, or a name that only one has."""
    from tourney.intake.nearest import key, suggestion

    found = []
    for word in words:
        by_id = [one for one in names if key(one) == key(word)]
        by_name = [one for one, name in names.items() if key(name) == key(word)]
        meant = by_id or by_name
        if len(meant) > 1:
            raise Refusal(
                f'More than one {kind} is called "{word}": {", ".join(meant)}.', cures=("Name it by its id.",)
            )
        if not meant:
            near = suggestion(word, [*names, *names.values()]) or f"Name it by its id, such as {next(iter(names))}."
            raise Refusal(f'There is no {kind} "{word}".', cures=(near,))
        found += meant
    return tuple(dict.fromkeys(found))


def _late_teams(day: "PlannedDay", late: "HandedIn", file: str) -> tuple["LateTeam", ...]:
    """The teams of the file that the plan does not have. FaultsFound when the entries are not in order."""
    from dataclasses import replace

    from tourney.planning.pools import pool_for_one_more
    from tourney.planning.replan.changes import LateTeam
    from tourney.planning.roster import enrol

    if late.faults or late.questions:
        raise FaultsFound(late.faults, late.questions)
    known = {team.id for team in day.roster.teams}
    everyone = enrol(late.teams, late.officials, day.plan.event, day.roster)
    teams: list[Team] = []  # in their pools, if there are any
    for team in everyone.teams:
        if team.id not in known:
            there = [*day.roster.teams, *teams]
            teams.append(replace(team, pool=pool_for_one_more(team, there, day.plan.event)))
    if not teams:
        raise Refusal(f"Every team of {file} is in the plan already.")
    return tuple(
        LateTeam(
            team,
            tuple(everyone.contestant[child] for child in team.members),
            tuple(person.id for person in everyone.officials if set(person.people) & set(team.members)),
        )
        for team in teams
    )


def _record(folder: Path, day: "PlannedDay", found: "Replanned", asked: Asked, now: datetime) -> None:
    """The new revision into record and files; a late team's file among the entries."""
    from dataclasses import replace

    from tourney.files import read_bytes, write_bytes
    from tourney.record.collecting import plan_entry
    from tourney.record.folder import EventFiles, write_book, write_plan
    from tourney.record.journal import Journal

    entry = plan_entry(found.plan, found.roster, found.book)
    entry = replace(entry, body={**entry.body, "replan": True}, why=", ".join(_words(asked)))
    write_book(folder, found.book)
    try:
        with Journal.open(EventFiles(folder).record(day.plan.event)) as journal:
            journal.append_all([entry], at=now)
    except FileTrouble:
        write_book(folder, day.book)
        raise
    write_plan(folder, found.plan)  # should this fail, `plan` writes it from the record
    if asked.late_team is not None and not (folder / "entries" / asked.late_team.name).exists():
        write_bytes(folder / "entries" / asked.late_team.name, read_bytes(asked.late_team))


def _words(asked: Asked) -> Iterable[str]:
    """What happened, as the record tells it."""
    lists: Sequence[tuple[str, Iterable[object]]] = (
        ("absent", asked.absent),
        (
            "late team, in heats of its own" if asked.late_apart else "late team",
            [asked.late_team.name] if asked.late_team else [],
        ),
        ("room lost", asked.room_lost),
        ("official out", asked.official_out),
        ("contestant out", asked.contestant_out),
        ("leaked", asked.leaked),
    )
    for what, values in lists:
        yield from (f"{what}: {value}" for value in values)
    if asked.delay:
        yield f"{counted(asked.delay, 'minute')} late"
    if asked.fewer_calls is not None:
        yield f"{counted(asked.fewer_calls, 'call')} in round {asked.round}"


def _files(found: "Replanned") -> Iterable[str]:
    """For each paper to be printed, the file below papers/ that holds it."""
    from tourney.papers.file_names import file_names

    rooms = file_names(room.name for room in found.plan.event.rooms)
    clubs = file_names(sorted({team.club for team in found.plan.teams}))
    for paper in found.reprint:
        match paper.paper:
            case "score sheets":
                yield f"judges/{rooms[paper.room]}.xlsx"
            case "script":
                yield f"callers/{rooms[paper.room]}.html" if paper.room else "callers"
            case "team itineraries":
                yield f"clubs/{clubs[paper.club]}.html"
            case "officials' itineraries":
                yield "officials/itineraries.html"
            case "schedule":
                yield "public/schedule.html"
            case "door sheet":
                yield "public/doors.html"
            case "access list":
                yield "steward/access_list.html"
