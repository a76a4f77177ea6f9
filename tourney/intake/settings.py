"""The settings: event.toml or event.xlsx into an Event, by the same keys and the same checks."""

import copy
import json
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date as Date
from datetime import time
from pathlib import Path
from typing import Any

from pydantic import ValidationError
from pydantic_core import ErrorDetails

from tourney.faults import Code
from tourney.intake.findings import Findings
from tourney.intake.grid import Unreadable
from tourney.intake.nearest import nearest, suggestion
from tourney.intake.settings_checks import check_names, check_sizes
from tourney.intake.settings_document import Document, holds
from tourney.intake.settings_schema import KeyPath, known_keys, schema_at, wanted
from tourney.intake.settings_toml import read_toml
from tourney.intake.settings_workbook import read_workbook
from tourney.intake.sheets import Sheet, read_file, workbook_sheets
from tourney.intake.tables import of_other_kind
from tourney.model.event import Event

TOML, WORKBOOK = "event.toml", "event.xlsx"
_SHOWN = 60  # letters of a wrong value that a message repeats


@dataclass(frozen=True, slots=True)
class Settings:
    """What was read. event: sound, or None. sketch: what is left without the wrong keys, to check entries against.

    sheets: those of event.xlsx, for the officials that may be among them.
    """

    document: Document | None
    event: Event | None
    sketch: Event | None
    sheets: tuple[Sheet, ...] = ()


def read_settings(folder: Path, findings: Findings) -> Settings:
    """The folder's settings. Every fault of them goes to the findings."""
    present = [name for name in (TOML, WORKBOOK) if (folder / name).is_file()]
    if not present:
        findings.fault(
            TOML,
            "",
            Code.MISSING_FILE,
            f"There is neither {WORKBOOK} nor {TOML}.",
            f"Save {other} as {WORKBOOK}."
            if (other := of_other_kind(folder, "event"))
            else "Put the settings into this folder, or start one with `tourney new`.",
        )
        return Settings(None, None, None)
    if len(present) > 1:
        findings.fault(
            WORKBOOK,
            "",
            Code.TWO_SETTINGS,
            f"There are two files of settings, {TOML} and {WORKBOOK}.",
            "Keep the one that holds and take the other out of the folder.",
        )
    name = present[0]
    try:
        content = read_file(folder / name)
        sheets = workbook_sheets(name, content) if name == WORKBOOK else ()
    except Unreadable as trouble:
        findings.fault(name, "", Code.UNREADABLE_FILE, f"{name} {trouble.message}", trouble.hint)
        return Settings(None, None, None)
    document = read_workbook(name, sheets, findings) if sheets else read_toml(name, content, findings)
    if document is None:
        return Settings(None, None, None)
    event, sketch = _validated(document, findings)
    if sketch is not None:
        check_names(sketch, document, findings)
    if event is not None:
        check_sizes(event, document, findings)
    return Settings(document, event, sketch, sheets)


def _validated(document: Document, findings: Findings) -> tuple[Event | None, Event | None]:
    """The event, and what can be made of the document without its wrong keys."""
    before = len(findings.faults)
    try:
        event = _event(document.values)
        return (event, event) if not findings.faults else (None, event)
    except ValidationError as reason:
        wrong = _faults(document, reason.errors(include_url=False, include_input=False), findings)
    assert len(findings.faults) > before, "what the model refuses is always said"
    return None, _sketch(document.values, wrong)


def _sketch(values: dict[str, Any], wrong: Sequence[KeyPath]) -> Event | None:
    """The event without its wrong places and the rows that lack a needed one; None where such a row is a division."""
    try:
        return _event(_without(values, wrong))
    except ValidationError as reason:
        rows = [_row(error["loc"]) for error in reason.errors()]
    if not all(row and row[0] != "divisions" for row in rows):
        return None  # who is entered there would seem to be entered nowhere
    try:
        return _event(_without(values, [*wrong, *rows]))
    except ValidationError:
        return None


def _row(location: KeyPath) -> KeyPath:
    """The row of a list that a place stands in, () for a place in none."""
    return next((location[:end] for end in range(len(location), 0, -1) if isinstance(location[end - 1], int)), ())


def _event(values: dict[str, Any]) -> Event:
    """Through JSON, in which the model takes no text for a number and no number for a date."""
    return Event.model_validate_json(json.dumps(values, default=_json), strict=True)


def _json(value: object) -> str:
    return value.strftime("%H:%M") if isinstance(value, time) else value.isoformat() if isinstance(value, Date) else ""


def _faults(document: Document, errors: Sequence[ErrorDetails], findings: Findings) -> list[KeyPath]:
    """One fault a wrong place, in our own words; returns the places."""
    places: dict[KeyPath, tuple[Code, str, str]] = {}
    for error in errors:
        path = _place(document, error["loc"])
        if error["type"] == "too_short" and document.at(path):
            continue  # its parts are wrong, and are named themselves
        places.setdefault(path, _words(document, path, error))
    said = dict.fromkeys((document.where(path), *words) for path, words in places.items())
    for where, code, message, hint in said:  # a band that a workbook gives to every division is wrong once
        findings.fault(document.file, where, code, message, hint)
    return list(places)


def _place(document: Document, location: tuple[str | int, ...]) -> KeyPath:
    """The part of an error's location that is a place of the document; the model's names for kinds are dropped."""
    path: KeyPath = ()
    for step in location:
        value = document.at(path) if path else document.values
        if not holds(value, step) and step not in known_keys(path):
            break
        path = (*path, step)
    return path


def _words(document: Document, path: KeyPath, error: ErrorDetails) -> tuple[Code, str, str]:
    name, schema = document.spoken(path), schema_at(path)
    if error["type"] == "missing" and document.at(path) is None:
        return Code.MISSING_KEY, f"{name} is missing.", f"Add it: {schema.get('description', name)}."
    if error["type"] == "extra_forbidden":
        return Code.UNKNOWN_KEY, f"{name} is not a key.", suggestion(str(path[-1]), known_keys(path[:-1]))
    if error["type"] == "value_error":
        return Code.BAD_VALUE, f"{_owner(document, path)}: {error['ctx']['error']}.", ""  # says its cure itself
    value = document.at(path)
    near = nearest(value, schema.get("enum", ())) if isinstance(value, str) else None
    hint = f'The nearest is "{near}". ' if near else ""
    return Code.BAD_VALUE, f"{name} is {_shown(value)}.", f"{hint}Write {wanted(schema, document.workbook)}."


def _owner(document: Document, path: KeyPath) -> str:
    name = document.at((*path, "name"))
    return name if isinstance(name, str) else document.where(path)


def _shown(value: object) -> str:
    if isinstance(value, bool):
        return "true" if value else "false"
    text = json.dumps(value, default=_json, ensure_ascii=False)
    return "empty" if value in ("", [], {}) else text if len(text) <= _SHOWN else text[:_SHOWN] + "…"


def _without(values: dict[str, Any], wrong: Sequence[KeyPath]) -> dict[str, Any]:
    """A copy in which the wrong places are left out, so that their defaults hold."""
    kept = copy.deepcopy(values)
    for path in sorted(wrong, key=_last_first):
        around: Any = kept
        for step in path[:-1]:
            around = around[step] if holds(around, step) else None
        if holds(around, path[-1]):
            del around[path[-1]]
    return kept


def _last_first(path: KeyPath) -> list[tuple[int, str]]:
    """Rows from the end on, so that those before keep their numbers; what is within a row before the row."""
    return [*((-step, "") if isinstance(step, int) else (1, step) for step in path), (2, "")]
