"""All reviews of a day, in a folder a reader: clubs, the chief judge, the call writer."""

import shutil
from dataclasses import dataclass
from pathlib import Path

from tourney.canon.syllabus import Syllabus
from tourney.files import write_text
from tourney.model.plan import Plan
from tourney.model.standing import Results
from tourney.papers.file_names import file_names
from tourney.papers.items_workbook import difficulty_csv, write_items_workbook
from tourney.papers.judges_page import judges_page
from tourney.papers.judges_views import ChiefReview
from tourney.papers.judges_workbook import write_judges_workbook
from tourney.papers.page_writer import Writer
from tourney.papers.review_page import review_pages
from tourney.papers.review_views import ClubReview
from tourney.papers.review_workbook import write_review_workbook
from tourney.papers.shelf import Written, shelve
from tourney.papers.spent_page import SpentView, spent_page
from tourney.review.calibration import Calibration
from tourney.review.items import ItemReview

CLUBS, CHIEF, WRITER = "clubs", "chief_judge", "call_writer"


@dataclass(frozen=True, slots=True)
class CallsReview:
    """What the call writer is handed: how items went, how hard they proved, and who has heard which set."""

    items: tuple[ItemReview, ...]
    calibration: Calibration
    spent: SpentView


def write_reviews(
    reviews_folder: Path,
    clubs: tuple[ClubReview, ...],
    chief: ChiefReview,
    calls: CallsReview | None,
    syllabus: Syllabus,
    plan: Plan,
    results: Results,
) -> Written:
    """Write the folder. calls: None while no call may be named; what an earlier run wrote of them then goes away.

    A file that somebody changed stays, and the new one is written beside it under a number. FileTrouble when a file
    is open elsewhere or the folder is read-only.
    """
    fresh = reviews_folder / ".fresh"  # all is made here first, so that a fault half-way leaves the old files whole
    shutil.rmtree(fresh, ignore_errors=True)
    write = Writer(plan)
    try:
        for page in review_pages(clubs, write, results):
            write_text(fresh / CLUBS / page.path, page.html)
        names = file_names(review.club for review in clubs)
        for review in clubs:
            write_review_workbook(fresh / CLUBS / f"{names[review.club]}.xlsx", review, plan, results)
        page = judges_page(chief, write, results)
        write_text(fresh / CHIEF / page.path, page.html)
        write_judges_workbook(fresh / CHIEF / "judges.xlsx", chief, plan, results)
        if calls:
            items, calibration = calls.items, calls.calibration
            write_items_workbook(fresh / WRITER / "items.xlsx", items, calibration, syllabus, plan, results)
            write_text(fresh / WRITER / "difficulty.csv", difficulty_csv(calibration))
            page = spent_page(calls.spent, write)
            write_text(fresh / WRITER / page.path, page.html)
        return shelve(fresh, reviews_folder)
    finally:
        shutil.rmtree(fresh, ignore_errors=True)
