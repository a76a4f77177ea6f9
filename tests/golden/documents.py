"""The documents that are compared with how they were last approved, made anew from the sample day for papers."""

from collections.abc import Callable
from pathlib import Path

from tests.golden.normalised import page_text, workbook_text
from tests.papers.conftest import make_day
from tourney.model.sheet import FilledSheet, Marked
from tourney.model.sheet_layout import sheet_code
from tourney.papers.pages import pages
from tourney.papers.results_workbook import write_results_workbook
from tourney.papers.score_sheets import write_score_sheets
from tourney.papers.starters import write_starters
from tourney.scoring.results import results_of

FILES = Path(__file__).parent / "files"


def score_sheet(folder: Path) -> str:
    """A judge's sheet: strange names, a child with time of its own, who is asked."""
    day = make_day(names=("Junior",), teams=4, rooms=1, rounds=1, judges=1)
    (path,) = write_score_sheets(folder, day.plan, day.book, day.roster)
    return workbook_text(path, "W01 J-R1-1 A")


def score_sheet_with_totals_beneath(folder: Path) -> str:
    """The longest sheet, on the other paper: its totals stand beneath the boxes."""
    day = make_day(names=("Junior",), teams=2, rooms=1, rounds=1, judges=1, calls=30, squad=6, paper="Letter")
    (path,) = write_score_sheets(folder, day.plan, day.book, day.roster)
    return workbook_text(path)


def results(folder: Path) -> str:
    """A division's teams, contestants and raw marks after one heat."""
    day = make_day(names=("Junior",), teams=4, rooms=2, rounds=1, judges=1, calls=6)
    heat, other = day.plan.heats
    marks = (Marked(1, 2, ("L",)), Marked(2, 3, ("W", "S")), Marked(5, 1, ("H",)), Marked(6, 4, ("N",)))
    judged = tuple(range(1, 7))
    sheets = (
        FilledSheet(sheet_code(heat.id, 1), heat.id, 1, 1, "AB", heat.line, marks, judged),
        FilledSheet(sheet_code(other.id, 1), other.id, 1, 1, "CD", other.line, marks[1:2], judged[:5], ((1, 2),)),
    )
    found = results_of(day.plan, day.book, day.roster, sheets, protests_closed=False)
    write_results_workbook(folder / "results.xlsx", found, day.plan, day.roster, sheets)
    return workbook_text(folder / "results.xlsx", "Junior", "Junior contestants", "Rounds", "Sections", "Raw marks")


def entry_form(folder: Path) -> str:
    """What a coach fills in."""
    write_starters(folder, toml=False)
    return workbook_text(folder / "forms" / "entry_form.xlsx")


def officials_form(folder: Path) -> str:
    """What officials fill in."""
    write_starters(folder, toml=False)
    return workbook_text(folder / "forms" / "officials_form.xlsx", "Officials")


def settings(folder: Path) -> str:
    """The first sheets of the settings."""
    write_starters(folder, toml=False)
    return workbook_text(folder / "event.xlsx", "Read me", "event", "rooms")


def schedule(_folder: Path) -> str:
    """The words of the public schedule."""
    day = make_day(names=("Junior",), teams=4, rooms=2, rounds=2)
    found = pages(day.plan, day.book, day.roster, day.syllabus)
    return next(page_text(page.html) for page in found if page.path == "public/schedule.html")


DOCUMENTS: dict[str, Callable[[Path], str]] = {
    make.__name__: make
    for make in (score_sheet, score_sheet_with_totals_beneath, results, entry_form, officials_form, settings, schedule)
}
