"""Reads what the caller's page saved at practice. Everything in it is checked: anybody may have changed the file."""

import json
from collections.abc import Iterator
from typing import Any

from tourney.canon.syllabus import Syllabus
from tourney.faults import Code
from tourney.intake.findings import Findings
from tourney.intake.nearest import suggestion
from tourney.model.tally import FORMAT, MARKS, Noted

MOST_BYTES = 5_000_000  # far more than a year of practice
MOST_LINES = 60
_HINT = "Save the tally from the caller's page once more, and hand that file in unchanged."


def read_tally(file: str, content: bytes, syllabus: Syllabus, findings: Findings) -> tuple[Noted, ...]:
    """The notes of one file; places of faults are such as rows[3].item, counted from 1."""
    try:
        document = json.loads(content)
    except (ValueError, RecursionError):
        findings.fault(file, "", Code.UNREADABLE_FILE, f"{file} is not a tally: it is not JSON.", _HINT)
        return ()
    if not isinstance(document, dict) or document.get("format") != FORMAT:
        findings.fault(file, "format", Code.UNREADABLE_FILE, f"{file} is not a tally of the caller's page.", _HINT)
        return ()
    session, rows = document.get("session"), document.get("rows")
    if not isinstance(session, str) or not isinstance(rows, list):
        findings.fault(file, "rows", Code.MISSING_KEY, f"{file} holds no practice: session or rows is missing.", _HINT)
        return ()
    who = _who(document.get("lines"))
    notes = (_noted(file, at, row, session, who, syllabus, findings) for at, row in enumerate(rows, 1))
    return tuple(note for note in notes if note is not None)


def _who(lines: Any) -> dict[int, str]:
    """Line -> contestant's id, where the page knew one."""
    known = [line for line in lines if isinstance(line, dict)] if isinstance(lines, list) else []
    return {
        line["line"]: line["who"] for line in known if _whole(line.get("line")) and isinstance(line.get("who"), str)
    }


def _noted(
    file: str, at: int, row: Any, session: str, who: dict[int, str], syllabus: Syllabus, findings: Findings
) -> Noted | None:
    if not isinstance(row, dict):
        findings.fault(file, f"rows[{at}]", Code.BAD_VALUE, f"Row {at} is not a note.", _HINT)
        return None
    wrong = list(_wrong(row, syllabus))
    for name, code, message, hint in wrong:
        findings.fault(file, f"rows[{at}].{name}", code, message, hint)
    if wrong:
        return None
    line = row["line"]
    return Noted(session, row["set"], row["call"], row["item"], line, who.get(line, ""), row["mark"])


def _wrong(row: dict[str, Any], syllabus: Syllabus) -> Iterator[tuple[str, Code, str, str]]:
    if not isinstance(row.get("set"), str):
        yield "set", Code.BAD_VALUE, "The set has no name.", _HINT
    if not _whole(row.get("call")) or row["call"] < 1:
        yield "call", Code.BAD_VALUE, f"The call is {_shown(row.get('call'))}.", "Write its number, from 1."
    if not _whole(row.get("line")) or not 1 <= row["line"] <= MOST_LINES:
        yield "line", Code.BAD_VALUE, f"The line is {_shown(row.get('line'))}.", f"Write a number, 1 to {MOST_LINES}."
    item = row.get("item")
    if not isinstance(item, str) or item not in syllabus.rank:
        hint = suggestion(item, list(syllabus.rank)) if isinstance(item, str) else ""
        yield "item", Code.UNKNOWN_ITEM, f"Nothing in the syllabus has the id {_shown(item)}.", hint or _HINT
    if row.get("mark") not in MARKS:
        yield "mark", Code.BAD_VALUE, f"The mark is {_shown(row.get('mark'))}.", f"Write one of: {', '.join(MARKS)}."


def _whole(value: Any) -> bool:
    return isinstance(value, int) and not isinstance(value, bool)


def _shown(value: Any) -> str:
    text = json.dumps(value, ensure_ascii=False)
    return text if len(text) <= 40 else text[:40] + "…"
