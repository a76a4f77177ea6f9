"""What finals leave behind: rows of the record, heats in the plan, papers, documents and pages."""

from collections.abc import Sequence
from dataclasses import replace
from datetime import datetime, timedelta
from pathlib import Path
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

from tourney.errors import FileTrouble

if TYPE_CHECKING:
    from tourney.day.finals import Asked, FinalsDay
    from tourney.day.state import PlannedDay
    from tourney.model.plan import Plan
    from tourney.model.standing import Results
    from tourney.planning.finals import DueHeat
    from tourney.record.row import Entry

STEP = timedelta(minutes=5)  # to which the clock is rounded up


def record_stage(
    folder: Path, day: "PlannedDay", entries: Sequence["Entry"], due: Sequence["DueHeat"], asked: "Asked", now: datetime
) -> tuple["PlannedDay", tuple[str, ...]]:
    """Rulings and the heats that are due into the record, as the next revision of the plan; and their papers."""
    from tourney.day.state import read_day
    from tourney.draw import Draw
    from tourney.intake.folder import read_folder
    from tourney.papers.finals_pack import write_finals_papers
    from tourney.planning.finals import draw_stage
    from tourney.planning.replan.sets import Source
    from tourney.record.collecting import plan_entry
    from tourney.record.folder import EventFiles, secret, write_book, write_plan
    from tourney.record.journal import Journal

    record = EventFiles(folder).record(day.plan.event)
    dropped = _dropped(day)
    if not due and not dropped and not asked.redraw:
        if entries:
            with Journal.open(record) as journal:
                journal.append_all(entries, at=now)
        return day, ()
    left = tuple(heat for heat in day.plan.heats if heat.id not in dropped)
    fresh = replace(day.plan, revision=day.plan.revision + 1, heats=left)
    source = Source(read_folder(folder).syllabus, Draw(fresh.draw.words, f"{secret(folder)} revision {fresh.revision}"))
    plan, book = fresh, day.book
    if due:
        plan, book = draw_stage(fresh, day.book, day.roster, due, source, _earliest(fresh, now))
    why = f"finals: {', '.join(one.heat for one in due) or 'no heat'}"
    if dropped:
        why += f"; without {', '.join(dropped)}, which need not be held"
    if asked.redraw:
        why += f"; {', '.join(asked.redraw)} drawn anew: {asked.why.strip()}"
    if asked.replay:
        why += f"; {', '.join(asked.replay)} once more: {asked.why.strip()}"
    entry = replace(plan_entry(plan, day.roster, book), by=asked.by.strip(), why=why)
    write_book(folder, book)
    try:
        with Journal.open(record) as journal:
            journal.append_all([*entries, entry], at=now)
    except FileTrouble:
        write_book(folder, day.book)
        raise
    write_plan(folder, plan)  # should this fail, `plan` writes it from the record
    heats = frozenset(one.heat for one in due)
    if not heats:
        return read_day(folder), ()
    return read_day(folder), write_finals_papers(folder, plan, book, day.roster, source.syllabus, heats).files


def _dropped(day: "PlannedDay") -> tuple[str, ...]:
    """Heats in the plan that will not be held, since others belong in them and are decided without: nobody heard them.

    Who was to stand there may stand elsewhere now.
    """
    from tourney.day.finals import heats_in, stand

    heard = heats_in(day)
    return tuple(heat for found in stand(day) for heat in found.needless if heat not in heard)


def was_final(folder: Path, told: "FinalsDay") -> bool:
    """Whether just this was written as final before: it stays so, whatever the clock says."""
    from tourney.files import read_json
    from tourney.record.folder import EventFiles

    path = EventFiles(folder).results / "finals.json"
    try:
        return path.exists() and read_json(path) == replace(told, state="final").document()
    except FileTrouble:
        return False


def write_finals(folder: Path, day: "PlannedDay", told: "FinalsDay", rounds: "Results") -> tuple[str, ...]:
    """results/: finals.json, a page a bracket, and once all is decided the entries onward; brackets as worksheets.

    rounds: the results of the rounds, for the award list.
    """
    from tourney.day.results import awards
    from tourney.files import write_json, write_text
    from tourney.papers.bracket_page import bracket_page
    from tourney.papers.finals_pack import write_brackets
    from tourney.papers.onward import write_onward
    from tourney.record.folder import EventFiles

    where = EventFiles(folder).results
    brackets = [found.bracket for found in told.divisions if found.bracket]
    write_json(where / "finals.json", told.document())
    if not brackets:
        return ("results/finals.json",)
    names = ["finals.json"]
    for page in awards(day, rounds):
        write_text(where / page.path, page.html)
        names.append(page.path)
    for bracket in brackets:
        page = bracket_page(day.plan, day.roster, bracket, told.team_names)
        write_text(where / page.path, page.html)
        names.append(page.path)
    book = write_brackets(folder, day.plan, brackets, told.team_names)
    places = {team: place for found in told.divisions if found.over for place, team in found.places}
    onward = write_onward(where, day.roster, places).files if places else ()
    return (*(f"results/{name}" for name in (*names, *onward)), *book.files)


def _earliest(plan: "Plan", now: datetime) -> datetime:
    """When the next heat can start: once its people have walked and rested, on the day itself not before now."""
    last = plan.waves[-1].end
    here = now.astimezone(ZoneInfo(plan.event.timezone))
    if here.date() != plan.event.date:
        return last
    ready = here + timedelta(minutes=max(plan.event.day.changeover, plan.event.day.rest))
    over = timedelta(minutes=ready.minute % 5, seconds=ready.second, microseconds=ready.microsecond)
    return ready - over + (STEP if over else timedelta())
