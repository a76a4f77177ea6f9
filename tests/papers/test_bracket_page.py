"""A division's finals as a page: drawn with all it says in words, and listed heat by heat."""

import re
from collections.abc import Iterator
from dataclasses import replace
from itertools import pairwise
from typing import Any
from xml.etree import ElementTree as ET

import pytest

from tests.papers.sample_brackets import (
    double_knockout_of_four,
    knockout,
    last_out,
    names_of,
    played,
    won_without_the_deciding_heat,
)
from tourney.model.bracket import Bracket
from tourney.papers.bracket_drawing import TIGHT
from tourney.papers.bracket_page import bracket_page

TEXT = "{http://www.w3.org/2000/svg}text"


def html(day: Any, bracket: Bracket, **names: str) -> str:
    return bracket_page(day.plan, day.roster, bracket, names_of(bracket) | names).html


def pictures(page: str) -> list[ET.Element]:
    return [ET.fromstring(svg) for svg in re.findall(r"<svg.*?</svg>", page, re.DOTALL)]


def starts(picture: ET.Element) -> Iterator[ET.Element]:
    """Texts of those who begin: a seed and a name."""
    for text in picture.iter(TEXT):
        if text.get("text-anchor") == "start" and re.match(r"\d+ ", text.text or ""):
            yield text


@pytest.mark.parametrize("count", [2, 3, 4, 13, 64])
def test_a_picture_holds_every_team_and_heat_and_its_words_do_too(day: Any, count: int) -> None:
    bracket = played(knockout(count), 2)
    (picture,) = pictures(html(day, bracket))
    rows = sorted(float(text.get("y", "0")) for text in starts(picture))
    assert len(rows) == count
    assert all(after - before >= TIGHT - 0.02 for before, after in pairwise(rows))
    words = picture.find("{http://www.w3.org/2000/svg}desc")
    assert words is not None and words.text is not None
    assert all(f"{heat.name}: " in words.text for heat in bracket.heats)
    height = float(picture.get("height", "0mm")[:-2])
    assert max(float(text.get("y", "0")) for text in picture.iter(TEXT)) <= height


def test_winners_are_bold_and_time_and_room_stand_by(day: Any) -> None:
    bracket = played(knockout(4), 1)
    heats = tuple(replace(heat, wave="W01", room="Boat Shed") for heat in bracket.heats)
    page = html(day, replace(bracket, heats=heats))
    (picture,) = pictures(page)
    bold = {text.text for text in picture.iter(TEXT) if text.get("font-weight") == "bold"}
    assert bold == {"1 Gull Point Juniors", "2 Copper Mill Juniors", "299", "298"}
    assert "09:00, Boat Shed" in {text.text for text in picture.iter(TEXT)}
    assert page.count("✓") == 3, "two winners and the key"


def test_more_entries_than_one_picture_holds(day: Any) -> None:
    found = pictures(html(day, played(knockout(100))))
    assert len(found) == 3
    for picture in found:
        assert len(list(starts(picture))) <= 64


def test_names_are_escaped_and_long_ones_cut(day: Any) -> None:
    page = html(day, knockout(4), K01="<script>alert(1)</script>", K02="&" * 80)
    assert "<script>" not in page
    bracket = played(knockout(4), 0)
    page = html(day, bracket, K01="<script>alert(1)</script>", K02="M" * 80)
    assert "<script>" not in page and "&lt;script&gt;" in page
    assert any(text.text and text.text.endswith("…") for text in pictures(page)[0].iter(TEXT))


def test_a_deciding_heat_that_is_not_needed_says_so_in_picture_and_words(day: Any) -> None:
    page = html(day, won_without_the_deciding_heat())
    last = pictures(page)[-1]
    assert "not needed" in [text.text for text in last.iter(TEXT)]
    assert "Deciding heat: not needed" in "".join(last.itertext())
    assert page.count("not needed") == 3  # drawn, in its words, and in the list of heats


def test_each_tree_has_its_heading_and_a_line_its_table(day: Any) -> None:
    page = html(day, played(double_knockout_of_four(), 2))
    assert [heading in page for heading in ("Not beaten", "Beaten once", "For the title: Deciding heat")] == [True] * 3
    page = html(day, played(last_out()))
    assert "<svg" not in page and "<th" in page and "Set 4" in page
