from datetime import date as Date
from datetime import time

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tourney.intake.cells import Value, as_clock, as_list, as_text, as_whole, as_yes_no, clean
from tourney.intake.nearest import key, nearest, suggestion, word_key


@pytest.mark.parametrize(
    ("typed", "kept"),
    [
        ("  Ada \t Quill\n", "Ada Quill"),
        ("Ada\u00a0Quill", "Ada Quill"),
        ("Ada\u200b Quill\u202e", "Ada Quill"),
        ("Zoe\u0308", "Zoë"),
        ("=cmd|' /C calc'!A0", "=cmd|' /C calc'!A0"),
        ("نور الهدى", "نور الهدى"),
        ("王小明", "王小明"),
        ("می\u200cرود", "می\u200cرود"),  # a joiner that belongs to the word stays
    ],
)
def test_cleaned_texts(typed: str, kept: str) -> None:
    assert clean(typed) == kept


@given(st.text())
def test_cleaning_twice_is_cleaning_once(text: str) -> None:
    assert clean(clean(text)) == clean(text)


@pytest.mark.parametrize(
    ("value", "text"),
    [
        ("a", "a"),
        (3, "3"),
        (3.5, "3.5"),
        (True, "yes"),
        (False, "no"),
        (time(9, 5), "09:05"),
        (Date(2016, 5, 3), "2016-05-03"),
    ],
)
def test_texts(value: Value, text: str) -> None:
    assert as_text(value) == text


def test_lists_drop_what_is_empty_or_twice() -> None:
    assert as_list(" judge ;; caller;judge; ") == ("judge", "caller")
    assert as_list("") == ()


@pytest.mark.parametrize(
    ("value", "answer"),
    [("Yes", True), ("y", True), (True, True), (1, True), ("NO", False), (0, False), ("perhaps", None), ("", None)],
)
def test_yes_and_no(value: Value, answer: bool | None) -> None:
    assert as_yes_no(value) is answer


@pytest.mark.parametrize(
    ("value", "number"),
    [(4, 4), ("4", 4), ("-1", -1), ("4.5", None), (4.5, None), (True, None), ("four", None), ("9" * 9, None)],
)
def test_whole_numbers(value: Value, number: int | None) -> None:
    assert as_whole(value) == number


@pytest.mark.parametrize(
    ("value", "clock"),
    [
        ("9:05", "09:05"),
        ("09.05", "09:05"),
        (time(13, 30), "13:30"),
        ("13:30:00", "13:30"),
        ("24:00", None),
        ("9", None),
        ("1 pm", None),
    ],
)
def test_clocks(value: Value, clock: str | None) -> None:
    assert as_clock(value) == clock


def test_keys_forget_case_width_and_blanks() -> None:
    assert key("ＪＵＮＩＯＲ  a") == key("junior A")
    assert key("STRASSE") == key("straße")
    assert word_key(" Birth-Date: ") == word_key("birth_date") == "birth_date"


def test_the_nearest_word_or_all_of_a_few() -> None:
    assert nearest("Juniors", ["Middle", "Junior"]) == "Junior"
    assert nearest("xyz", ["Middle", "Junior"]) is None
    assert suggestion("juniour", ["Middle", "Junior"]) == 'The nearest is "Junior".'
    assert suggestion("xyz", ["Middle", "Junior"]) == "Known are: Middle, Junior."
    assert suggestion("xyz", []) == ""
