"""event.toml as a coordinator first sees it: every key with its default and its meaning."""

from collections.abc import Iterator
from datetime import date as Date
from textwrap import wrap

from tourney.model.event import HEAD_KEYS, Day, Division, Event, Room, Table
from tourney.model.settings_layout import keys_of
from tourney.papers.settings_starter import choice

_HEAD = """\
# What you decide about the day. A line that starts with # is a remark.
# A key that you take out holds its default, which is the value shown here.
# No child's name belongs in this file. Local safeguarding and data protection rules go first.
"""
_EXAMPLES: dict[str, object] = {
    "date": "2027-04-17",
    "age_on": "2026-09-01",
    "grades": "[3, 5]",
    "zones": "[[1, 6], [7, 12]]",
}  # how one is written
_ANSWERS = """\
# Answers to the questions that `tourney check` asks, one block each:
# [[answers]]
# id = "..."
# answer = "..."
"""


def settings_text() -> str:
    """The file's text; it is sound once a name and a date are filled in."""
    parts = [
        _HEAD,
        _table("[event]", Event, HEAD_KEYS, {"name": ""}),
        _table("[day]", Day, tuple(Day.model_fields), {}),
        "# One block a room. This one is an example.",
        _table("[[rooms]]", Room, tuple(Room.model_fields), {"name": "Room 1"}),
        "# One block a division. This one is an example.",
        _table("[[divisions]]", Division, tuple(Division.model_fields), {"name": "Junior", "ages": (8, 10)}),
        _ANSWERS,
    ]
    return "\n".join(parts)


def _table(head: str, table: type[Table], names: tuple[str, ...], given: dict[str, object]) -> str:
    lines = [head]
    for name in names:
        lines += _key(name, table, given)
    return "\n".join(lines) + "\n"


def _key(name: str, table: type[Table], given: dict[str, object]) -> Iterator[str]:
    """The meaning as a remark, then the key; a key without any value is a remark as well."""
    info = table.model_fields[name]
    meaning = info.description or ""
    words = next((choice(key) for key in keys_of(table) if key.name == name), "")
    for line in wrap(meaning + (f".{words}" if words else ""), 110):
        yield f"# {line}"
    value = given.get(name, None if info.is_required() else info.default)
    if value is not None:
        yield f"{name} = {_toml(value)}"
    elif info.is_required():
        yield "# Needed: take the # in front away and write your own."
        yield f"# {name} = {_EXAMPLES[name]}"
    else:
        yield f"# {name} = {_EXAMPLES.get(name, '...')}"


def _toml(value: object) -> str:
    """A value as TOML 1.0 writes it."""
    match value:
        case bool():
            return "true" if value else "false"
        case int() | float() | Date():
            return str(value)
        case tuple():
            return "[" + ", ".join(_toml(part) for part in value) + "]"
        case Table():
            pairs = value.model_dump(by_alias=True, exclude_none=True).items()
            return "{ " + ", ".join(f"{key} = {_toml(part)}" for key, part in pairs) + " }"
        case _:
            text = str(value).replace("\\", "\\\\").replace('"', '\\"')
            return f'"{text}"'
