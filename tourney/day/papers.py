"""Write what people are handed."""

from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from tourney.papers.shelf import Written


def papers(folder: Path) -> "Written":
    """Write every document of the recorded plan under papers/."""
    from tourney.day.state import read_day
    from tourney.intake.folder import read_folder
    from tourney.papers.pack import write_papers

    day = read_day(folder)
    return write_papers(folder, day.plan, day.book, day.roster, read_folder(folder).syllabus)
