"""What every paper's footer says: which event, which plan and which rules it was made with."""

import json
from dataclasses import dataclass

from tourney.draw import digest
from tourney.model.documents import dump
from tourney.model.event import Event
from tourney.model.plan import Plan


def short_mark(fingerprint: str) -> str:
    """The first eight characters of a "sha256:..." fingerprint, as papers show it."""
    return fingerprint.removeprefix("sha256:")[:8]


def shown_chain(chain: str) -> str:
    """The beginning of the hash of the record's last row, as posted standings show it."""
    return chain[:12] or "none"


def rules_mark(event: Event) -> str:
    """Eight characters that change whenever the settings do."""
    return short_mark(digest(json.dumps(dump(event), sort_keys=True, ensure_ascii=False)))


@dataclass(frozen=True, slots=True)
class Stamp:
    """The footer's facts. date: such as "17 April 2027". revision: 0 before there is a plan. rules: see rules_mark."""

    event: str
    date: str
    revision: int
    rules: str

    @staticmethod
    def of(made_from: Plan | Event) -> "Stamp":
        """The stamp of all papers of one plan, or of the settings alone."""
        event, revision = (made_from, 0) if isinstance(made_from, Event) else (made_from.event, made_from.revision)
        date = event.date
        return Stamp(event.name, f"{date.day} {MONTHS[date.month - 1]} {date.year}", revision, rules_mark(event))


# Written out, since the system's own names follow the language of the computer.
MONTHS = (
    "January", "February", "March", "April", "May", "June",
    "July", "August", "September", "October", "November", "December",
)  # fmt: skip
