"""The footer's facts."""

from typing import Any

from tourney.papers.stamp import Stamp, rules_mark, short_mark


def test_the_stamp_names_event_date_revision_and_rules(day: Any) -> None:
    stamp = Stamp.of(day.plan)
    assert (stamp.event, stamp.date, stamp.revision) == ("Pebble Harbour Drill Day", "17 April 2027", 1)
    assert len(stamp.rules) == 8


def test_the_rules_mark_changes_with_any_rule_and_with_nothing_else(day: Any, new_day: Any) -> None:
    event = day.plan.event
    junior, *others = event.divisions
    weighted = junior.model_copy(update={"sections": {"law": 2.0, "paul": 1.0}})
    assert rules_mark(event) == rules_mark(new_day().plan.event)
    assert rules_mark(event) != rules_mark(event.model_copy(update={"divisions": (weighted, *others)}))


def test_a_short_mark_is_the_start_of_the_hash() -> None:
    assert short_mark("sha256:0123456789abcdef") == "01234567"
