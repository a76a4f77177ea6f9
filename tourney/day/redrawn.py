"""The proof that nobody chose the calls: drawn once more from the words and the secret, they come out the same."""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from tourney.errors import Refusal
from tourney.model.calls import CallBook
from tourney.model.plan import Plan
from tourney.verify.line import Line, rule, told

if TYPE_CHECKING:
    from tourney.canon.syllabus import Syllabus
    from tourney.record.row import Row

CALLS, SPEAKERS = "calls_follow_from_words_and_secret", "speakers_follow_from_words_and_secret"


def first_plan(rows: Sequence["Row"]) -> Plan | None:
    """The plan that the calls were drawn with: the last one before sheets came in or the day was changed."""
    from tourney.model.documents import load

    drawn = None
    for row in rows:
        if row.kind in ("sheet", "totals") or "replan" in row.body:
            break
        if row.kind == "plan":
            drawn = row.body["plan"]
    return load(Plan, drawn) if drawn else None


def redrawn_lines(
    now: Plan, book: CallBook, first: Plan | None, syllabus: "Syllabus", secret: str | None
) -> Iterator[Line]:
    """Whether the first plan's call sets and speakers come out again, and which of today's sets were drawn later.

    book: today's. first: None without a record. Then today's plan has to do, and where the day was changed, differences
    are noted and break nothing. So they are where the calls were drawn by another version. secret: None when its file
    is gone.
    """
    from tourney.draw import digest
    from tourney.planning.redraw import calls_by, draw_again

    plan = first or now
    if secret is None or digest(secret) != plan.draw.secret:
        yield told(CALLS, "all", "not tried", "the secret whose hash was posted is not in this folder")
        return
    sealed = {one.id: one.fingerprint for one in plan.call_sets}
    by = plan.draw.calls_by or "an earlier version"
    same = by == calls_by()
    certain = same and (first is not None or now.revision == 1)

    def found(name: str, unlike: Sequence[str]) -> Line:
        why = [] if same else [f"drawn by {by}, this is {calls_by()}: only the same draws the same"]
        return replace(rule(name, "all", [*why, *unlike] if unlike else []), measured=len(unlike), rule=certain)

    try:
        drawn = draw_again(plan, syllabus, secret)
    except Refusal as reason:
        yield found(CALLS, [str(reason)])
        return
    again = {one.id: one.fingerprint() for one in drawn.sets}
    unlike = [f"{key} comes out otherwise" for key in again if sealed.get(key) != again[key]]
    yield found(CALLS, unlike)
    as_drawn = {heat.id: heat for heat in plan.heats if now.heat.get(heat.id) == heat}
    others = [
        f"{row.heat}: others are asked"
        for row in drawn.speakers
        if row.heat in as_drawn and book.speakers_of.get(row.heat) != row.lines
    ]
    yield found(SPEAKERS, others)
    later = [one.id for one in now.call_sets if again.get(one.id) != one.fingerprint]
    yield told("call_sets_drawn_on_the_day", "all", len(later), ", ".join(later))
