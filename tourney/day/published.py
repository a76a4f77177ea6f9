"""Results that were final once are kept beside the newer ones, so that a page can say what was amended."""

from pathlib import Path

from pydantic import ValidationError

from tourney.errors import FileTrouble
from tourney.files import read_bytes, read_json, write_bytes
from tourney.model.documents import load
from tourney.model.standing import Results
from tourney.scoring.changes import changes_between

NEWEST = "results.json"


def last_published(folder: Path, now: Results) -> Results | None:
    """The last results that were final and that these differ from, or did; None while there are none.

    folder: of results. Before final results are overwritten by different ones, they are copied to published_1.json and
    so on; such a copy is never touched again.
    """
    kept = sorted(folder.glob("published_*.json"), key=lambda path: (len(path.name), path.name))
    newest = _read(folder / NEWEST)
    if newest is not None and newest.state == "final" and changes_between(newest, now):
        copy = folder / f"published_{len(kept) + 1}.json"
        write_bytes(copy, read_bytes(folder / NEWEST))
        return newest
    return _read(kept[-1]) if kept else None


def _read(path: Path) -> Results | None:
    """The results in a file; None where there is none, or one that an earlier version wrote or somebody changed."""
    if not path.exists():
        return None
    try:
        return load(Results, read_json(path))
    except (ValidationError, FileTrouble):
        return None
