"""Letters, ticks and what to type instead."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tourney.intake.marks import advice, is_tick, letters_of, quoted
from tourney.model.sheet import LETTERS


@pytest.mark.parametrize(
    ("typed", "letters"),
    [
        ("", ()),
        ("  ", ()),
        ("\N{NO-BREAK SPACE}", ()),
        ("\N{ZERO WIDTH SPACE}", ()),
        ("l", ("L",)),
        (" W ", ("W",)),
        ("sl", ("L", "S")),
        ("H, W", ("W", "H")),
        ("w/l.", ("L", "W")),
        ("\N{FULLWIDTH LATIN CAPITAL LETTER L}", ("L",)),
        ("N", ("N",)),
    ],
)
def test_letters(typed: str, letters: tuple[str, ...]) -> None:
    assert letters_of(typed) == letters


# The sharp s turns into two letters S when made upper case: it must not count as spoken faults.
@pytest.mark.parametrize(
    "typed", ["\N{LATIN SMALL LETTER SHARP S}", "I", "5", "LL", "NL", "late", ".", "#", "VV", "-L", ", S"]
)
def test_what_is_uncertain_is_none(typed: str) -> None:
    assert letters_of(typed) is None
    assert advice(typed)


@given(st.text(max_size=6))
def test_only_the_five_letters_ever_come_out(typed: str) -> None:
    letters = letters_of(typed)
    assert letters is None or set(letters) <= set(LETTERS)
    assert is_tick(typed) in (True, False, None)
    assert len(quoted(typed)) <= 25


def test_advice_names_the_cure() -> None:
    assert advice("nw").startswith("N means absent and stands alone")
    assert advice("nn") == "Type each letter once."
    assert "letter W was meant" in advice("vv")
    assert advice("- l").startswith("Type L without the sign before it")
    assert advice(1.0) == advice("1") != advice("2")
