"""Cells of event.xlsx as the values that event.toml would hold."""

import re
from datetime import date as Date
from decimal import Decimal
from typing import Any

from tourney.intake.cells import Value, as_clock, as_list, as_text, as_whole, as_yes_no
from tourney.intake.dates import readings
from tourney.intake.nearest import key, word_key
from tourney.intake.settings_schema import Schema, alternatives


def from_cell(value: Value, schema: Schema) -> Any:
    """A cell as the value that TOML would hold; what does not fit stays as typed, for the check to name."""
    for choice in alternatives(schema):
        found = _one(value, choice)
        if found is not None:
            return found
    return value.isoformat() if isinstance(value, Date) else value if isinstance(value, int | float) else as_text(value)


def _one(value: Value, schema: Schema) -> Any:
    """The value as one kind, None when it is not of that kind."""
    text = as_text(value)
    if "enum" in schema or "const" in schema:
        return {key(word): word for word in schema.get("enum", (schema.get("const"),))}.get(key(text))
    match schema.get("type"):
        case "integer":
            return as_whole(value)
        case "number":
            return _number(value)
        case "boolean":
            return as_yes_no(value)
        case "array":
            return _list(value, schema)
        case "object":
            return _weights(text)
    if schema.get("format") == "date":
        days = readings(value)
        return days[0].isoformat() if len(days) == 1 else None
    return as_clock(value) or text if "pattern" in schema else text


def _number(value: Value) -> float | None:
    if isinstance(value, int | float) and not isinstance(value, bool):
        return value
    match = re.fullmatch(r"(\d+(?:[.,]\d+)?)(\s*%)?", as_text(value))
    return float(Decimal(match[1].replace(",", ".")) / (100 if match[2] else 1)) if match else None


def _list(value: Value, schema: Schema) -> list[Any] | None:
    if isinstance(value, Date):
        return None  # a spreadsheet took 8-10 for a day of October
    if "prefixItems" in schema:
        parts = re.split(r"\s*(?:,|;|-|–|to)\s*", as_text(value))
        return [int(part) for part in parts] if all(part.isdecimal() for part in parts) else None
    return [from_cell(part, schema["items"]) for part in as_list(as_text(value).replace(";", ","), ",")]


def _weights(text: str) -> dict[str, float] | None:
    parts = [part.partition("=") for part in as_list(text.replace(";", ","), ",")]
    weights = {word_key(name): _number(weight.strip()) for name, _, weight in parts}
    found = {name: weight for name, weight in weights.items() if weight is not None}
    return found if found and len(found) == len(parts) else None
