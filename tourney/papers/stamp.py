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
    """The footer's facts. date: such as "17 April 2027". rules: see rules_mark."""

    event: str
    date: str
    revision: int
    rules: str

    @staticmethod
    def of(plan: Plan) -> "Stamp":
        """The stamp of all papers of one plan."""
        date = plan.event.date
        return Stamp(
            plan.event.name, f"{date.day} {MONTHS[date.month - 1]} {date.year}", plan.revision, rules_mark(plan.event)
        )


# Written out, since the system's own names follow the language of the computer.
MONTHS = (
    "January", "February", "March", "April", "May", "June",
    "July", "August", "September", "October", "November", "December",
)  # fmt: skip
