"""Write what people are handed."""

from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from tourney.papers.shelf import Written


def papers(folder: Path, heat: str | None = None) -> "Written":
    """Write every document of the recorded plan under papers/, or the score sheets of one heat once more."""
    from tourney.day.state import read_day
    from tourney.intake.folder import read_folder
    from tourney.papers.heat_copy import write_heat_copy
    from tourney.papers.pack import write_papers

    day = read_day(folder)
    if heat:
        return write_heat_copy(folder, day.plan, day.book, day.roster, heat)
    return write_papers(folder, day.plan, day.book, day.roster, read_folder(folder).syllabus)
