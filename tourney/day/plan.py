"""Draw a day and record it."""

import json
from dataclasses import dataclass, replace
from datetime import datetime
from pathlib import Path

from tourney.errors import FaultsFound
from tourney.model.plan import Plan


@dataclass(frozen=True, slots=True)
class Planned:
    """A drawn day. changed: False when the record held the very same plan already.

    next_rounds: divisions of which one more round was drawn, with its number.
    """

    plan: Plan
    changed: bool
    next_rounds: tuple[tuple[str, int], ...] = ()


def plan(folder: Path, now: datetime) -> Planned:
    """Plan an event folder: write plan.json and calls.json, and add the plan to the record when it is a new one.

    Once score sheets have come in it draws the next round of divisions that are drawn by standing, and nothing else.
    FaultsFound when something must be mended or answered first; Refusal when the rules can't all be kept, or when
    nothing may be drawn any more.
    """
    from tourney.day.next_round import draw_next_rounds
    from tourney.draw import digest
    from tourney.intake.folder import read_folder
    from tourney.model.documents import dump
    from tourney.planning.plan import plan_day
    from tourney.planning.pools import in_pools
    from tourney.planning.roster import enrol
    from tourney.record.collecting import plan_entry
    from tourney.record.folder import EventFiles, secret, write_book, write_plan
    from tourney.record.journal import Journal
    from tourney.record.state import fold, was_replanned

    found = read_folder(folder)
    faulty = bool(found.faults or found.questions)
    if found.event is None or (faulty and not EventFiles(folder).plan.exists()):
        raise FaultsFound(found.faults, found.questions)
    event = found.event
    with Journal.open(EventFiles(folder).record(event)) as journal:
        rows = journal.rows()
        before = fold(rows)
        if before.received or was_replanned(rows):
            drawn, rounds = draw_next_rounds(folder, before, journal, now)
            return Planned(drawn, bool(rounds), rounds)
        if faulty:
            raise FaultsFound(found.faults, found.questions)
        inputs = {"event": event, "teams": found.teams, "officials": found.officials, "syllabus": found.syllabus}
        documents = {name: dump(noun) for name, noun in inputs.items()}
        hashed = digest(json.dumps(documents, sort_keys=True, ensure_ascii=False))
        roster = in_pools(enrol(found.teams, found.officials, event, before.roster), event)
        # Others read the plan, and an answer may hold a birth date.
        shown = event.model_copy(update={"answers": ()})
        drawn, book = plan_day(shown, roster, found.syllabus, secret(folder), hashed)
        same = before.plan is not None and replace(drawn, revision=before.revision) == before.plan
        same = same and roster == before.roster
        drawn = replace(drawn, revision=before.revision if same else before.revision + 1)
        if not same:
            journal.append_all((plan_entry(drawn, roster, book),), at=now)
    write_book(folder, book)
    write_plan(folder, drawn)
    return Planned(drawn, not same)
