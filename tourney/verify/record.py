"""The record, checked anew: is the chain whole, and does it hold what was posted.

Shares nothing with the journal but the form of a row (model/journal_row.py), from which every hash is taken anew.
"""

import hashlib
import json
from collections.abc import Callable, Iterable, Iterator, Sequence
from typing import Any

from tourney.model.journal_row import StoredRow
from tourney.verify.line import Line, rule

SHORTEST_HEAD = 12  # characters of a hash that posted standings show
_SCOPE = "record"


def check_record(
    rows: Sequence[StoredRow], head: str, kept: Callable[[str], bytes | None], *, purged: bool
) -> tuple[Line, ...]:
    """Every property of the record.

    head: a hash that was posted, or the beginning of one; empty for none. kept: SHA-256 -> the file kept under it.
    purged: the files were taken away as they should be.
    """
    lines = [
        rule("rows numbered without a gap", _SCOPE, _misplaced(rows)),
        rule("every row as it was written, after the one before", _SCOPE, _broken_links(rows)),
    ]
    if not purged:
        lines.append(rule("received files as they came", _SCOPE, _damaged_files(rows, kept)))
    if head:
        lines.append(_posted(rows, head))
    return tuple(lines)


def check_plan(rows: Sequence[StoredRow], plan: Any) -> Line:
    """The plan that everybody works with is the one that was recorded last. plan: the document plan.json."""
    return rule("plan.json as it was recorded last", _SCOPE, _other_plan(rows, plan))


def hash_of(row: StoredRow) -> str:
    """The hash that a row should carry."""
    said = {
        "at": row.at,
        "by": row.by,
        "document": row.document,
        "kind": row.kind,
        "previous": row.previous,
        "seq": row.seq,
    }
    return hashlib.sha256(json.dumps(said, sort_keys=True, separators=(",", ":")).encode("ascii")).hexdigest()


def _misplaced(rows: Sequence[StoredRow]) -> Iterator[str]:
    """Rows carry 1, 2, 3 ...: none was taken out or put in."""
    yield from (f"row {row.seq} stands in place {place}" for place, row in enumerate(rows, 1) if row.seq != place)


def _broken_links(rows: Sequence[StoredRow]) -> Iterator[str]:
    """Every row carries the hash of the one before, and its own hash is that of what it says."""
    before = "0" * 64
    for row in rows:
        if row.previous != before:
            yield f"row {row.seq} does not follow the row before it: one was removed, moved or rewritten"
        elif row.hash != hash_of(row):
            yield f"row {row.seq} was altered after it was written"
        before = row.hash


def _damaged_files(rows: Iterable[StoredRow], kept: Callable[[str], bytes | None]) -> Iterator[str]:
    """The received files are there, byte for byte."""
    for sha256 in dict.fromkeys(_file_hashes(rows)):
        content = kept(sha256)
        if content is None:
            yield f"the file {sha256[:SHORTEST_HEAD]} is gone"
        elif hashlib.sha256(content).hexdigest() != sha256:
            yield f"the file {sha256[:SHORTEST_HEAD]} was altered"


def _other_plan(rows: Iterable[StoredRow], plan: Any) -> Iterator[str]:
    recorded = [row for row in rows if row.kind == "plan"]
    if not recorded:
        yield "no plan was recorded"
    elif _body(recorded[-1]).get("plan") != plan:
        yield f"row {recorded[-1].seq} holds another plan"


def _body(row: StoredRow) -> dict[str, Any]:
    """What a row says; nothing where it is damaged, which breaks the chain and is named there."""
    try:
        body = json.loads(row.document)["body"]
    except (ValueError, KeyError, TypeError):
        return {}
    return body if isinstance(body, dict) else {}


def _file_hashes(rows: Iterable[StoredRow]) -> Iterator[str]:
    for row in rows:
        file = _body(row).get("file")
        if isinstance(file, dict):
            yield str(file.get("sha256"))


def _posted(rows: Sequence[StoredRow], head: str) -> Line:
    """The head that was posted is a row's hash: all up to that row is as it was then, and no tail was cut off."""
    wanted = head.strip().lower()
    found = [row.seq for row in rows if len(wanted) >= SHORTEST_HEAD and row.hash.startswith(wanted)]
    measured = f"row {found[0]} of {len(rows)}" if found else "not found"
    short = f"at least {SHORTEST_HEAD} characters are needed"
    why = short if len(wanted) < SHORTEST_HEAD else "the record was cut or rewritten after that head was posted"
    return Line("holds the head that was posted", _SCOPE, measured, ok=bool(found), worst="" if found else why)
