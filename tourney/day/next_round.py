"""Draw the next round of divisions whose rounds are drawn by standing."""

from collections.abc import Sequence
from dataclasses import replace
from datetime import datetime
from fractions import Fraction
from pathlib import Path
from typing import TYPE_CHECKING

from tourney.errors import FileTrouble, Refusal
from tourney.model.calls import CallBook
from tourney.model.plan import Plan
from tourney.model.standing import DivisionResults, OpenMatter

if TYPE_CHECKING:
    from tourney.record.journal import Journal
    from tourney.record.state import DayState

SHOWN = 6  # open matters that a refusal names


def draw_next_rounds(
    folder: Path, state: "DayState", journal: "Journal", now: datetime
) -> tuple[Plan, tuple[tuple[str, int], ...]]:
    """One more round of each division whose rounds so far are all in, added to the record as a new revision.

    Returns the plan and what was drawn: (division, round). The recorded plan counts, whatever changed in the entries
    since. Refusal when no division can go on: what is missing.
    """
    from tourney.day.results import standings
    from tourney.day.state import PlannedDay
    from tourney.draw import Draw
    from tourney.planning.next_round import draw_next_round, with_speakers, with_turns_measured
    from tourney.planning.schedule import waits
    from tourney.record.collecting import plan_entry
    from tourney.record.folder import read_book, secret, write_book, write_plan
    from tourney.scoring.open_matters import keeps_provisional

    recorded, roster, book = state.plan, state.roster, read_book(folder)
    assert recorded is not None and roster is not None, "sheets and changes are of a recorded plan alone"
    _need_calls_of(recorded, book)
    draw = Draw(recorded.event.draw_words, secret(folder))
    ranked = standings(PlannedDay(recorded, book, roster, journal.rows(), state), now)
    unsettled = [matter for matter in ranked.open_matters if keeps_provisional(matter)]
    waiting = [
        found
        for found in ranked.divisions
        if waits(recorded.event.division(found.division)) and _rounds_left(recorded, found.division)
    ]
    plan, drawn = replace(recorded, revision=recorded.revision + 1), []
    for found in waiting:
        if not _of_division(recorded, unsettled, found.division):
            plan = draw_next_round(plan, roster, found.division, _worth(recorded, found))
            drawn.append((found.division, plan.drawn_rounds[found.division]))
    if not drawn:
        if _differs(folder, recorded):  # a run that broke off after it had recorded its round
            write_book(folder, with_speakers(recorded, book, draw))
            write_plan(folder, recorded)
            return recorded, ()
        raise _nothing_to_draw(recorded, state.received, [row.division for row in waiting], unsettled)
    book = with_speakers(plan, book, draw)
    plan = with_turns_measured(plan, book)
    journal.append_all((plan_entry(plan, roster, book),), at=now)
    write_book(folder, book)
    write_plan(folder, plan)
    return plan, tuple(drawn)


def _rounds_left(plan: Plan, division: str) -> int:
    rounds = plan.event.division(division).rounds
    return 0 if rounds == "all" or not plan.drawn_rounds.get(division) else rounds - plan.drawn_rounds[division]


def _of_division(plan: Plan, matters: Sequence[OpenMatter], division: str) -> list[OpenMatter]:
    return [matter for matter in matters if matter.heat in plan.heat and plan.heat[matter.heat].division == division]


def _worth(plan: Plan, found: DivisionResults) -> dict[str, Fraction]:
    """What ranks first, of each team that has a place."""
    if plan.event.division(found.division).rank_by == "heat_points":
        return {row.team: Fraction(row.heat_points) for row in found.teams}
    return {row.team: Fraction(row.points, row.available or 1) for row in found.teams}


def _need_calls_of(plan: Plan, book: CallBook) -> None:
    if {row.id: row.fingerprint for row in plan.call_sets} != {found.id: found.fingerprint() for found in book.sets}:
        raise FileTrouble("calls.json does not belong to the recorded plan.", "Take calls.json from a copy.")


def _differs(folder: Path, plan: Plan) -> bool:
    """Is the plan in the folder another one than this, or none at all."""
    from tourney.record.folder import read_plan

    try:
        return read_plan(folder) != plan
    except FileTrouble:
        return True


def _nothing_to_draw(plan: Plan, received: int, waiting: Sequence[str], matters: Sequence[OpenMatter]) -> Refusal:
    if not waiting:
        return Refusal(
            f"{received} score sheets have come in, so the plan stands."
            if received
            else "The plan was changed on the day, and drawing it anew would undo that.",
            cures=(
                "For a change on the day, use tourney replan.",
                "To play the day anew, start a folder of its own with the same entries.",
            ),
        )
    open_ = [matter for division in waiting for matter in _of_division(plan, matters, division)]
    more = [f"and {len(open_) - SHOWN} more"] if len(open_) > SHOWN else []
    rounds = " and ".join(f"round {plan.drawn_rounds[division] + 1} of {division}" for division in waiting)
    return Refusal(
        f"The heats that come before {rounds} are not all in yet, and the next heats depend on them.",
        cures=("Collect what is missing, or settle it with tourney rule; then run tourney plan again.",),
        details=(*(f"{matter.heat}: {matter.what}" for matter in open_[:SHOWN]), *more),
    )
