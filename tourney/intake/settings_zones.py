"""Zones of a line: every place in a line has judges, all places equally many."""

from collections.abc import Iterator

from tourney.faults import Code
from tourney.intake.findings import Findings
from tourney.intake.settings_document import Document
from tourney.model.event import Division, Event

_EXAMPLE = "Write one zone after the other, such as 1-6, 7-12."


def check_zones(event: Event, document: Document, findings: Findings) -> None:
    """A fault for each zone that does not begin where the one before ends, and where zones and judges don't fit."""
    limit = max(room.line_limit for room in event.rooms)
    for number, division in enumerate(event.divisions):
        for message, hint in _wrong(division, limit):
            where = document.where(("divisions", number, "zones"))
            findings.fault(document.file, where, Code.BAD_VALUE, f"{division.name}: {message}", hint)


def _wrong(division: Division, limit: int) -> Iterator[tuple[str, str]]:
    """What is wrong, and what would be right. limit: of the longest line that any room takes."""
    if division.zones is None:
        return
    if not division.zones:
        yield "there is no zone in the list.", _EXAMPLE + " Leave zones out where every judge watches the whole line."
        return
    covered = 0
    for first, last in division.zones:
        if last < first:
            yield f"the zone {first}-{last} runs backwards.", "Write the lower number first."
            return
        if first <= covered:
            yield f"the zone {first}-{last} begins before the one in front of it ends, at line {covered}.", _EXAMPLE
        elif first > covered + 1:
            yield (
                f"{_lines(covered + 1, first - 1)} in no zone.",
                f"Let the zone {first}-{last} begin at {covered + 1}.",
            )
        covered = max(covered, last)
    if covered < limit:
        yield (
            f"{_lines(covered + 1, limit)} in no zone, and a room has a line of {limit}.",
            f"Let the last zone end at {limit}.",
        )
    zones, judges = len(division.zones), division.judges
    if judges % zones:
        yield (
            f"{judges} judge{'s' * (judges != 1)} can't share {zones} zones equally.",
            f"Set judges to {-(-judges // zones) * zones}, or write as many zones as fit.",
        )


def _lines(first: int, last: int) -> str:
    return f"line {first} is" if first == last else f"lines {first} to {last} are"
