"""What officials are told before the first wave, from the settings."""

from datetime import timedelta
from typing import TypedDict

from tourney.model.rules import heat_rules
from tourney.papers.views import Hall, Interval

MINUTES_BEFORE = 30  # common practice, no source


class Briefing(TypedDict):
    """Times are "HH:MM". limits: seconds, and the divisions that have them."""

    meeting: str
    first: str
    last: str
    pauses: tuple[Interval, ...]
    limits: tuple[tuple[int, str], ...]
    rules: tuple[str, ...]


def briefing(hall: Hall) -> Briefing:
    """One page for everybody on duty."""
    start = hall.plan.waves[0].start
    limits: dict[int, list[str]] = {}
    for division in hall.plan.event.divisions:
        limits.setdefault(division.seconds, []).append(division.name)
    return Briefing(
        meeting=hall.clock(start - timedelta(minutes=MINUTES_BEFORE)),
        first=hall.clock(start),
        last=hall.clock(max(wave.end for wave in hall.plan.waves)),
        pauses=hall.pauses,
        limits=tuple((seconds, ", ".join(limits[seconds])) for seconds in sorted(limits)),
        rules=heat_rules(hall.plan.event),
    )
