"""Collected sheets and results on the terminal."""

from collections.abc import Sequence
from pathlib import Path

from tourney.cli import words
from tourney.cli.ruling_page import behind_words
from tourney.day.collect import Taken
from tourney.day.results import Ranked
from tourney.model.event import Division
from tourney.model.sheet import SheetReading
from tourney.model.standing import DivisionResults, Results, TeamStanding
from tourney.papers.standings_table import ADVANCES
from tourney.scoring.open_matters import ANY_MARK
from tourney.scoring.words import counted, number, place_range, place_words

SHOWN = 12  # codes of missing sheets that are named
LEADS = {
    "missing_sheet": "If it is lost",
    "open_cell": "Once the judge was asked",
    "judges_differ": "Once they agree",
    "two_versions": "If that one counts",
}


def print_collected(folder: Path, taken: Taken) -> None:
    """How many sheets were taken, and every one that needs a look."""
    found = taken.collected
    aside = {"noted": "with notes", "refused": "refused", "same": "known already"}
    words.heading(
        f"{counted(taken_sheets(taken), 'score sheet')} taken",
        ", ".join(f"{found.count(state)} {said}" for state, said in aside.items()),
    )
    if found.totals:
        words.say(f"{counted(len(found.totals), 'total of a team was', 'totals of teams were')} taken.")
    for sentence in taken.totals_open:
        words.bullet(sentence)
    _print_notes("Refused", [sheet for sheet in found.sheets if sheet.state == "refused"])
    _print_notes("To look at", [sheet for sheet in found.sheets if sheet.state == "noted"])
    if found.rulings:
        words.heading("Which version counts", "the chief judge says which of these is right")
        for ruling in found.rulings:
            words.say(words.ruling_line(folder, ruling))
    if taken.missing:
        words.heading(f"{counted(len(taken.missing), 'sheet is', 'sheets are')} still out")
        more = len(taken.missing) - SHOWN
        words.say(", ".join(taken.missing[:SHOWN]) + (f" and {more} more" if more > 0 else ""))
        words.say(f"If one is lost: {words.ruling_line(folder, f'settle {taken.missing[0]} --lost')}")
    else:
        words.heading("Every sheet is in.")
    if taken.behind is not None:
        words.say(behind_words(taken.behind))
    words.say(f"Next: {words.typed('finals' if taken.in_finals else 'results', folder)}")


def _print_notes(title: str, sheets: Sequence[SheetReading]) -> None:
    """What is said of these sheets, file by file. Notes on sheets that were known already were shown before."""
    if sheets:
        words.heading(f"{title} ({len(sheets)})")
    for file in dict.fromkeys(sheet.file for sheet in sheets):
        words.say(file, "underline")
        for note in (note for sheet in sheets if sheet.file == file for note in sheet.notes):
            words.bullet(f"{note.where}: {note.message}" if note.where else note.message)


def taken_sheets(taken: Taken) -> int:
    """Sheets that went into the record, with notes or without."""
    return taken.collected.count("accepted") + taken.collected.count("noted")


def print_results(folder: Path, ranked: Ranked, moment: str = "") -> None:
    """Standings of each division with reasons, then what is still open. moment: such as " at 11:40"."""
    results = ranked.results
    record = f", record {ranked.chain[:12]}" if ranked.chain else ""
    words.heading(f"Results{moment}, {results.state}", f"plan revision {results.plan_revision}{record}")
    if ranked.behind is not None:
        words.say(behind_words(ranked.behind))
    for division in results.divisions:
        rules = ranked.event.division(division.division)
        print_teams(division, rules, ranked.team_names, len(division.teams))
        print_children(division, 5)
        if division.disqualified:
            words.say(f"Disqualified: {', '.join(division.disqualified)}")
    print_open(folder, results)
    words.sentences("Finals were drawn before", ranked.unlike)
    if ranked.files:
        words.heading("Written")
    for file in ranked.files:
        words.bullet(str(folder / file))


def print_teams(division: DivisionResults, rules: Division, names: dict[str, str], most: int) -> None:
    """The best teams of a division, pool by pool where it is parted, then the best others of all pools."""
    for pool, rows in division.pools.items():
        words.heading(f"{division.division}{f', pool {pool}' if pool else ''}")
        _print_rows([row for row in rows if row.place <= most], division, rules, names)
    others = [one for one in division.others if one[0] <= most]
    if others:
        words.heading(f"{division.division}, the others", "who is not among the first of a pool, of all pools")
        rows_of = (
            (place_words(place, shared=shared), names[row.team], row.pool, row.across_reason, ADVANCES[row.advances])
            for place, shared, row in others
        )
        words.table(("place", "team", "pool", "why this place", "finals"), rows_of, right=("place",))


def _print_rows(
    shown: Sequence[TeamStanding], division: DivisionResults, rules: Division, names: dict[str, str]
) -> None:
    """What ranks these teams, the places still possible while any is open, and why."""
    columns: dict[str, list[str]] = {
        "place": [place_words(row.place, shared=row.shared) for row in shown],
        "can be": [place_range(*row.range) for row in shown],
        "team": [names[row.team] for row in shown],
        "heat points": [str(row.heat_points) for row in shown],
        "points": [f"{number(row.points)} of {number(row.available)}" for row in shown],
        "clean": [str(row.clean_calls) for row in shown],
        "why this place": [row.reason for row in shown],
    }
    if all(best == worst for best, worst in (row.range for row in division.teams)):
        del columns["can be"]
    if rules.rank_by != "heat_points":
        del columns["heat points"]
    words.table(tuple(columns), zip(*columns.values(), strict=True), right=("place", "heat points", "points", "clean"))


def print_children(division: DivisionResults, most: int) -> None:
    """The best children of a division, by the names that may be shown."""
    best = [row for row in division.contestants if row.place <= most]
    said = (f"{place_words(row.place, shared=row.shared)} {row.shown_as} ({number(row.points)})" for row in best)
    if best:
        words.say("Children: " + ", ".join(said))


def print_open(folder: Path, results: Results) -> None:
    """What keeps the results provisional, with the lines that settle it, and what was settled without help."""
    if results.open_matters:
        words.heading(f"Open matters ({len(results.open_matters)})")
        for matter in results.open_matters:
            lead = LEADS.get(matter.kind, "To settle it")
            said = (f"{lead}: {words.ruling_line(folder, ruling)}" for ruling in matter.rulings)
            words.bullet(f"{matter.heat}: {matter.what}" if matter.heat else matter.what, "\n".join(said))
        if any(ANY_MARK in ruling for matter in results.open_matters for ruling in matter.rulings):
            words.say(f"Instead of {ANY_MARK} write what was seen there, such as L or SH, or the word clean.")
    if results.fetch_first:
        words.say(results.fetch_first.what)
