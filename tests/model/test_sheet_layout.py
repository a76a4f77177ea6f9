"""The codes and the identity that a score sheet carries."""

from itertools import pairwise, product
from string import ascii_uppercase, digits

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tourney.model.sheet_layout import (
    SheetIdentity,
    check_character,
    event_mark,
    judge_letter,
    parse_identity,
    sheet_code,
)

ALPHABET = digits + ascii_uppercase
# One stem for each of the 36 states of the check: what follows can't tell more than the state.
STEMS = {check_character(stem): stem for stem in map("".join, product(ALPHABET, repeat=2))}
stems = st.text(ALPHABET, min_size=1, max_size=12)
words = st.text(st.characters(exclude_characters="|", exclude_categories=["Cs"]), min_size=1).map(str.strip)


def test_published_example() -> None:
    """ISO/IEC 7064 MOD 37,36 in a Global Release Identifier, A1-2425G-ABC1234002-M. From memory."""
    assert check_character("A1-2425G-ABC1234002") == "M"


def test_every_wrong_character_is_caught() -> None:
    """Exhaustive: any state, any character for any other, and the check character itself."""
    assert len(STEMS) == 36
    for stem in STEMS.values():
        assert len({check_character(stem + character) for character in ALPHABET}) == 36


@given(stems, st.data())
def test_a_wrong_character_is_caught_wherever_it_stands(stem: str, data: st.DataObject) -> None:
    place = data.draw(st.integers(0, len(stem) - 1))
    wrong = data.draw(st.sampled_from(ALPHABET).filter(lambda character: character != stem[place]))
    assert check_character(stem[:place] + wrong + stem[place + 1 :]) != check_character(stem)


def test_swaps_of_neighbours_that_the_standard_misses() -> None:
    """Exhaustive: in each of the 36 states one pair of 630 goes unseen, two next to each other in it (Z and 0 too)."""
    missed = [
        first + second
        for stem in STEMS.values()
        for place, first in enumerate(ALPHABET)
        for second in ALPHABET[place + 1 :]
        if check_character(stem + first + second) == check_character(stem + second + first)
    ]
    assert sorted(missed) == sorted([*map("".join, pairwise(ALPHABET)), "0Z"])


@given(stems)
def test_case_and_separators_do_not_matter(stem: str) -> None:
    assert check_character(" -".join(stem.lower())) == check_character(stem)


def test_codes_name_heat_and_judge() -> None:
    assert sheet_code("J-R1-1", 1) == f"J-R1-1.A.{check_character('JR11A')}"
    codes = {sheet_code(f"J-R{r}-{heat}", judge) for r, heat, judge in product(range(1, 5), range(1, 8), range(1, 4))}
    assert len(codes) == 4 * 7 * 3
    assert [judge_letter(judge) for judge in (1, 2, 3)] == ["A", "B", "C"]


@given(words, words, st.integers(0, 99), st.integers(0, 999), words)
def test_identity_comes_back(code: str, heat: str, judge: int, revision: int, event: str) -> None:
    identity = SheetIdentity(code, heat, judge, revision, event)
    assert parse_identity(f"  {identity.text()} ") == identity


@pytest.mark.parametrize(
    "cell",
    [
        None,
        "",
        12.5,
        "tourney-sheet/1",
        "tourney-sheet/2|J-R1-1.A.1|J-R1-1|1|1|abc",
        "tourney-sheet/1|J-R1-1.A.1|J-R1-1|one|1|abc",
        "tourney-sheet/1|J-R1-1.A.1|J-R1-1|1|-1|abc",
        "tourney-sheet/1|J-R1-1.A.1|J-R1-1|1|1|abc|more",
    ],
)
def test_an_unsound_identity_is_none(cell: object) -> None:
    assert parse_identity(cell) is None


def test_event_mark_is_short_and_without_the_hash_name() -> None:
    assert event_mark("sha256:" + "0123456789abcdef" * 4) == "0123456789ab"
