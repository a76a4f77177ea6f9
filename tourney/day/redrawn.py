"""The proof that nobody chose the calls: drawn once more from the words and the secret, they come out the same."""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from tourney.errors import Refusal
from tourney.model.plan import Plan
from tourney.verify.line import Line, rule, told

if TYPE_CHECKING:
    from tourney.canon.syllabus import Syllabus
    from tourney.record.row import Row

NAME = "calls_follow_from_words_and_secret"


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


def redrawn_lines(now: Plan, first: Plan | None, syllabus: "Syllabus", secret: str | None) -> Iterator[Line]:
    """Whether the first plan's call sets come out again, and how many of today's were drawn later.

    first: None without a record. Then today's plan has to do, and where the day was changed, differences are noted and
    break nothing. secret: None when its file is gone.
    """
    from tourney.draw import digest
    from tourney.planning.redraw import draw_again

    plan = first or now
    if secret is None or digest(secret) != plan.draw.secret:
        yield told(NAME, "all", "not tried", "the secret whose hash was posted is not in this folder")
        return
    sealed = {one.id: one.fingerprint for one in plan.call_sets}
    try:
        again = {one.id: one.fingerprint() for one in draw_again(plan, syllabus, secret)}
        unlike = [f"{key} comes out otherwise" for key in again if sealed.get(key) != again[key]]
    except Refusal as reason:
        again, unlike = {}, [str(reason)]
    yield replace(rule(NAME, "all", unlike), rule=first is not None or now.revision == 1)
    later = [one.id for one in now.call_sets if sealed.get(one.id) != one.fingerprint or one.id not in again]
    yield told("call_sets_drawn_on_the_day", "all", len(later), ", ".join(later))
