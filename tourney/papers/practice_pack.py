"""The four files of one group: the caller's page, the plan, the cards, the quiz."""

from collections.abc import Sequence
from pathlib import Path

from tourney.canon.syllabus import Syllabus
from tourney.files import write_text
from tourney.model.event import Event
from tourney.model.plan import Plan
from tourney.papers.caller_page import CallerPage, caller_page
from tourney.papers.practice_book import PracticeBook, practice_pages
from tourney.papers.practice_quiz import Question, quiz_workbook

FILES = ("caller.html", "plan.html", "cards.html", "neighbours.xlsx")


def write_practice(
    folder: Path,
    made_from: Plan | Event,
    syllabus: Syllabus,
    page: CallerPage,
    book: PracticeBook,
    questions: Sequence[Question],
) -> None:
    """Write FILES into a folder. FileTrouble when it is read-only."""
    write_text(folder / "caller.html", caller_page(page, syllabus))
    for one in practice_pages(made_from, book):
        write_text(folder / one.path, one.html)
    event = made_from if isinstance(made_from, Event) else made_from.event
    quiz_workbook(event, book.group, questions).save(folder / "neighbours.xlsx")
