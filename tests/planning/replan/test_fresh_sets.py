"""Call sets that step in: as hard as the others, unlike them in order, and unlike the one that leaked."""

from collections import Counter
from collections.abc import Callable
from typing import Any

import pytest

from tourney.canon.syllabus import built_in
from tourney.model.calls import CallSet
from tourney.model.plan import FairnessLine
from tourney.planning.plan import plan_day
from tourney.planning.replan.changes import Changes
from tourney.planning.replan.replan import PlayedDay, Replanned

Change = Callable[[PlayedDay, Changes], Replanned]
Broken = Callable[[PlayedDay, Replanned], list[str]]


def lines(found: Replanned) -> dict[str, FairnessLine]:
    return {line.property: line for line in found.plan.fairness if line.scope == "Junior"}


def known_calls_if_used_evenly(leaked: CallSet, others: list[CallSet]) -> int:
    """Fewest calls of a leaked set in any other with its calls a section that leaves uses at most one apart.

    By counting, section by section: what the other sets use least has to come, and what they use most can't.
    """
    syllabus, uses, forced = built_in(), Counter(call.item for one in others for call in one.calls), 0
    calls = Counter(call.section for call in leaked.calls)
    for section, number in calls.items():
        items = [item.id for item in syllabus.items if item.section == section]
        low = (sum(uses[item] for item in items) + number) // len(items)  # uses of the day: these, or one more
        must = [item for item in items if uses[item] < low]
        may = [item for item in items if uses[item] == low]
        seen = {call.item for call in leaked.calls}
        forced += len(seen.intersection(must)) + max(0, number - len(must) - len(set(may) - seen))
    return forced


@pytest.mark.parametrize("leaked", ["J-W01", "J-W02", "J-W03", "J-W04", "J-W05", "J-W06"])
def test_what_steps_in_for_a_leaked_set_is_as_hard_and_gives_away_less(
    barns: PlayedDay, change: Change, broken: Broken, leaked: str
) -> None:
    found = change(barns, Changes(leaked=(leaked,)))
    assert broken(barns, found) == []
    now = lines(found)
    assert now["difficulty_spread_percent"].ok and now["sections_in_like_order"].ok and now["sets_between_reuse"].ok
    old, new = barns.book.set[leaked], found.book.set[f"{leaked}-2"]
    again = len({call.item for call in old.calls} & {call.item for call in new.calls})
    others = [one for one in barns.book.sets if one.use == "rotation" and one.id != leaked]
    # Two items of a section may be used two times apart: with one, more of what leaked would have to be called again.
    even = known_calls_if_used_evenly(old, others)
    assert again <= len(old.calls) // 2 and again < even
    assert now["use_spread_in_a_section"].measured == 2
    said = f"{again} of its {len(old.calls)} calls stood in that set too. At least {even} would"
    assert any(said in note for note in found.notes)
    assert any(note.startswith("Less fair than before: use spread in a section") for note in found.notes)


def test_sets_for_moved_heats_use_the_list_evenly(barns: PlayedDay, change: Change, broken: Broken) -> None:
    found = change(barns, Changes(rooms_lost=("Room A", "Room B")))
    assert broken(barns, found) == []
    now = lines(found)
    assert now["use_spread_in_a_section"].measured == 1 and now["sets_between_reuse"].ok


@pytest.mark.parametrize("calls", [19, 20])
def test_fresh_sets_hold_no_neighbours_where_sets_share_items_already(make: Any, change: Change, calls: int) -> None:
    """With so many calls and equal sections two sets heard one after the other can't be free of each other's items."""
    rules = {"name": "Junior", "rounds": 2, "judges": 1, "timekeeper": "caller", "calls": calls}
    event = make.event([rules], 2)
    roster = make.roster(event, {"Junior": 8}, 14, clubs=5, tied=0.3)
    plan, book = plan_day(event, roster, built_in(), "a secret", "sha256:0")
    day = PlayedDay(plan, book, roster, frozenset(), "00:00", {wave.id: wave.start for wave in plan.waves})
    now = lines(change(day, Changes(rooms_lost=("Room A",))))
    assert now["neighbours_in_one_set"].ok and now["use_spread_in_a_section"].ok
