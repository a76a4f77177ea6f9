"""Looks whether a person has already written into a score sheet's file, so that it is never overwritten."""

from pathlib import Path

from python_calamine import CalamineError

from tourney.papers.sheet_places import sheet_places


def free_path(path: Path) -> Path:
    """The path itself, or the first numbered one beside it where nothing would be lost by writing."""
    number, free = 2, path
    while free.exists() and holds_entries(free):
        free, number = path.with_name(f"{path.stem}_{number}{path.suffix}"), number + 1
    return free


def holds_entries(path: Path) -> bool:
    """Has anything been written into the boxes of this workbook; True also when that can't be told."""
    try:
        return any(places is not None and places.typed for places in sheet_places(path.read_bytes()))
    except (CalamineError, OSError):
        return True
