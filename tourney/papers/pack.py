"""Everything that is printed for a day, in one folder a reader."""

import shutil
from pathlib import Path

from tourney.canon.syllabus import Syllabus
from tourney.files import write_bytes, write_text
from tourney.model.calls import CallBook
from tourney.model.people import Roster
from tourney.model.plan import Plan
from tourney.papers.calendars import calendars
from tourney.papers.pages import pages
from tourney.papers.score_sheets import write_score_sheets
from tourney.papers.screen_pages import screen_pages
from tourney.papers.shelf import Written, shelve


def write_papers(folder: Path, plan: Plan, book: CallBook, roster: Roster, syllabus: Syllabus) -> Written:
    """Write papers/ of an event folder, a folder a reader.

    A file that somebody changed stays, and the new one is written beside it under a number. FileTrouble when a file
    is open elsewhere or the folder is read-only.
    """
    papers = folder / "papers"
    fresh = papers / ".fresh"  # all is made here first, so that a fault half-way leaves the old papers whole
    shutil.rmtree(fresh, ignore_errors=True)
    try:
        for page in pages(plan, book, roster, syllabus):
            write_text(fresh / page.path, page.html)
        for path, html in screen_pages(plan, book, roster, syllabus):
            write_text(fresh / path, html)
        for path, content in calendars(plan, roster):
            write_bytes(fresh / path, content)
        write_score_sheets(fresh / "judges", plan, book, roster)
        return shelve(fresh, papers)
    finally:
        shutil.rmtree(fresh, ignore_errors=True)
