"""What the caller's page saved, read back: every fault with its place."""

import json
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tourney.canon.syllabus import built_in
from tourney.faults import Code
from tourney.intake.findings import Findings
from tourney.intake.tally import read_tally
from tourney.model.tally import Noted

BOOKS = built_in()
ROW = {"set": "Mixed 1", "call": 3, "item": "MIC", "seconds": 10, "line": 2, "mark": "W"}
GOOD = {
    "format": "tourney-tally/1", "event": "Reed Day", "division": "Junior", "group": "Otters", "session": "2026-11-25",
    "lines": [{"line": 1, "who": "J01-1"}, {"line": 2, "who": "J01-2"}], "rows": [ROW],
}  # fmt: skip


def read(document: Any) -> tuple[tuple[Noted, ...], list[tuple[str, Code]]]:
    findings = Findings()
    content = document if isinstance(document, bytes) else json.dumps(document).encode()
    found = read_tally("tally.json", content, BOOKS, findings)
    return found, [(fault.where, fault.code) for fault in findings.faults]


def test_a_note_knows_its_child() -> None:
    assert read(GOOD) == ((Noted("2026-11-25", "Mixed 1", 3, "MIC", 2, "J01-2", "W"),), [])


@pytest.mark.parametrize("lines", [[], None, "x", [{"line": "2", "who": "J01-2"}], [{"line": 2, "who": 7}], [3]])
def test_without_lines_a_note_is_of_nobody_in_particular(lines: Any) -> None:
    (note,), faults = read(GOOD | {"lines": lines})
    assert note.who == "" and not faults


@pytest.mark.parametrize(
    ("key", "value", "code"),
    [
        ("item", "MIK", Code.UNKNOWN_ITEM), ("item", 7, Code.UNKNOWN_ITEM), ("mark", "clean", Code.BAD_VALUE),
        ("mark", ["W"], Code.BAD_VALUE), ("line", 0, Code.BAD_VALUE), ("line", True, Code.BAD_VALUE),
        ("line", 2.5, Code.BAD_VALUE), ("call", None, Code.BAD_VALUE), ("set", 4, Code.BAD_VALUE),
    ],
)  # fmt: skip
def test_a_wrong_value_is_named_with_its_row(key: str, value: object, code: Code) -> None:
    found, faults = read(GOOD | {"rows": [ROW, ROW | {key: value}]})
    assert faults == [(f"rows[2].{key}", code)] and len(found) == 1


@pytest.mark.parametrize(
    ("document", "where"),
    [(b"PK\x03\x04", ""), (b"", ""), (b"[" * 100_000, ""), ([], "format"), ({"format": "tourney-plan/1"}, "format"),
     ({"format": "tourney-tally/1"}, "rows"), (GOOD | {"session": 4}, "rows"), (GOOD | {"rows": [4]}, "rows[1]")],
)  # fmt: skip
def test_another_file_is_said_to_be_none(document: Any, where: str) -> None:
    found, ((place, _),) = read(document)
    assert place == where and not found


JSON = st.recursive(
    st.none() | st.booleans() | st.integers() | st.text(max_size=5),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.sampled_from([*GOOD, *ROW]), inner, max_size=4),
    max_leaves=12,
)


@given(JSON, JSON)
def test_nothing_in_a_file_stops_the_reader(rows: Any, lines: Any) -> None:
    found, faults = read(GOOD | {"rows": rows, "lines": lines})
    assert faults or rows == [] or found
