"""A checked day on the terminal: a line a property."""

from pathlib import Path

from tourney.cli import words
from tourney.day.verify import Verified


def print_verified(folder: Path, verified: Verified) -> None:
    """Every property with what was found and where, and what is broken in words."""
    broken = [line for line in verified.lines if line.status == "broken"]
    words.heading(f"{folder}, checked anew", f"{len(verified.lines)} properties, {len(broken)} broken")
    rows = [
        (
            line.status,
            line.name,
            line.scope,
            _figure(line.measured),
            _figure(line.bound),
            _figure(line.limit),
            line.worst if line.status in ("noted", "told") else "",
        )
        for line in verified.lines
    ]
    columns = ("", "property", "of", "found", "best", "limit", "where")
    words.table(columns, rows, right=("found", "best", "limit"))
    for line in broken:
        words.bullet(f"Broken: {line.name}, {line.scope}. {line.worst}.")
    if verified.chain:
        words.say(f"The record ends with {verified.chain[:12]}.")


def _figure(value: float | str | None) -> str:
    return "" if value is None else f"{value:g}" if isinstance(value, float) else str(value)
