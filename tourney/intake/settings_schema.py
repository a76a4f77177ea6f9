"""What the settings may hold, read off the model: in words for people, and for turning cells into values."""

from functools import cache
from typing import Any

from tourney.model.event import Event

Step = str | int
KeyPath = tuple[Step, ...]  # ("divisions", 0, "points", "late"); places in lists from 0
Schema = dict[str, Any]  # JSON Schema, draft 2020-12


@cache
def _whole() -> Schema:
    return Event.model_json_schema()


def schema_at(path: KeyPath) -> Schema:
    """The schema of one place of the settings, {} where the model knows none."""
    found = _whole()
    for step in path:
        found = _step(_settled(found), step)
    return _settled(found)


def known_keys(path: KeyPath) -> tuple[str, ...]:
    """The keys of the table at a place."""
    return tuple(schema_at(path).get("properties", ()))


def wanted(schema: Schema, workbook: bool) -> str:
    """What may stand there: "a whole number from 1 to 20". workbook: as typed in a cell, not in TOML."""
    choices = alternatives(schema)
    if len(choices) > 1:
        return " or ".join(wanted(choice, workbook) for choice in choices)
    schema = choices[0] if choices else schema
    if "const" in schema:
        return f'"{schema["const"]}"'
    if "enum" in schema:
        return f"one of: {', '.join(schema['enum'])}"
    match schema.get("type"):
        case "integer" | "number":
            return _number(schema)
        case "boolean":
            return "yes or no" if workbook else "true or false"
        case "array" if "prefixItems" in schema:
            return "two whole numbers, such as " + ("8, 10" if workbook else "[8, 10]")
        case "array" if "prefixItems" in schema["items"]:
            return "numbers from-to, such as " + ("1-6, 7-12" if workbook else "[[1, 6], [7, 12]]")
        case "array":
            return "a list"
        case "object" if schema.get("additionalProperties"):
            return "weights such as " + ("law=2, paul=1" if workbook else "{ law = 2, paul = 1 }")
        case "string":
            return _text(schema)
    return "a table of its own"


def alternatives(schema: Schema) -> tuple[Schema, ...]:
    """The kinds of value of which one may stand there; nothing is not counted."""
    return tuple(choice for choice in schema.get("anyOf", (schema,)) if choice.get("type") != "null")


def _step(schema: Schema, step: Step) -> Schema:
    if isinstance(step, int):
        fixed: list[Schema] = schema.get("prefixItems", [])
        items: Schema = schema.get("items", {})
        return fixed[step] if step < len(fixed) else items
    keys: dict[str, Schema] = schema.get("properties", {})
    return keys.get(step, {})


def _settled(schema: Schema) -> Schema:
    """A reference followed, and what may also be nothing taken as what it is otherwise."""
    if "$ref" in schema:
        tables: dict[str, Schema] = _whole()["$defs"]
        return tables[schema["$ref"].rsplit("/", 1)[1]]
    choices = alternatives(schema)
    return choices[0] if len(choices) == 1 else schema


def _number(schema: Schema) -> str:
    kind = "a whole number" if schema["type"] == "integer" else "a number"
    least, most = schema.get("minimum"), schema.get("maximum")
    if "exclusiveMinimum" in schema:
        return f"{kind} above {schema['exclusiveMinimum']:g} and at most {most:g}"
    if most is not None:
        return f"{kind} from {least:g} to {most:g}"
    return kind if least is None else f"{kind}, {least:g} or more"


def _text(schema: Schema) -> str:
    if schema.get("format") == "date":
        return "a date such as 2027-04-17"
    if "pattern" in schema:
        return "a time such as 09:00"
    return f"a text of 1 to {schema['maxLength']} letters" if "maxLength" in schema else "a text"
