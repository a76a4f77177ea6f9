"""The results workbook: standings with formulas to follow, raw marks, what is open, fairness, rules."""

from collections.abc import Iterable, Sequence
from dataclasses import replace
from pathlib import Path

from tourney.canon.syllabus import Syllabus, built_in
from tourney.model.people import Roster
from tourney.model.plan import Plan
from tourney.model.ruling import Ruled
from tourney.model.sheet import FilledSheet
from tourney.model.standing import Results
from tourney.papers.binder import Binder, state_words
from tourney.papers.cells import Content
from tourney.papers.fairness import property_words
from tourney.papers.marks_table import EXPLAINED, NAMED, marks_fields, marks_rows
from tourney.papers.results_charts import write_charts
from tourney.papers.rounds_table import ROUNDS_EXPLAINED, ROUNDS_FIELDS, Sums, rounds_rows
from tourney.papers.rulings_table import RULINGS_FIELDS, rulings_rows
from tourney.papers.sections_table import (
    SECTIONS_EXPLAINED,
    draw_bars,
    sections_fields,
    sections_heard,
    sections_rows,
)
from tourney.papers.settings_table import SETTINGS_FIELDS, settings_rows
from tourney.papers.stamp import Stamp, shown_chain
from tourney.papers.standings_table import contestant_fields, contestant_rows, rounds_shown, team_fields, team_rows
from tourney.papers.table_sheet import BODY, Field
from tourney.papers.views import Hall
from tourney.papers.workbook import Workbook
from tourney.papers.workings_sheet import write_workings

NO_RULING, NOTHING_OPEN = "Nothing has been ruled.", "Nothing is open."
_OPEN_FIELDS = (Field("Kind", 45), Field("Heat", 28), Field("What", 175))
_VALUE = replace(BODY, across="right")
_FAIR_FIELDS = (
    Field("Property", 85, replace(BODY, bold=True)),
    Field("Of", 30),
    Field("Measured", 25, _VALUE),
    Field("Limit", 25, _VALUE),
    Field("Best that can be", 27, _VALUE),
    Field("Kept", 18, replace(BODY, across="center", bold=True)),
    Field("Worst case", 60),
)


def write_results_workbook(
    path: Path,
    results: Results,
    plan: Plan,
    roster: Roster,
    sheets: Sequence[FilledSheet],
    rulings: Sequence[Ruled] = (),
    chain: str = "",
    syllabus: Syllabus | None = None,
) -> None:
    """Write all results into one workbook. Contestants stand there by the names that may be shown, and by no other.

    syllabus: names the sections; None: the built-in one. chain: the hash of the record's last row, shown shortened.
    FileTrouble when the file is open elsewhere or the folder is read-only.
    """
    workbook = Workbook(f"{plan.event.name}: results", plan.event.date)
    binder = Binder(workbook, plan, state_words(results))
    binder.read_me("results", _read_me(results, binder.stamp, plan.event.day.keep_days, chain))
    hall = Hall(plan, roster)
    tables = [(binder.add(division.division), division) for division in results.divisions]
    for division in results.divisions:
        name = division.division
        fields, children = contestant_fields(division), contestant_rows(division, roster)
        binder.table(f"{name[:18]} contestants", f"{name}: contestants", fields, children, fixed=2)
    heats = list(rounds_rows(results, hall))
    rounds = binder.table("Rounds", "Rounds, heat by heat", ROUNDS_FIELDS, heats, ROUNDS_EXPLAINED)
    for sheet, division in tables:
        rules, sums = plan.event.division(division.division), Sums(rounds.title, len(heats))
        rows = team_rows(division, rules, hall, sums)
        binder.table(sheet, f"{division.division}: teams", team_fields(division, rules), rows, fixed=2)
    write_workings(binder.page("Tie-break workings"), results, roster)
    drawn = [(sheet, division) for sheet, division in tables if rounds_shown(division)]
    if drawn:
        write_charts(binder.page("Charts"), drawn)
    _sections(binder, results, hall, syllabus or built_in())
    marks = marks_rows(sheets, hall)
    binder.table("Raw marks", "Raw marks", marks_fields(sheets, plan), marks, EXPLAINED, NAMED)
    ruled = list(rulings_rows(rulings, plan))
    binder.table("Corrections", "Corrections and other rulings", RULINGS_FIELDS, ruled, "" if ruled else NO_RULING)
    matters = [(matter.kind.replace("_", " "), matter.heat, matter.what) for matter in results.open_matters]
    binder.table("Open matters", "Open matters", _OPEN_FIELDS, matters, "" if matters else NOTHING_OPEN)
    binder.table("Fairness", "Fairness of the plan", _FAIR_FIELDS, _fairness(plan))
    binder.table("Settings", "The rules of the day", SETTINGS_FIELDS, settings_rows(plan.event))
    workbook.save(path)


def _sections(binder: Binder, results: Results, hall: Hall, syllabus: Syllabus) -> None:
    keys = sections_heard(results, syllabus)
    rows = list(sections_rows(results, hall, keys))
    fields = sections_fields(keys, syllabus)
    sheet = binder.table("Sections", "Found, section by section", fields, rows, SECTIONS_EXPLAINED, fixed=2)
    draw_bars(sheet, len(keys), len(rows))


def _read_me(results: Results, stamp: Stamp, keep_days: int, chain: str) -> tuple[tuple[str, str], ...]:
    """The first sheet: what this is, how far it is, what each sheet holds."""
    return (
        ("Made from", f"plan {results.plan_revision}, rules {stamp.rules}, {len(results.open_matters)} open"),
        ("Record", f"{shown_chain(chain)} (stands for every row of the record up to these results)"),
        (
            "A division's sheet",
            "Its teams, best first. Each round adds up its heats, the total adds the rounds; 2= is a shared place. "
            "L late, W wrong place, S spoken answer wrong, H handling.",
        ),
        *(
            (
                (
                    "Pools",
                    "Places, reasons and smallest changes are those within the pool. The order of all pools is the one "
                    "in which teams go on: the first of each pool, then the others.",
                ),
            )
            if any(row.pool for division in results.divisions for row in division.teams)
            else ()
        ),
        ("Why this place", "One sentence a team: what separates it from the next one. Nothing is ranked rounded."),
        (
            "Smallest change",
            "The fewest of its faulty calls that, had they been clean, would have put a team one place higher; for who "
            "is first, what would have put another team ahead.",
        ),
        ("Tie-break workings", "How every tie was broken: each value that was compared, in the order of the rules."),
        ("Rounds", "What each team made in each heat: what the totals add up."),
        ("Charts", "Points by round, a bar a team."),
        ("Sections", "What each team found of what was called, section by section."),
        ("Place can still be", "The best and the worst place that sheets still missing could bring."),
        (
            "Contestants",
            "By the name that each entry allows. The band is the award reached; beside it what the next one asks, "
            "compared exactly: a part that only rounds to it is not enough.",
        ),
        ("Raw marks", f"{EXPLAINED} Every judge's sheet as it counts now."),
        ("Corrections", "Every ruling: who decided what, and why. The sheets themselves stay as they came in."),
        ("Open matters", "What has to be settled before results are final."),
        *((("First of all", results.fetch_first.what),) if results.fetch_first else ()),
        ("Fairness", "What was measured on the plan, beside the best that can be proven possible."),
        ("Settings", "The rules of the day, with what each means."),
        (
            "Children's details",
            "This workbook names children. Give it only to those who need it, take the sheets with names out "
            f"before you publish it, and remove it after {keep_days} days. Where your local safeguarding and "
            "data protection rules ask for more, they go first.",
        ),
    )


def _fairness(plan: Plan) -> Iterable[tuple[Content, ...]]:
    for line in plan.fairness:
        kept = "yes" if line.ok else "NO"
        yield property_words(line.property), line.scope, line.measured, line.limit, line.bound, kept, line.worst
