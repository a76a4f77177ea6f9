"""event.toml as a document."""

import re
import tomllib

from tourney.faults import Code
from tourney.intake.findings import Findings
from tourney.intake.nearest import suggestion
from tourney.intake.settings_document import Document
from tourney.intake.settings_schema import known_keys
from tourney.model.event import HEAD_KEYS

_LINE = re.compile(r"line (\d+)")


def read_toml(file: str, content: bytes, findings: Findings) -> Document | None:
    """The settings in these bytes, or None with a fault that names the line."""
    try:
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError as reason:
        line = content[: reason.start].count(b"\n") + 1
        findings.fault(file, f"line {line}", Code.NOT_TOML, "A letter here is not UTF-8.", "Save the file as UTF-8.")
        return None
    try:
        values = tomllib.loads(text)
    except (tomllib.TOMLDecodeError, RecursionError) as reason:
        findings.fault(file, *_slip(text, str(reason)))
        return None
    head = values.pop("event", {})
    if not isinstance(head, dict):
        findings.fault(file, "event", Code.BAD_VALUE, "event is not a table.", "Write [event] on a line of its own.")
        head = {}
    _misplaced(file, head, values, findings)
    return Document(file, {**values, **{key: value for key, value in head.items() if key in HEAD_KEYS}})


def _slip(text: str, reason: str) -> tuple[str, Code, str, str]:
    """Place, code, message and hint of a syntax error."""
    lines = text.splitlines() or [""]
    match = _LINE.search(reason)
    number = min(int(match[1]) if match else len(lines), len(lines))
    return (
        f"line {number}",
        Code.NOT_TOML,
        f"This line can't be understood: {lines[number - 1].strip()[:60]}",
        'Look at it and at the line above: key = value, a text in "quotes", a list in [brackets], each key only once.',
    )


def _misplaced(file: str, head: dict[str, object], tables: dict[str, object], findings: Findings) -> None:
    """Keys of [event] that stand outside of it are taken out, and keys in it that don't belong there named."""
    for key in [key for key in tables if key in HEAD_KEYS]:
        del tables[key]
        findings.fault(file, key, Code.UNKNOWN_KEY, f"{key} stands outside of its table.", "Write it under [event].")
    for key in [key for key in head if key not in HEAD_KEYS]:
        elsewhere = key in known_keys(())
        hint = f"Write {key} in a table of its own." if elsewhere else suggestion(key, HEAD_KEYS)
        findings.fault(file, f"event.{key}", Code.UNKNOWN_KEY, f"[event] has no key {key}.", hint)
