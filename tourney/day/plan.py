"""Draw a day and record it."""

import json
from dataclasses import dataclass, replace
from datetime import datetime
from pathlib import Path

from tourney.errors import FaultsFound, Refusal
from tourney.model.plan import Plan


@dataclass(frozen=True, slots=True)
class Planned:
    """A drawn day. changed: False when the record held the very same plan already."""

    plan: Plan
    changed: bool


def plan(folder: Path, now: datetime) -> Planned:
    """Plan an event folder: write plan.json and calls.json, and add the plan to the record when it is a new one.

    FaultsFound when something must be mended or answered first; Refusal when the rules can't all be kept, or when
    score sheets have come in already.
    """
    from tourney.draw import digest
    from tourney.intake.folder import read_folder
    from tourney.model.documents import dump
    from tourney.planning.plan import plan_day
    from tourney.planning.roster import enrol
    from tourney.record.collecting import plan_entry
    from tourney.record.folder import EventFiles, secret, write_book, write_plan
    from tourney.record.journal import Journal
    from tourney.record.state import fold

    found = read_folder(folder)
    if found.faults or found.questions or found.event is None:
        raise FaultsFound(found.faults, found.questions)
    event = found.event
    with Journal.open(EventFiles(folder).record(event)) as journal:
        before = fold(journal.rows())
        if before.received:
            raise Refusal(
                f"{before.received} score sheets have come in, so the plan stands.",
                cures=("To play the day anew, start a folder of its own with the same entries.",),
            )
        inputs = {"event": event, "teams": found.teams, "officials": found.officials, "syllabus": found.syllabus}
        documents = {name: dump(noun) for name, noun in inputs.items()}
        hashed = digest(json.dumps(documents, sort_keys=True, ensure_ascii=False))
        roster = enrol(found.teams, found.officials, event, before.roster)
        drawn, book = plan_day(event, roster, found.syllabus, secret(folder), hashed)
        same = before.plan is not None and replace(drawn, revision=before.revision) == before.plan
        same = same and roster == before.roster
        drawn = replace(drawn, revision=before.revision if same else before.revision + 1)
        if not same:
            journal.append_all((plan_entry(drawn, roster, book),), at=now)
    write_book(folder, book)
    write_plan(folder, drawn)
    return Planned(drawn, not same)
