"""The score sheets of one heat once more, for sheets that were lost or spoilt."""

import shutil
from dataclasses import replace
from pathlib import Path

from tourney.errors import Refusal
from tourney.model.calls import CallBook
from tourney.model.people import Roster
from tourney.model.plan import Plan
from tourney.papers.score_sheets import score_workbook
from tourney.papers.sheet_facts import facts_by_room
from tourney.papers.shelf import Written, shelve


def write_heat_copy(folder: Path, plan: Plan, book: CallBook, roster: Roster, heat: str) -> Written:
    """Write papers/judges/heats/HEAT.xlsx of an event folder: the sheets of the room's workbook, with COPY on them.

    The codes are the same, so that it does not matter which of two sheets is handed in. Refusal when the plan has no
    such heat. FileTrouble when the file is open elsewhere or the folder is read-only.
    """
    found = plan.heat.get(heat.upper())
    if found is None:
        raise Refusal(
            f"Plan {plan.revision} has no heat {heat}.",
            cures=(f"Name a heat as the schedule and the score sheets do, such as {plan.heats[0].id}.",),
        )
    papers = folder / "papers"
    fresh = papers / ".fresh"
    shutil.rmtree(fresh, ignore_errors=True)
    sheets = [
        replace(facts, copy=True) for facts in facts_by_room(plan, book, roster)[found.room] if facts.heat == found
    ]
    try:
        score_workbook(f"score sheets of heat {found.id}, copy", sheets, plan).save(
            fresh / "judges" / "heats" / f"{found.id}.xlsx"
        )
        return shelve(fresh, papers, whole=False)
    finally:
        shutil.rmtree(fresh, ignore_errors=True)
