"""Start an event folder."""

from dataclasses import dataclass
from pathlib import Path

from tourney.errors import Refusal


@dataclass(frozen=True, slots=True)
class Started:
    """A new event folder. files: what was made, relative to it. secret: hash of the folder's secret."""

    folder: Path
    files: tuple[str, ...]
    secret: str


def new(folder: Path, toml: bool) -> Started:
    """Make an event folder with settings, forms and a secret. Refuses a folder that holds anything."""
    from tourney.draw import digest
    from tourney.papers.starters import write_starters
    from tourney.record.folder import secret

    if folder.exists() and (not folder.is_dir() or any(folder.iterdir())):
        raise Refusal(f"{folder} is there already and not empty.", cures=("Choose a name that is not taken.",))
    made = write_starters(folder, toml)
    for empty in ("entries", "returned"):
        (folder / empty).mkdir(exist_ok=True)
    hashed = digest(secret(folder))
    return Started(folder, tuple(path.relative_to(folder).as_posix() for path in made), hashed)
