"""Rank everyone."""

from dataclasses import dataclass
from datetime import datetime, timedelta
from pathlib import Path

from tourney.model.plan import Plan
from tourney.model.standing import Results


@dataclass(frozen=True, slots=True)
class Ranked:
    """Results, the names of teams by id, and the files written, relative to the event folder."""

    results: Results
    team_names: dict[str, str]
    files: tuple[str, ...]


def results(folder: Path, now: datetime) -> Ranked:
    """Work out the standings from the record and write results/results.json and results/results.xlsx."""
    from tourney.day.state import read_day
    from tourney.files import write_json
    from tourney.model.documents import dump
    from tourney.papers.results_workbook import write_results_workbook
    from tourney.record.folder import EventFiles
    from tourney.scoring.results import results_of

    day = read_day(folder)
    last = max((row.at for row in day.rows), default=now)
    protests_closed = now >= last + timedelta(minutes=day.plan.event.day.protest_minutes)
    sheets = day.state.sheets
    found = results_of(day.plan, day.book, day.roster, sheets, protests_closed, day.state.open_matters)
    written = EventFiles(folder).results
    write_results_workbook(written / "results.xlsx", found, day.plan, day.roster, sheets)
    write_json(written / "results.json", dump(found))
    return Ranked(found, team_names(day.plan), ("results/results.xlsx", "results/results.json"))


def team_names(plan: Plan) -> dict[str, str]:
    """Names of teams by id, with the club where a name alone does not tell."""
    return {team.id: f"{team.name} ({team.club})" if team.club not in team.name else team.name for team in plan.teams}
