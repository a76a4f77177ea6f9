"""Text stays text, titles stay apart, printed corners show what was meant."""

import re
import string
from xml.etree.ElementTree import fromstring
from xml.sax.saxutils import escape

from hypothesis import given
from hypothesis import strategies as st

from tourney.papers.text_cells import clean, corner, sheet_title, text_width


def test_an_ampersand_in_a_corner_is_no_command() -> None:
    """ECMA-376 part 1, 18.3.1.39 (evenFooter and its kin): && stands for one &."""
    assert corner("Salt & Pepper &P") == "Salt && Pepper &&P"


@given(st.text())
def test_corners_are_short_whole_and_in_one_line(text: str) -> None:
    """255 characters in all three corners of a head or foot: a limit of spreadsheet programs, no source."""
    shown = corner(text)
    assert len(shown) <= 64 and "\n" not in shown
    assert "&" not in shown.replace("&&", "")


@given(st.text(alphabet=st.characters()))
def test_what_is_left_is_sound_xml(text: str) -> None:
    """XML 1.0 (fifth edition), production 2, Char; read back by a parser of the standard library."""
    parsed = fromstring(f"<t>{escape(clean(text))}</t>").text or ""
    assert parsed == clean(text).replace("\r\n", "\n").replace("\r", "\n")
    assert clean("Or\x00la\x07\ufffe") == "Orla"


@given(st.lists(st.text(alphabet=string.printable + "ÄÖ小🐚", max_size=50), max_size=12))
def test_titles_are_allowed_and_never_alike(texts: list[str]) -> None:
    """At most 31 characters, none of []:*?/\\ (limits of spreadsheet programs; common practice, no source)."""
    titles: list[str] = []
    for text in texts:
        titles.append(sheet_title(text, titles))
    assert len({title.casefold() for title in titles}) == len(titles)
    for title in titles:
        assert (
            1 <= len(title.encode("utf-16-le")) // 2 <= 31
            and title == title.strip(" '")
            and not re.search(r"[\[\]:*?/\\]", title)
        )


def test_wide_letters_are_counted_as_wide() -> None:
    assert text_width("小林", 10) > text_width("ab", 10) * 1.5


def test_broad_letters_are_counted_as_broad() -> None:
    """Advance widths of M and W in Helvetica: 833 and 944 thousandths of an em; bold: 833 and 944 (the metrics of the
    PostScript core fonts, values from memory)."""
    assert text_width("M" * 45, 10) >= 45 * 0.833 * 10 * 25.4 / 72
    assert text_width("W" * 45, 10) >= 45 * 0.944 * 10 * 25.4 / 72
