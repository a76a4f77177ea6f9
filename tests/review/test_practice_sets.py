"""Practice sets: weights, neighbours, order, and nothing that is sealed."""

from collections import Counter
from itertools import pairwise
from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tourney.canon.syllabus import Item, Syllabus, built_in
from tourney.errors import Refusal
from tourney.review.practice_need import needs
from tourney.review.practice_plan import AGAIN_AFTER, CALLS, NEW, practice_days
from tourney.review.practice_quiz import QUESTIONS, neighbour_questions
from tourney.review.practice_sets import APART, by_weight, third, unlike, weighted

BOOKS = built_in()
EVEN = {item.id: 1.0 for item in BOOKS.items}


def stream(*name: str) -> Random:
    return Random(" ".join(name))


@settings(max_examples=20)
@given(st.integers(1, 24), st.integers())
def test_a_set_has_no_item_twice_and_no_neighbours_close_by(calls: int, seed: int) -> None:
    row = weighted(BOOKS, EVEN, calls, Random(seed))
    places = [BOOKS.rank[item] for item in row]
    assert len(row) == len(set(row)) == calls
    assert not [1 for one, other in pairwise(sorted(places)) if other - one == 1]
    assert row == weighted(BOOKS, EVEN, calls, Random(seed))


def test_a_short_list_gives_all_that_it_has_neighbours_far_apart() -> None:
    syllabus = Syllabus(tuple(Item(f"I{n}", f"Item {n}", f"S{n % 3}", 1.0) for n in range(12)))
    row = weighted(syllabus, {item.id: 1.0 for item in syllabus.items}, 30, Random(1))
    places = [syllabus.rank[item] for item in row]
    assert sorted(places) == list(range(12))
    close = [
        1 for at, one in enumerate(places) for other in places[at + 1 : at + APART] if abs(one - other) == 1
    ]  # fmt: skip
    assert len(close) <= 4


def test_chances_follow_the_weights() -> None:
    """Efraimidis and Spirakis (2006): the first of a draw is item i with a chance of w_i over the sum of weights."""
    weight = {"a": 1.0, "b": 2.0, "c": 7.0}
    random = Random(5)
    first = Counter(by_weight(weight, random)[0] for _ in range(20_000))
    assert {key: first[key] / 20_000 for key in weight} == pytest.approx({"a": 0.1, "b": 0.2, "c": 0.7}, abs=0.012)


def test_easier_and_harder_thirds_do_not_meet() -> None:
    easy, hard = third(BOOKS.items, hard=False), third(BOOKS.items, hard=True)
    assert len(easy) == len(hard) == 22 and not set(easy) & set(hard)
    assert max(BOOKS.item(key).difficulty for key in easy) < min(BOOKS.item(key).difficulty for key in hard)
    assert "PSA" in easy and "PHM" in hard


def test_a_sealed_set_never_comes_out() -> None:
    rows = [("a", "b"), ("b", "a"), ("a", "c")]
    sealed = {frozenset("ab")}
    assert unlike(sealed, lambda attempt: rows[attempt], lambda row: [row]) == ("a", "c")
    with pytest.raises(Refusal, match="sealed"):
        unlike(sealed, lambda _: ("a", "b"), lambda row: [row])


@pytest.mark.parametrize("weeks", [1, 2, 4])
def test_what_is_new_comes_back_after_one_three_and_seven_days(weeks: int) -> None:
    days = practice_days(BOOKS, needs(BOOKS.items, [], []), weeks, stream)
    assert [day.day for day in days] == list(range(1, 7 * weeks + 1))
    for day in days:
        assert len(day.calls) == len(set(day.calls)) == CALLS
        assert len(day.new) == NEW and day.new | day.again <= set(day.calls) and not day.new & day.again
        for gap in AGAIN_AFTER:
            if day.day - gap >= 1:
                assert days[day.day - gap - 1].new <= set(day.calls)


def test_a_plan_goes_through_every_section_and_repeats_for_the_same_words() -> None:
    found = needs(BOOKS.items, [], [])
    days = practice_days(BOOKS, found, 2, stream)
    assert {day.section for day in days} == set(BOOKS.sections)
    assert days == practice_days(BOOKS, found, 2, stream)


def test_a_list_shorter_than_a_day_is_practised_whole() -> None:
    syllabus = Syllabus(tuple(Item(f"I{n}", f"Item {n}", "all", 1.0) for n in range(5)))
    days = practice_days(syllabus, needs(syllabus.items, [], []), 1, stream)
    assert all(set(day.calls) == set(syllabus.rank) for day in days)


def test_questions_have_the_right_answer() -> None:
    asked = neighbour_questions(BOOKS, needs(BOOKS.items, [], []).pairs, Random(3))
    assert len(asked) == QUESTIONS and {one.kind for one in asked} == {"after", "before", "between"}
    for one in asked:
        place = {"after": BOOKS.rank[one.first] + 1, "before": BOOKS.rank[one.last] - 1}
        assert BOOKS.rank[one.answer] == place.get(one.kind, BOOKS.rank[one.first] + 1)
        if one.kind == "between":
            assert BOOKS.rank[one.last] - BOOKS.rank[one.first] == 2
