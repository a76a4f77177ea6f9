"""What is read out and handed over: the right people, in the right order, by the names that they want."""

from dataclasses import replace
from fractions import Fraction
from typing import Any

import pytest

from tourney.model.names import certificate_name
from tourney.model.people import Contestant
from tourney.model.standing import ContestantStanding, DivisionResults, Results, TeamStanding
from tourney.papers.awards import NAMES_A_PAGE, award_lists, award_pages, blank_lists, called_out, certificates
from tourney.papers.views import Hall


def team(place: int, key: str, *, shared: bool = False) -> TeamStanding:
    whole = Fraction(100)
    return TeamStanding(place, shared, key, whole, whole, 1, 0, 0, 0, 0, 0, "points", "", (place, place), "possible")


def child(place: int, key: str, shown: str, band: str | None) -> ContestantStanding:
    return ContestantStanding(place, False, key, shown, key.split("-")[0], Fraction(9), Fraction(10), band)


@pytest.fixture(scope="module")
def results() -> Results:
    teams = (team(1, "J01"), team(2, "J02", shared=True), team(2, "J03", shared=True), team(4, "J04"))
    children = (
        child(1, "J02-4", "=SUM(A1) O.", "A"),
        child(2, "J01-2", "Bram M.", "B"),
        child(3, "J01-5", "J01-5", "B"),
        child(4, "J03-1", "Wren S.", None),
    )
    return Results("final", 1, (DivisionResults("Junior", teams, children),), ())


def test_bands_come_upwards_then_places_from_the_third_to_the_first(day: Any, results: Results) -> None:
    (found,) = award_lists(Hall(day.plan, day.roster), results)
    assert [(award.title, len(award.names)) for award in found.awards] == [
        ("Award B", 2),
        ("Award A", 1),
        ("Second, shared", 2),
        ("First", 1),
    ]
    assert found.awards[0].names == ("Bram M., Copper Mill Junior", "J01-5, Copper Mill Junior")
    assert [name.split(",")[0] for name in found.awards[2].names] == [
        "Fernbank Junior",
        "St. Quill / Marsh: Youth Junior",
    ]


def test_finals_come_before_the_rounds(day: Any, results: Results) -> None:
    """Who drilled in the finals takes their places; all others follow as the rounds left them, level ones together."""
    (found,) = award_lists(Hall(day.plan, day.roster), results, {"Junior": ((1, "J04"), (2, "J01"))})
    names = {team.id: team.name for team in day.plan.teams}
    called = [(award.title, [name.split(",")[0] for name in award.names]) for award in found.awards if award.places]
    assert called == [
        ("Third, shared", [names["J02"], names["J03"]]),
        ("Second", [names["J01"]]),
        ("First", [names["J04"]]),
    ]
    playing = {page.path: page.html for page in award_pages(day.plan, day.roster, results, playing=True)}
    assert "not to be read out" in playing["awards.html"]


def test_a_band_of_many_goes_on_under_its_name(day: Any, results: Results) -> None:
    many = tuple(child(1, f"J01-{place % 5 + 1}", f"Child {place}", "A") for place in range(NAMES_A_PAGE + 1))
    crowd = replace(results, divisions=(DivisionResults("Junior", (), many),))
    (found,) = award_lists(Hall(day.plan, day.roster), crowd)
    named = [(award.title, len(award.names)) for award in found.awards if award.names]
    assert named == [("Award A", NAMES_A_PAGE), ("Award A, going on", 1)]
    pages = {page.path: page for page in award_pages(day.plan, day.roster, crowd)}
    assert sum(pages["awards.html"].html.count(f"Child {place}, ") for place in range(NAMES_A_PAGE + 1)) >= len(many)


def test_certificates_are_in_the_order_of_the_list_and_by_the_wanted_name(day: Any, results: Results) -> None:
    found = certificates(Hall(day.plan, day.roster), day.roster, results)
    assert [(one.id, one.band) for one in found] == [
        ("J03-1", ""),
        ("J01-2", "Award B"),
        ("J01-5", "Award B"),
        ("J02-4", "Award A"),
    ]
    by_id = {one.id: one.name for one in found}
    assert by_id["J01-5"] == ""  # shown by number alone: the line stays free to be written by the child's leader
    assert by_id["J02-4"] == "=SUM(A1) Oddly"


def test_names_on_certificates() -> None:
    plain = Contestant("J01-1", "Ama-Lou Tern Driftholm")
    assert certificate_name(plain) == "Ama-Lou Tern Driftholm"
    assert certificate_name(replace(plain, preferred_name="Lou")) == "Lou Tern Driftholm"
    assert certificate_name(replace(plain, preferred_name=" Lou of the Tern ")) == "Lou of the Tern"
    assert certificate_name(replace(plain, show_name="number")) == ""


def test_while_anything_is_open_nothing_looks_final(day: Any, results: Results) -> None:
    open_still = {page.path: page for page in award_pages(day.plan, day.roster, replace(results, state="provisional"))}
    closed = {page.path: page for page in award_pages(day.plan, day.roster, results)}
    assert "Provisional: not to be read out." in open_still["awards.html"].html
    assert "Provisional" not in closed["awards.html"].html
    assert "no certificates yet" in open_still["certificates.html"].html
    assert "Oddly" not in open_still["certificates.html"].html and open_still["certificates.html"].sheets == 1
    assert closed["certificates.html"].sheets == 4
    name = day.roster.contestant["J01-2"].name
    assert f'<p class="who"><bdi dir="auto">{name}</bdi></p>' in closed["certificates.html"].html


def test_full_names_are_on_certificates_alone(day: Any) -> None:
    members = {child: team.id for team in day.plan.teams if team.division == "Junior" for child in team.members}
    shown = Hall(day.plan, day.roster).names
    everyone = tuple(child(1, key, shown[key], "A") for key in members)
    whole = Results("final", 1, (DivisionResults("Junior", (), everyone),), ())
    written = {page.path: page.html for page in award_pages(day.plan, day.roster, whole)}
    hidden = [found for found in map(day.roster.contestant.__getitem__, members) if found.show_name == "initial"]
    long = [found.name for found in hidden if len(found.name.split()[-1]) > 2 and found.name.isascii()]
    plain = [name for name in long if not set(name) & set("<>&=")]
    assert len(plain) > 10 and not [name for name in plain if name in written["awards.html"]]
    assert all(name in written["certificates.html"] for name in plain)


def test_a_blank_list_has_lines_for_all_awards(day: Any) -> None:
    for found in blank_lists(Hall(day.plan, day.roster)):
        assert [award.title for award in found.awards] == ["Award B", "Award A", "Third", "Second", "First"]
        assert all(award.lines and not award.names for award in found.awards)


@pytest.mark.parametrize(("label", "said"), [("A", "Award A"), ("1", "Award 1"), ("Cup", "Cup"), ("A+", "A+")])
def test_a_letter_alone_is_not_read_out(label: str, said: str) -> None:
    assert called_out(label) == said
