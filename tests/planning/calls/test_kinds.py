"""Kinds of call: what is said, and what is answered."""

import pytest

from tourney.canon.syllabus import Item, Syllabus, built_in
from tourney.model.table_columns import SYLLABUS
from tourney.planning.calls.kinds import ANSWERS, call_of

ROWS = Syllabus(
    (
        Item("A", "Row 7", "fables", 1.0, kind="story", say="The fox and the kettle"),
        Item("B", "Row 8", "fables", 1.2345, kind="finish", say="Rain before seven", ending="fine by eleven"),
        Item("C", "Row 9", "lists", 1.5, ("Line 9",), kind="reference"),
        Item("D", "Row 10", "lists", 2.0),
    )
)


@pytest.mark.parametrize(
    ("key", "said", "answer"),
    [
        ("A", "The fox and the kettle", ("Row 7",)),
        ("B", "Rain before seven", ("fine by eleven", "Row 8")),
        ("C", "Row 9", ("Row 9",)),
        ("D", "Row 10", ("Row 9", "Row 10", "none")),
    ],
)
def test_each_kind(key: str, said: str, answer: tuple[str, ...]) -> None:
    call = call_of(ROWS, 3, key)
    assert (call.no, call.item, call.say, call.answer) == (3, key, said, answer)


def test_a_call_has_its_items_particulars() -> None:
    call = call_of(ROWS, 1, "B")
    assert (call.kind, call.section, call.difficulty) == ("finish", "fables", 1.234)
    assert call_of(ROWS, 1, "C").also == ("Line 9",)


def test_every_kind_of_the_form_has_a_strategy() -> None:
    (kind,) = (column for column in SYLLABUS if column.name == "kind")
    assert set(ANSWERS) == set(kind.words)


def test_the_built_in_list_ships_names_alone() -> None:
    """No verse text: every item is a book, called by its name."""
    assert {(item.kind, item.say, item.ending) for item in built_in().items} == {("book", "", "")}
