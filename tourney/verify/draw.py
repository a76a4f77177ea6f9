"""Whether the calls are those that were sealed, and the secret the one whose hash was posted. From the files' text."""

import hashlib
import json
from collections.abc import Iterator
from typing import Any

from tourney.verify.line import Line, rule, told

SEALED = {"id", "division", "use", "fingerprint"}  # all that a plan may say of a call set


def draw_lines(plan: dict[str, Any], calls: dict[str, Any], secret: str | None) -> Iterator[Line]:
    """The draw of a day. plan, calls: the documents as read from their files. secret: None when its file is gone."""
    yield rule("plan_shows_no_call", "all", _shown(plan))
    yield rule("fingerprints", "all", _unlike(plan, calls))
    yield rule("calls_numbered", "all", _misnumbered(calls))
    yield _secret(plan, secret)
    yield rule("draw_words", "all", _words(plan))


def fingerprint(document: Any) -> str:
    """SHA-256 over canonical JSON: keys sorted, no blanks, letters as they are, UTF-8."""
    text = json.dumps(document, sort_keys=True, ensure_ascii=False, separators=(",", ":"))
    return f"sha256:{hashlib.sha256(text.encode('utf-8')).hexdigest()}"


def _shown(plan: dict[str, Any]) -> Iterator[str]:
    for row in plan["call_sets"]:
        for key in sorted(row.keys() - SEALED):
            yield f"{row['id']} shows {key}"


def _unlike(plan: dict[str, Any], calls: dict[str, Any]) -> Iterator[str]:
    sealed = {row["id"]: row for row in plan["call_sets"]}
    drawn = {row["id"]: row for row in calls["sets"]}
    for key in sorted(sealed.keys() ^ drawn.keys()):
        yield f"{key} is only in {'plan.json' if key in sealed else 'calls.json'}"
    for key in sorted(sealed.keys() & drawn.keys()):
        if sealed[key]["fingerprint"] != fingerprint(drawn[key]):
            yield f"{key} is not the set that was sealed"
        for part in ("division", "use"):
            if sealed[key][part] != drawn[key][part]:
                yield f"{key} has two values of {part}"


def _misnumbered(calls: dict[str, Any]) -> Iterator[str]:
    for row in calls["sets"]:
        for kind in ("calls", "reserves"):
            if [call["no"] for call in row.get(kind, ())] != list(range(1, 1 + len(row.get(kind, ())))):
                yield f"{row['id']}: {kind} are not numbered 1, 2, 3"


def _secret(plan: dict[str, Any], secret: str | None) -> Line:
    if secret is None:
        return told("secret", "all", "not in this folder", "its hash was posted, so it can be checked when it is shown")
    wanted = f"sha256:{hashlib.sha256(secret.strip().encode('utf-8')).hexdigest()}"
    same = plan["draw"]["secret"] == wanted
    return rule("secret", "all", [] if same else ["draw_secret.txt is not the secret whose hash the plan holds"])


def _words(plan: dict[str, Any]) -> Iterator[str]:
    if plan["draw"]["words"] != plan["event"]["draw_words"]:
        yield "the words of the draw are not those of the settings"
