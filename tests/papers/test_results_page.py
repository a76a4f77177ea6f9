"""Results as pages: safe names only, how final they are, the record's hash; and what was amended."""

import re
from dataclasses import replace
from datetime import UTC, datetime
from fractions import Fraction
from typing import Any

import pytest

from tourney.model.standing import ContestantStanding, DivisionResults, OpenMatter, Results, TeamStanding
from tourney.papers.amended_page import amended_page
from tourney.papers.page_writer import Page
from tourney.papers.results_page import results_pages, rounds_drawn
from tourney.papers.views import Hall
from tourney.scoring.changes import changes_between

NOON = datetime(2027, 4, 17, 17, 5, tzinfo=UTC)  # 12:05 in Chicago
CHAIN = "3f9c01ab77d2" + "0" * 52


@pytest.fixture(scope="module")
def results(day: Any) -> Results:
    divisions = []
    for division in day.plan.event.divisions:
        teams = [team for team in day.plan.teams if team.division == division.name]
        names = Hall(day.plan, day.roster).names
        rows = tuple(
            TeamStanding(
                place, False, team.id, Fraction(1000 - place, 2), Fraction(960), 40, 1, 2, 3, 4, 0, "points",
                f"{place} because of <b>points</b>", (place, place + 1), "possible", (Fraction(200), Fraction(201, 2)),
                "1 more clean call would have put it ahead of & Co.", {"paul": (3, 4), "law": (place, 12)},
            )
            for place, team in enumerate(teams, 1)
        )  # fmt: skip
        children = tuple(
            ContestantStanding(1, True, child, names[child], team.id, Fraction(100), Fraction(320), "A")
            for team in teams
            for child in team.members
        )
        divisions.append(DivisionResults(division.name, rows, children))
    return Results("provisional", 1, tuple(divisions), (OpenMatter("missing_sheet", "J-R1-1", "out"),))


def pages(day: Any, results: Results) -> dict[str, Page]:
    return {page.path: page for page in results_pages(day.plan, day.roster, results, CHAIN, NOON, day.syllabus)}


def test_both_pages_say_how_final_they_are_as_of_when_and_by_which_record(day: Any, results: Results) -> None:
    for page in pages(day, results).values():
        text = " ".join(page.html.split())
        assert "<b>PROVISIONAL</b>, as of 12:05. 1 matter is open." in text
        assert "3f9c01ab77d2" in text and CHAIN not in text
    final = pages(day, replace(results, state="final", open_matters=()))["wall.html"].html
    assert "<b>FINAL</b>, as of 12:05." in final and "PROVISIONAL" not in final


def test_every_team_stands_there_with_its_reason_and_rounds(day: Any, results: Results) -> None:
    html = pages(day, results)["wall.html"].html
    assert len(re.findall(r"<title>Points by round</title>", html)) == len(day.plan.teams)
    assert "round 1: 200; round 2: 100½" in html
    assert "because of &lt;b&gt;points&lt;/b&gt;" in html and "ahead of &amp; Co." in html
    assert "<script>" not in html


def test_what_ranks_first_stands_out(day: Any, results: Results) -> None:
    """Heat points where they rank, with the points beside them; else the points alone."""
    by_points = pages(day, results)["wall.html"].html
    assert '<th class="count">Points</th>' in by_points and "heat point" not in by_points.lower()
    divisions = tuple(one.model_copy(update={"rank_by": "heat_points"}) for one in day.plan.event.divisions)
    event = day.plan.event.model_copy(update={"divisions": divisions})
    other = replace(day, plan=replace(day.plan, event=event))
    html = pages(other, results)["wall.html"].html
    assert '<th class="count">Heat points</th>' in html
    assert '<b class="lead">0</b><span class="tiny">499½ of 960 points</span>' in html


def test_what_teams_found_is_shown_section_by_section_once_results_are_final(day: Any, results: Results) -> None:
    assert "Law" not in pages(day, results)["wall.html"].html, "who still counts calls learns nothing"
    for page in pages(day, replace(results, state="final", open_matters=())).values():
        assert len(re.findall(r"<title>Law</title><desc>1 of 12 found</desc>", page.html)) == 2, "one a division"
        assert re.findall(r"<th><bdi[^>]*>([^<]*)</bdi></th>", page.html)[:3] == ["Law", "Paul", "All"]
        assert page.html.count("<title>All</title>") == len(day.plan.teams)
        assert "<title>All</title><desc>4 of 16 found</desc>" in page.html


def test_names_are_those_that_may_be_shown_and_on_the_web_children_are_numbers(day: Any, results: Results) -> None:
    made = pages(day, results)
    shown = Hall(day.plan, day.roster).names
    hidden = {child.name for child in day.roster.contestants} - set(shown.values())
    assert hidden and not any(name in page.html for page in made.values() for name in hidden)
    named = {name for child, name in shown.items() if name != child and not set("<&'") & set(name)}
    assert all(name in made["wall.html"].html for name in named)
    assert not any(f">{name}<" in made["web.html"].html for name in named)
    assert "J01-1" in made["web.html"].html and "local safeguarding rules" in made["web.html"].html
    assert made["web.html"].copies == 0


def test_an_amended_page_shows_the_differences_and_nothing_else(day: Any, results: Results) -> None:
    first, second, *rest = results.divisions[0].teams
    swapped = (replace(second, place=1), replace(first, place=2), *rest)
    after = replace(results, divisions=(replace(results.divisions[0], teams=swapped), *results.divisions[1:]))
    page = amended_page(day.plan, day.roster, after, changes_between(results, after), CHAIN, NOON)
    assert len(re.findall("<tr><td>", page.html)) == 2
    assert "2, 499 of 960" in page.html and "1, 499 of 960" in page.html
    nothing = amended_page(day.plan, day.roster, results, (), CHAIN, NOON)
    assert "Nothing differs any more." in nothing.html


def test_a_round_without_a_heat_is_not_nought() -> None:
    drawn = rounds_drawn([Fraction(0), None, Fraction(7)], Fraction(7))
    assert "round 1: 0; round 2: none; round 3: 7" in drawn and "–" in drawn
    assert drawn.count("<rect") == 2
