"""The settings as written, before they are an Event: values by key, each with its place."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from tourney.intake.settings_schema import KeyPath
from tourney.model.event import HEAD_KEYS


@dataclass(frozen=True)
class Document:
    """What a settings file says. values: plain, with the head keys on top. places: cells, none for TOML."""

    file: str
    values: dict[str, Any]
    places: Mapping[KeyPath, str] = field(default_factory=dict)

    @property
    def workbook(self) -> bool:
        """Whether it came from event.xlsx."""
        return self.file.endswith(".xlsx")

    def where(self, path: KeyPath) -> str:
        """The cell of a key, or of the nearest thing around it; in TOML the key: divisions[2].calls, counted from 1."""
        if not self.workbook:
            return key_text(path)
        around = (path[:length] for length in range(len(path), 0, -1))
        return next((self.places[part] for part in around if part in self.places), str(path[0]))

    def at(self, path: KeyPath) -> Any:
        """The value of a key; None where there is none."""
        value: Any = self.values
        for step in path:
            if not holds(value, step):
                return None
            value = value[step]
        return value

    def spoken(self, path: KeyPath) -> str:
        """A key as people say it: "calls of Junior", "minutes of pause 1", "from of band 2"."""
        has_name = path[0] in ("divisions", "rooms") and len(path) == 3
        if len(path) > 2 and isinstance(row := path[-2], int) and not has_name:
            return f"{path[-1]} of {str(path[-3]).removesuffix('s')} {row + 1}"
        keys = ".".join(str(step) for step in path if isinstance(step, str) and step not in ("divisions", "rooms"))
        owner = self.at((*path[:2], "name")) if path[0] in ("divisions", "rooms") and len(path) > 2 else None
        return f"{keys} of {owner}" if isinstance(owner, str) and owner and keys != "name" else keys or str(path[0])


def holds(value: Any, step: str | int) -> bool:
    """Whether a table has the key, or a list the place."""
    if isinstance(step, int):
        return isinstance(value, list) and step < len(value)
    return isinstance(value, dict) and step in value


def key_text(path: KeyPath) -> str:
    """A key as one finds it in event.toml: event.date, divisions[2].points.late."""
    steps = ("event", *path) if path[0] in HEAD_KEYS else path
    return "".join(f"[{step + 1}]" if isinstance(step, int) else f".{step}" for step in steps).removeprefix(".")
