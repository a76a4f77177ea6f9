"""Looks whether a person has already written into a score sheet's file, so that it is never overwritten."""

from collections.abc import Sequence
from pathlib import Path

from python_calamine import CalamineError, CalamineWorkbook

from tourney.model.sheet_layout import INITIALS_TAG, JUDGED_TAG


def free_path(path: Path) -> Path:
    """The path itself, or the first numbered one beside it where nothing would be lost by writing."""
    number, free = 2, path
    while free.exists() and holds_entries(free):
        free, number = path.with_name(f"{path.stem}_{number}{path.suffix}"), number + 1
    return free


def holds_entries(path: Path) -> bool:
    """Has anything been written into the boxes of this workbook; True also when that can't be told."""
    try:
        workbook = CalamineWorkbook.from_path(str(path))
        return any(
            _any_entry(workbook.get_sheet_by_name(name).to_python(skip_empty_area=False))
            for name in workbook.sheet_names
        )
    except (CalamineError, OSError):
        return True


def _any_entry(rows: Sequence[Sequence[object]]) -> bool:
    tags = [str(cell) for cell in rows[0]] if rows else []
    calls = [column for column, tag in enumerate(tags) if tag.startswith("call ")]
    initials = [column for column, tag in enumerate(tags) if tag == INITIALS_TAG]
    for row in rows[1:]:
        tag = str(row[0])
        columns = initials if tag == INITIALS_TAG else calls if tag == JUDGED_TAG or tag.startswith("line ") else []
        if any(str(row[column]).strip() for column in columns):
            return True
    return False
