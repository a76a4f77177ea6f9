"""Any altered, removed or reordered row is found; a posted head shows a cut tail and a rewritten chain."""

import hashlib
import json
from collections.abc import Callable
from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tourney.model.journal_row import StoredRow
from tourney.verify.record import check_plan, check_record, hash_of

CONTENT = b"a filled sheet"
GAPS, LINKS = "rows numbered without a gap", "every row as it was written, after the one before"
FILES, HEAD = "received files as they came", "holds the head that was posted"
SHA = hashlib.sha256(CONTENT).hexdigest()


def rehashed(rows: list[StoredRow]) -> list[StoredRow]:
    """The same rows as somebody would write them who rewrites the whole chain."""
    made: list[StoredRow] = []
    for seq, row in enumerate(rows, 1):
        fresh = replace(row, seq=seq, previous=made[-1].hash if made else "0" * 64)
        made.append(replace(fresh, hash=hash_of(fresh)))
    return made


def chain(length: int) -> list[StoredRow]:
    document = json.dumps({"body": {"file": {"sha256": SHA}}, "why": ""})
    return rehashed(
        [StoredRow(0, f"2027-04-17T09:{seq:02}:00+00:00", "sheet", "Ada", document, "", "") for seq in range(length)]
    )


def failed(rows: list[StoredRow], head: str = "", kept: Callable[[str], bytes | None] = lambda _: CONTENT) -> list[str]:
    return [line.name for line in check_record(rows, head, kept, purged=False) if not line.ok]


@pytest.mark.parametrize("length", [0, 1, 7])
def test_a_sound_record(length: int) -> None:
    rows = chain(length)
    assert failed(rows) == []
    assert [failed(rows, row.hash) for row in rows] == [[]] * length
    assert [failed(rows, row.hash[:12].upper()) for row in rows] == [[]] * length


@pytest.mark.parametrize(
    "change", [{"at": "2027-04-17T09:01:30+00:00"}, {"kind": "ruling"}, {"by": "Bo"}, {"document": "{}"},
               {"hash": "1" * 64}, {"previous": "0" * 64}, {"seq": 9}],
)  # fmt: skip
def test_an_altered_row_is_found(change: Any) -> None:
    rows = chain(5)
    rows[2] = replace(rows[2], **change)
    assert LINKS in failed(rows)
    worst = next(line.worst for line in check_record(rows, "", lambda _: CONTENT, purged=False) if not line.ok)
    assert f"row {rows[2].seq}" in worst or "row 4" in worst


@given(st.integers(2, 8), st.data())
def test_a_removed_or_moved_row_is_found(length: int, data: st.DataObject) -> None:
    rows = chain(length)
    one = data.draw(st.integers(0, length - 2))
    assert LINKS in failed(rows[:one] + rows[one + 1 :]), "any row but the last"
    other = data.draw(st.integers(0, length - 1).filter(lambda at: at != one))
    rows[one], rows[other] = rows[other], rows[one]
    assert {GAPS, LINKS} <= set(failed(rows))


def test_a_cut_tail_is_found_by_the_head_alone() -> None:
    rows = chain(6)
    assert failed(rows[:4]) == []
    assert failed(rows[:4], rows[5].hash) == [HEAD]
    assert failed(rows[:4], rows[3].hash) == []


def test_a_rewritten_chain_is_found_by_the_head_alone() -> None:
    rows = chain(6)
    forged = rehashed([*rows[:2], replace(rows[2], by="Bo"), *rows[3:]])
    assert failed(forged) == []
    assert failed(forged, rows[5].hash[:12]) == [HEAD]
    assert failed(forged, rows[1].hash[:12]) == [], "what was posted before is still there"


def test_a_head_too_short_to_tell_is_not_found() -> None:
    rows = chain(3)
    (line,) = (line for line in check_record(rows, rows[2].hash[:11], lambda _: CONTENT, purged=False) if not line.ok)
    assert "12 characters" in line.worst


@pytest.mark.parametrize(("content", "word"), [(None, "gone"), (b"another", "altered")])
def test_a_kept_file_that_is_not_as_it_came(content: bytes | None, word: str) -> None:
    rows = chain(2)
    assert failed(rows, kept=lambda _: content) == [FILES]
    assert word in check_record(rows, "", lambda _: content, purged=False)[-1].worst
    assert all(line.ok for line in check_record(rows, "", lambda _: content, purged=True))


def test_another_plan_than_the_recorded_one() -> None:
    rows = [*chain(2), StoredRow(3, "", "plan", "", '{"body":{"plan":{"revision":1}},"why":""}', "", "")]
    assert check_plan(rows, {"revision": 1}).ok
    assert check_plan(rows, {"revision": 2}).worst == "row 3 holds another plan"
    assert not check_plan(rows[:2], {"revision": 1}).ok
    assert not check_plan([*rows, StoredRow(4, "", "plan", "", "[", "", "")], {"revision": 1}).ok, "a damaged row"
