"""Rows of the journal, chained: each carries the hash of the one before, so that nothing can change unseen."""

import hashlib
import json
from dataclasses import dataclass, replace
from datetime import datetime
from typing import Any

from tourney.model.journal_row import StoredRow

FIRST = "0" * 64  # what the first row has for the hash before it


@dataclass(frozen=True, slots=True)
class Entry:
    """What is to be written down. kind: plan, sheet or ruling. body: a JSON document, which may hold Private parts.

    by, why: who decided and why.
    """

    kind: str
    body: dict[str, Any]
    by: str = ""
    why: str = ""


@dataclass(frozen=True, slots=True)
class Row:
    """What was written down. seq: 1, 2, 3 ... at: aware, in UTC. previous, hash: SHA-256, 64 hexadecimal digits.

    body: of what a purge took away {"$removed": name of the key} is left; why is empty then.
    """

    seq: int
    at: datetime
    kind: str
    by: str
    why: str
    body: dict[str, Any]
    previous: str
    hash: str


def canonical(document: Any) -> str:
    """The one way to write a JSON document down, plain ASCII."""
    return json.dumps(document, sort_keys=True, separators=(",", ":"), allow_nan=False)


def chained(seq: int, at: datetime, kind: str, by: str, document: str, previous: str) -> StoredRow:
    """The row with its hash: over all that it says and the hash of the row before."""
    row = StoredRow(seq, at.isoformat(), kind, by, document, previous, "")
    words = row.values
    del words["hash"]
    return replace(row, hash=hashlib.sha256(canonical(words).encode()).hexdigest())
