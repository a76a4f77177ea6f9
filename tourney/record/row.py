"""Rows of the journal, chained: each carries the hash of the one before, so that nothing can change unseen."""

import hashlib
import json
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from typing import Any

FIRST = "0" * 64  # what the first row has for the hash before it


@dataclass(frozen=True, slots=True)
class Entry:
    """What is to be written down. kind: plan, sheet or ruling. body: a JSON document. by, why: who decided and why."""

    kind: str
    body: dict[str, Any]
    by: str = ""
    why: str = ""


@dataclass(frozen=True, slots=True)
class Row:
    """What was written down. seq: 1, 2, 3 ... at: aware, in UTC. previous, hash: SHA-256, 64 hexadecimal digits."""

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


def row_hash(seq: int, at: datetime, entry: Entry, previous: str) -> str:
    """SHA-256 over the canonical JSON of all that a row says and of the hash before it."""
    words = {
        "seq": seq,
        "at": at.isoformat(),
        "kind": entry.kind,
        "by": entry.by,
        "why": entry.why,
        "body": entry.body,
        "previous": previous,
    }
    return hashlib.sha256(canonical(words).encode()).hexdigest()


def broken_at(rows: Iterable[Row]) -> int | None:
    """The seq of the first row that was altered, removed or moved; None for a sound chain.

    A tail cut off whole leaves a sound chain: compare the last hash with one that was posted.
    """
    previous = FIRST
    for seq, row in enumerate(rows, 1):
        entry = Entry(row.kind, row.body, row.by, row.why)
        sound = row.seq == seq and row.previous == previous and row.hash == row_hash(seq, row.at, entry, previous)
        if not sound:
            return seq
        previous = row.hash
    return None
