"""Call sets: the fingerprint that the contract defines."""

import hashlib
import json

from hypothesis import given
from hypothesis import strategies as st

from tourney.model.calls import Call, CallBook, CallSet, Speakers
from tourney.model.documents import dump

MICAH = Call(1, "book", "MIC", "minor_prophets", 2.9, "Micah", ("Jonah", "Micah", "Nahum"))
ESTHER = Call(2, "book", "EST", "history", 3.5, "Esther", ("Nehemiah", "Esther", "Job"), ("Éster",))
SET = CallSet("J-W01", "Junior", "rotation", 1, 1, 10, (MICAH, ESTHER))


def test_anyone_can_work_out_the_fingerprint_from_the_file() -> None:
    """SHA-256 of the canonical JSON of the whole element of `sets`, as the file formats define it."""
    written = json.loads(json.dumps(dump(CallBook((SET,)))))["sets"][0]
    canonical = json.dumps(written, sort_keys=True, separators=(",", ":"), ensure_ascii=False).encode()
    assert "É".encode() in canonical
    assert SET.fingerprint() == "sha256:" + hashlib.sha256(canonical).hexdigest()


@given(st.permutations((MICAH, ESTHER)), st.integers(1, 4), st.integers(8, 12), st.sampled_from(["J-W01", "J-W02"]))
def test_two_sets_share_a_fingerprint_only_when_they_are_the_same(
    calls: list[Call], order: int, seconds: int, key: str
) -> None:
    other = CallSet(key, "Junior", "rotation", 1, order, seconds, tuple(calls))
    assert (other.fingerprint() == SET.fingerprint()) == (other == SET)


def test_sets_and_speakers_are_found_by_their_ids() -> None:
    book = CallBook((SET,), (Speakers("J-R1-1", (3, 1)),))
    assert (book.set["J-W01"], book.speakers_of["J-R1-1"]) == (SET, (3, 1))
