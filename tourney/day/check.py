"""Read all that was handed in."""

from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from tourney.intake.folder import HandedIn


@dataclass(frozen=True, slots=True)
class Checked:
    """What was handed in. rules: the settings in plain sentences. secret: hash of the folder's secret."""

    handed_in: "HandedIn"
    rules: tuple[str, ...]
    secret: str


def check(folder: Path) -> Checked:
    """Every fault, question and note of an event folder, and its rules in words."""
    from tourney.draw import digest
    from tourney.intake.folder import read_folder
    from tourney.model.rules import read_back
    from tourney.record.folder import secret

    handed_in = read_folder(folder)
    rules = read_back(handed_in.event) if handed_in.event else ()
    return Checked(handed_in, rules, digest(secret(folder)))
