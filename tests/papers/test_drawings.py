"""The rotation drawn for people: it says what the plan says, in shapes and in words."""

from collections import Counter
from collections.abc import Callable
from dataclasses import replace
from itertools import combinations
from typing import Any
from xml.etree import ElementTree

import pytest

from tourney.papers.drawings import MOST, ROWS, Drawing, drawings
from tourney.papers.pages import pages
from tourney.papers.views import Hall

SVG = "{http://www.w3.org/2000/svg}"
WIDTH = 186.0


def texts(drawing: Drawing) -> list[str]:
    return [found.text or "" for found in ElementTree.fromstring(drawing.svg).iter(f"{SVG}text")]


@pytest.fixture(scope="module")
def drawn(day: Any) -> tuple[Drawing, ...]:
    return drawings(Hall(day.plan, day.roster), WIDTH)


def test_each_division_has_both_pictures(day: Any, drawn: tuple[Drawing, ...]) -> None:
    kinds = ("who meets whom", "each team’s day")
    assert [found.title for found in drawn] == [
        f"{division.name}: {kind}" for division in day.plan.event.divisions for kind in kinds
    ]


def test_every_meeting_stands_in_two_squares(day: Any, drawn: tuple[Drawing, ...]) -> None:
    division = day.plan.event.divisions[0].name
    met: dict[tuple[str, ...], list[str]] = {}
    for heat in day.plan.heats:
        if heat.division == division:
            for pair in combinations(sorted(heat.teams), 2):
                met.setdefault(pair, []).append(str(heat.round))
    figures = Counter(text for text in texts(drawn[0]) if text[0].isdigit())
    assert figures == Counter({key: 2 * count for key, count in Counter(map(",".join, met.values())).items()})
    one, other = min(met)
    assert f"{one} meets" in drawn[0].words and f"{other} in round {met[one, other][0]}" in drawn[0].words


def test_every_heat_is_a_box_in_the_lines_of_its_teams(day: Any, drawn: tuple[Drawing, ...]) -> None:
    division = day.plan.event.divisions[0].name
    heats = [heat for heat in day.plan.heats if heat.division == division]
    assert Counter(text for text in texts(drawn[1]) if text.isdigit()) == Counter(
        str(heat.round) for heat in heats for _ in heat.teams
    )
    assert all(heat.room in drawn[1].words for heat in heats)


def test_a_drawing_is_sound_grey_and_stays_on_the_paper(drawn: tuple[Drawing, ...]) -> None:
    for found in drawn:
        root = ElementTree.fromstring(found.svg)
        assert root.get("role") == "img" and root.get("direction") == "ltr"
        assert root.findtext(f"{SVG}title") == found.title
        assert root.findtext(f"{SVG}desc") == found.words
        width = float(root.get("width", "").removesuffix("mm"))
        assert width <= WIDTH and found.height < 240
        inks = {value for part in root.iter() for key in ("fill", "stroke") if (value := part.get(key, ""))[:1] == "#"}
        assert all(ink[1:] == 3 * ink[1 : 1 + len(ink) // 3] for ink in inks)  # red, green and blue alike
        for box in root.iter(f"{SVG}rect"):
            assert 0 <= float(box.get("x", "")) <= float(box.get("x", "")) + float(box.get("width", "")) <= width + 0.01


def test_large_divisions_are_drawn_in_parts_and_very_large_ones_not(new_day: Callable[..., Any]) -> None:
    day = new_day(teams=ROWS + 4, names=("Junior",))
    found = drawings(Hall(day.plan, day.roster), WIDTH)
    assert len(found) == 4 + 2
    assert len({drawing.title for drawing in found}) == 6
    crowd = replace(day.plan, teams=day.plan.teams * (MOST // ROWS + 1))
    assert drawings(Hall(crowd, day.roster), WIDTH) == ()


def test_pairs_that_meet_again_show_both_rounds(day: Any) -> None:
    heats = [heat for heat in day.plan.heats if heat.division == day.plan.event.divisions[0].name]
    again = tuple(replace(heat, round=heat.round + 50, id=f"{heat.id}x") for heat in heats)
    found = drawings(Hall(replace(day.plan, heats=(*day.plan.heats, *again)), day.roster), WIDTH)
    assert any("," in text for text in texts(found[0]))


def test_names_from_outside_are_escaped(day: Any) -> None:
    rooms = tuple(replace(heat, room="<script>&") for heat in day.plan.heats)
    for found in drawings(Hall(replace(day.plan, heats=rooms), day.roster), WIDTH):
        assert "<script" not in found.svg
        assert ElementTree.fromstring(found.svg) is not None


def test_the_fairness_page_shows_them(day: Any) -> None:
    page = next(
        found for found in pages(day.plan, day.book, day.roster, day.syllabus) if found.path.endswith("fairness.html")
    )
    assert page.html.count("<svg ") == 2 * len(day.plan.event.divisions)
    assert "&lt;svg" not in page.html
