"""Blocks on sheets of paper."""

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tourney.papers.paging import FRAME_MM, Sheet, Words, in_pages
from tourney.papers.text_cells import MM_PER_POINT

heights = st.lists(st.integers(1, 40), max_size=40)


def test_paper_sizes() -> None:
    """A4 is 210 x 297 mm (ISO 216); Letter is 8.5 x 11 inches (ANSI/ASME Y14.1). Margins 12 and 14 + 12 mm."""
    assert (Sheet.of("A4").width, Sheet.of("A4").height) == (210 - 24, 297 - 26)
    assert Sheet.of("Letter", "landscape").width == pytest.approx(11 * 25.4 - 24)
    assert Sheet.of("Letter", "landscape").height == pytest.approx(8.5 * 25.4 - 26)
    assert Sheet.of("A4").room == 297 - 26 - FRAME_MM


@given(heights, st.integers(10, 60))
def test_every_block_is_on_one_page_in_order_and_none_is_overfull(blocks: list[int], room: int) -> None:
    found = in_pages(blocks, float, room)
    assert [block for page in found for block in page] == blocks
    assert all(sum(page) <= room or len(page) == 1 for page in found)


@given(heights, st.integers(10, 60))
def test_no_page_could_have_held_the_next_block_too(blocks: list[int], room: int) -> None:
    found = in_pages(blocks, float, room)
    assert all(sum(page) + following[0] > room for page, following in pairwise(found))
    assert len(found) == 1 or all(found)


@given(heights, st.integers(10, 60), st.integers(0, 60))
def test_what_stands_first_takes_room_of_the_first_page_alone(blocks: list[int], room: int, first: int) -> None:
    found = in_pages(blocks, float, room, first)
    assert [block for page in found for block in page] == blocks
    assert first + sum(found[0]) <= room or len(found[0]) <= 1
    assert found[1:] == (in_pages(blocks[len(found[0]) :], float, room) if len(found) > 1 else ())
    assert len(found) == 1 or first + sum(found[0]) + found[1][0] > room, "the next block would have fitted"


def test_words_that_wrap_are_taller() -> None:
    line = 10 * 1.3 * MM_PER_POINT
    assert Words("", 40, 10).mm == Words("short", 40, 10).mm == pytest.approx(line)
    assert Words("words " * 20, 40, 10).mm >= 4 * line
    assert Words("港 " * 20, 40, 10).mm > Words("a " * 20, 40, 10).mm
    long = "Donaudampfschifffahrtsgesellschaft"  # does not fit behind the number, and takes more than a line itself
    assert Words(f"J05 {long}", 50, 11).mm == pytest.approx(3 * line * 1.1)
    assert Words(long, 50, 11).mm == pytest.approx(2 * line * 1.1)
