"""Rows are chained, so that nothing can be altered, removed or moved unseen."""

import hashlib
from dataclasses import replace
from datetime import UTC, datetime
from typing import Any

import pytest

from tourney.record.row import FIRST, Entry, Row, broken_at, canonical, row_hash

AT = datetime(2027, 4, 17, 9, tzinfo=UTC)


def chain(length: int) -> list[Row]:
    rows: list[Row] = []
    for seq in range(1, length + 1):
        entry = Entry("ruling", {"n": seq}, "Ada", "she saw it")
        previous = rows[-1].hash if rows else FIRST
        rows.append(
            Row(seq, AT, entry.kind, entry.by, entry.why, entry.body, previous, row_hash(seq, AT, entry, previous))
        )
    return rows


def test_the_hash_is_sha_256_of_the_canonical_text() -> None:
    """Text as in RFC 8785 (JSON Canonicalization Scheme) but for letters outside ASCII, which are escaped."""
    text = (
        '{"at":"2027-04-17T09:00:00+00:00","body":{"n":1},"by":"Ada","kind":"ruling",'
        f'"previous":"{FIRST}","seq":1,"why":"she saw it"}}'
    )
    assert chain(1)[0].hash == hashlib.sha256(text.encode()).hexdigest()


def test_the_way_keys_are_ordered_is_no_matter() -> None:
    assert canonical({"b": 1, "a": "é"}) == canonical({"a": "é", "b": 1}) == '{"a":"\\u00e9","b":1}'


def test_a_sound_chain() -> None:
    assert broken_at([]) is None
    assert broken_at(chain(5)) is None


@pytest.mark.parametrize(
    "change",
    [
        {"at": datetime(2027, 4, 17, 9, 1, tzinfo=UTC)}, {"kind": "sheet"}, {"by": "Bo"}, {"why": ""},
        {"body": {"n": 3.5}}, {"hash": FIRST}, {"previous": FIRST}, {"seq": 9},
    ],
)  # fmt: skip
def test_an_altered_row_is_found(change: Any) -> None:
    rows = chain(5)
    rows[2] = replace(rows[2], **change)
    assert broken_at(rows) == 3


def test_removed_and_moved_rows_are_found() -> None:
    rows = chain(5)
    assert broken_at(rows[1:]) == 1
    assert broken_at([*rows[:2], *rows[3:]]) == 3
    assert broken_at([rows[0], rows[2], rows[1], *rows[3:]]) == 2
