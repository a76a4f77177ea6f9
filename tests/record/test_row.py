"""A row's hash is that of all it says."""

import hashlib
from datetime import UTC, datetime

from tourney.record.row import FIRST, canonical, chained

AT = datetime(2027, 4, 17, 9, tzinfo=UTC)


def test_the_hash_is_sha_256_of_the_canonical_text() -> None:
    """Text as in RFC 8785 (JSON Canonicalization Scheme) but for letters outside ASCII, which are escaped."""
    text = (
        '{"at":"2027-04-17T09:00:00+00:00","by":"Ada","document":"{\\"n\\":1}","kind":"ruling",'
        f'"previous":"{FIRST}","seq":1}}'
    )
    row = chained(1, AT, "ruling", "Ada", '{"n":1}', FIRST)
    assert row.hash == hashlib.sha256(text.encode()).hexdigest()
    assert (row.seq, row.at, row.previous) == (1, "2027-04-17T09:00:00+00:00", FIRST)


def test_the_way_keys_are_ordered_is_no_matter() -> None:
    assert canonical({"b": 1, "a": "é"}) == canonical({"a": "é", "b": 1}) == '{"a":"\\u00e9","b":1}'
