"""Rank everyone."""

from dataclasses import dataclass, replace
from datetime import datetime, time, timedelta
from pathlib import Path
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

from tourney.model.decisions import minutes_behind
from tourney.model.event import Event
from tourney.model.plan import Plan
from tourney.model.standing import Results

if TYPE_CHECKING:
    from tourney.day.state import PlannedDay
    from tourney.papers.page_writer import Page


@dataclass(frozen=True, slots=True)
class Ranked:
    """Results, the event's rules, the names of teams by id, and the files written, relative to the event folder.

    chain: the hash of the record's last row, empty for an empty record. behind: minutes, None before the first start.
    unlike: sentences on rounds that would now lead to other finals than were drawn.
    """

    results: Results
    event: Event
    team_names: dict[str, str]
    files: tuple[str, ...]
    chain: str
    behind: int | None
    unlike: tuple[str, ...] = ()


def results(folder: Path, now: datetime) -> Ranked:
    """Work out the standings from the record and write results/: document, workbook, pages, and what awards need.

    Results that were final before and differ stay as published_1.json and so on; amended.html tells the difference.
    """
    from tourney.day.published import last_published
    from tourney.day.reseeding import rounds_alone, unlike_finals
    from tourney.day.state import read_day
    from tourney.files import write_json, write_text
    from tourney.intake.findings import Findings
    from tourney.intake.syllabus import read_syllabus
    from tourney.model.documents import dump
    from tourney.papers.amended_page import amended_page
    from tourney.papers.results_page import results_pages
    from tourney.papers.results_workbook import write_results_workbook
    from tourney.record.folder import EventFiles
    from tourney.scoring.changes import changes_between

    day = read_day(folder)
    found = standings(day, now)
    written = EventFiles(folder).results
    state, syllabus = day.state, read_syllabus(folder, day.plan.event, Findings())
    write_results_workbook(
        written / "results.xlsx", found, day.plan, day.roster, state.sheets, state.rulings, day.chain, syllabus
    )
    before = last_published(written, found)
    write_json(written / "results.json", dump(found))
    pages = [*results_pages(day.plan, day.roster, found, day.chain, now, syllabus), *awards(day, found)]
    if before is not None:
        changes = changes_between(before, found)
        pages.append(amended_page(day.plan, day.roster, found, changes, day.chain, now))
    for page in pages:
        write_text(written / page.path, page.html)
    names = ("results.xlsx", "results.json", *(page.path for page in pages))
    files = tuple(f"results/{name}" for name in names)
    return replace(
        _ranked(day, found, files), unlike=unlike_finals(day, rounds_alone(day, now)) if day.plan.finals else ()
    )


def results_as_of(folder: Path, at: str) -> Ranked:
    """The standings as the record had them at a time of the event's day, "HH:MM" by the hall's clock; writes nothing.

    FileTrouble when nothing was planned then, or when the calls of the plan of that time are gone.
    """
    from tourney.day.state import read_day
    from tourney.model.decisions import clock_time

    def moment(plan: Plan) -> datetime:
        midnight = datetime.combine(plan.event.date, time(), ZoneInfo(plan.event.timezone))
        return clock_time(midnight, at)

    day = read_day(folder, moment)
    return _ranked(day, standings(day, moment(day.plan)), ())


def standings(day: "PlannedDay", now: datetime) -> Results:
    """What the day's record comes to. Final once nothing is open and the time for protests is over.

    A sheet of finals that came in after that time tells so whatever the clock says, as in the record of a rehearsal.
    """
    from tourney.scoring.results import results_of

    state, finals = day.state, day.finals
    last = max((at for heat, at in state.arrived.items() if heat not in finals), default=None)
    latest = max([now, *state.arrived.values()])
    closed = last is not None and latest >= last + timedelta(minutes=day.plan.event.day.protest_minutes)
    matters = [matter for matter in state.open_matters if matter.heat not in finals]
    return results_of(day.plan, day.called, day.roster, state.sheets, closed, matters, state.decisions, state.totals)


def awards(day: "PlannedDay", found: Results) -> tuple["Page", ...]:
    """The award list, by finals where these are decided, and the certificates."""
    from tourney.day.finals import stand
    from tourney.finals.playing import final_places
    from tourney.papers.awards import award_pages

    going = stand(day)
    ended = {one.drawn.division: final_places(one.played.bracket) for one in going if one.played.over}
    return tuple(award_pages(day.plan, day.roster, found, ended, playing=len(ended) < len(going)))


def protests_end(day: "PlannedDay", results: Results, *, about_finals: bool = False) -> datetime | None:
    """When the time for protests ends by the hall's clock: minutes after the last sheet. None while one is out.

    The rounds have a time of their own, and so have the finals.
    """
    from tourney.finals.outcomes import hear

    state, finals = day.state, day.finals
    open_matters = results.open_matters
    if about_finals:
        open_matters = hear(day.plan, day.called, state.sheets, state.decisions, state.totals).open_matters
    last = max((at for heat, at in state.arrived.items() if (heat in finals) == about_finals), default=None)
    if last is None or any(matter.kind == "missing_sheet" for matter in open_matters):
        return None
    end = last + timedelta(minutes=day.plan.event.day.protest_minutes)
    return end.astimezone(ZoneInfo(day.plan.event.timezone))


def _ranked(day: "PlannedDay", found: Results, files: tuple[str, ...]) -> Ranked:
    behind = minutes_behind(day.plan, day.state.decisions.started)
    return Ranked(found, day.plan.event, team_names(day.plan), files, day.chain, behind)


def team_names(plan: Plan) -> dict[str, str]:
    """Names of teams by id, with the club where a name alone does not tell."""
    return {team.id: f"{team.name} ({team.club})" if team.club not in team.name else team.name for team in plan.teams}
