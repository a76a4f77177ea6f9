"""The built-in syllabus and syllabuses of other lists."""

from itertools import pairwise

import pytest
import usfm_references

from tourney.canon.syllabus import NOTHING, Item, Syllabus, built_in

CANON = built_in()


def test_every_book_with_its_neighbours() -> None:
    answers = [CANON.answer(item.id) for item in CANON.items]
    assert answers[0] == (NOTHING, "Genesis", "Exodus")
    assert answers[-1] == ("Jude", "Revelation", NOTHING)
    assert all(one[1:] == other[:2] for one, other in pairwise(answers))


def test_neighbours_across_the_testaments() -> None:
    assert CANON.answer("MAL") == ("Zechariah", "Malachi", "Matthew")
    assert CANON.answer("MIC") == ("Jonah", "Micah", "Nahum")


def test_a_numbered_book_may_be_said_in_its_usual_forms() -> None:
    assert {"First Samuel", "I Samuel"} <= set(CANON.also("1SA"))
    assert {"Third John", "III John"} <= set(CANON.also("3JN"))
    assert CANON.also("JOB") == ()


def test_no_name_is_right_for_two_books() -> None:
    names = [name.casefold() for item in CANON.items for name in (item.name, *CANON.also(item.id))]
    assert len(names) == len(set(names)) > 66


@pytest.mark.parametrize("item", CANON.items, ids=lambda item: item.id)
def test_names_mean_the_same_book_elsewhere(item: Item) -> None:
    """usfm-references knows many names. It keeps "2 Esdras" for a book outside the 66; the Vulgate's is Nehemiah."""
    meant = {name: usfm_references.convert_book_name_to_usfm(name) for name in (item.name, *CANON.also(item.id))}
    known = {name: book for name, book in meant.items() if book and not name.endswith(" Esdras")}
    assert item.name in known
    assert set(known.values()) == {item.id}


def test_sections_in_order_with_names_for_people() -> None:
    assert [CANON.section_name(key) for key in CANON.sections] == [
        "Law",
        "History",
        "Poetry",
        "Major Prophets",
        "Minor Prophets",
        "Gospels and Acts",
        "Paul",
        "General Letters and Revelation",
    ]


def test_first_and_last_may_be_left_out() -> None:
    inner = [item.id for item in CANON.allowed("Junior", "leave_out")]
    assert (len(inner), inner[0], inner[-1]) == (64, "EXO", "JUD")
    assert len(CANON.allowed("Junior")) == 66


def test_another_list_has_neighbours_of_its_own() -> None:
    items = tuple(
        Item(key, key.title(), section, 1.0, divisions=only)
        for key, section, only in (("ash", "tall_trees", ()), ("elm", "tall_trees", ("Senior",)), ("rye", "grain", ()))
    )
    trees = Syllabus(items)
    assert trees.answer("elm") == ("Ash", "Elm", "Rye")
    assert [item.id for item in trees.allowed("Junior")] == ["ash", "rye"]
    assert [item.id for item in trees.allowed("Senior")] == ["ash", "elm", "rye"]
    assert (trees.sections, trees.section_name("tall_trees")) == (("tall_trees", "grain"), "Tall Trees")


def test_an_unknown_item_is_a_mistake_of_the_caller() -> None:
    with pytest.raises(KeyError):
        CANON.item("XXX")
