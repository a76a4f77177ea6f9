"""Text stays text, titles stay apart, printed corners show what was meant."""

import re
import string

import pytest
from hypothesis import given
from hypothesis import strategies as st
from openpyxl import Workbook
from openpyxl.cell.cell import Cell

from tourney.papers.text_cells import corner, put_text, sheet_title, text_width


def a_cell() -> Cell:
    cell = Workbook().worksheets[0].cell(1, 1)
    assert isinstance(cell, Cell)
    return cell


@pytest.mark.parametrize("text", ["=SUM(A1)", "+1", "-1", "@here", "#N/A", "TRUE", "2027-04-17", "0012", "100%"])
def test_text_stays_text_whatever_it_looks_like(text: str) -> None:
    cell = a_cell()
    put_text(cell, text)
    assert (cell.value, cell.data_type) == (text, "s")


def test_control_characters_are_left_out() -> None:
    cell = a_cell()
    put_text(cell, "Or\x00la\x07")
    assert cell.value == "Orla"


def test_an_ampersand_in_a_corner_is_no_command() -> None:
    """ECMA-376 part 1, 18.3.1.39 (evenFooter and its kin): && stands for one &."""
    assert corner("Salt & Pepper &P") == "Salt && Pepper &&P"


@given(st.lists(st.text(alphabet=string.printable + "ÄÖ小", max_size=50), max_size=12))
def test_titles_are_allowed_and_never_alike(texts: list[str]) -> None:
    """At most 31 characters, none of []:*?/\\ (limits of spreadsheet programs; common practice, no source)."""
    titles: list[str] = []
    for text in texts:
        titles.append(sheet_title(text, titles))
    assert len({title.casefold() for title in titles}) == len(titles)
    for title in titles:
        assert 1 <= len(title) <= 31 and not re.search(r"[\[\]:*?/\\]", title)


def test_wide_letters_are_counted_as_wide() -> None:
    assert text_width("小林", 10) > text_width("ab", 10) * 1.5
