"""What is printed for a stage of finals: score sheets, room packs, scripts, door sheets, and nothing else."""

import shutil
from collections.abc import Mapping, Sequence
from dataclasses import replace
from pathlib import Path

from tourney.canon.syllabus import Syllabus
from tourney.files import write_text
from tourney.model.bracket import Bracket
from tourney.model.calls import CallBook
from tourney.model.people import Roster
from tourney.model.plan import Plan
from tourney.papers.bracket_book import write_bracket_book
from tourney.papers.pages import heat_pages
from tourney.papers.score_sheets import write_score_sheets
from tourney.papers.shelf import FINALS, Written, shelve


def write_finals_papers(
    folder: Path, plan: Plan, book: CallBook, roster: Roster, syllabus: Syllabus, heats: frozenset[str]
) -> Written:
    """Write papers/finals/WAVE/ of an event folder, named for the first wave of these heats.

    Earlier papers stay. FileTrouble when a file is open elsewhere or the folder is read-only.
    """
    held = tuple(heat for heat in plan.heats if heat.id in heats)
    first = next(wave.id for wave in plan.waves if any(heat.wave == wave.id for heat in held))
    stage = replace(plan, heats=held, reserved=(), byes=())
    papers, fresh = _emptied(folder)
    place = fresh / FINALS / first
    try:
        for page in heat_pages(stage, book, roster, syllabus):
            write_text(place / page.path, page.html)
        write_score_sheets(place / "judges", stage, book, roster)
        return shelve(fresh, papers, whole=False)
    finally:
        shutil.rmtree(fresh, ignore_errors=True)


def write_brackets(folder: Path, plan: Plan, brackets: Sequence[Bracket], names: Mapping[str, str]) -> Written:
    """Write papers/finals/brackets.xlsx, a sheet a division; one that somebody filled in stays. names: of teams by id.

    FileTrouble when it is open elsewhere or the folder is read-only.
    """
    papers, fresh = _emptied(folder)
    try:
        write_bracket_book(fresh / FINALS / "brackets.xlsx", plan, brackets, names)
        return shelve(fresh, papers, whole=False)
    finally:
        shutil.rmtree(fresh, ignore_errors=True)


def _emptied(folder: Path) -> tuple[Path, Path]:
    """papers/ of an event folder, and an empty place in it where all is made first."""
    papers = folder / "papers"
    fresh = papers / ".fresh"
    shutil.rmtree(fresh, ignore_errors=True)
    return papers, fresh
