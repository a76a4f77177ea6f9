"""One step of a day, as `tourney next` tells it, and how its line is typed."""

from dataclasses import dataclass
from pathlib import Path

SHOWN = 4  # sheets or matters that are named


@dataclass(frozen=True, slots=True)
class Step:
    """What to do now. state: a word for programs. what: a sentence. command: its name, empty where nothing is typed.

    words: what follows the folder in the command line; capitals stand for what only a person can say. more: what helps,
    a sentence each. behind: minutes, None before the first start.
    """

    state: str
    what: str
    command: str = ""
    words: str = ""
    more: tuple[str, ...] = ()
    behind: int | None = None


def rest(number: int) -> tuple[str, ...]:
    """A sentence for the matters that are not named."""
    return (f"And {number - SHOWN} more.",) if number > SHOWN else ()


def typed(command: str, folder: Path, words: str = "") -> str:
    """A command as it is typed for a folder whose name may have spaces in it."""
    name = f'"{folder}"' if " " in str(folder) else str(folder)
    return f"tourney {command} {name} {words}".rstrip()
