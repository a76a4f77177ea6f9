"""Standings on the terminal: what ranks first has its column, and places that are open say how far."""

from dataclasses import replace
from fractions import Fraction

import pytest

from tourney.cli import words
from tourney.cli.score_page import print_teams
from tourney.model.event import Division
from tourney.model.standing import DivisionResults, TeamStanding


def standing(place: int, team: str, worst: int) -> TeamStanding:
    made, available = Fraction(961, 2), Fraction(960)
    return TeamStanding(
        place, False, team, made, available, 40, 1, 2, 3, 4, 7, "points", "it is so", (place, worst), "possible"
    )


OPEN = DivisionResults("Junior", (standing(1, "J01", 2), standing(2, "J02", 2)), ())


def shown(found: DivisionResults, **rules: object) -> list[str]:
    division = Division.model_validate({"name": "Junior", "ages": (8, 10), **rules})
    with words.console.capture() as said:
        print_teams(found, division, {"J01": "Gulls", "J02": "Terns"}, 2)
    return [" ".join(line.split()) for line in said.get().splitlines() if line.strip()]


def test_places_that_are_open_say_how_far() -> None:
    heading, _, first, second = shown(OPEN)[1:]
    assert heading == "place can be team points clean why this place"
    assert first == "1 1 to 2 Gulls 480½ of 960 40 it is so"
    assert second == "2 2 Terns 480½ of 960 40 it is so"


@pytest.mark.parametrize("rank_by", ["points", "heat_points"])
def test_what_ranks_first_has_its_column(rank_by: str) -> None:
    settled = replace(OPEN, teams=tuple(replace(row, range=(row.place, row.place)) for row in OPEN.teams))
    heading, _, first, _ = shown(settled, rank_by=rank_by)[1:]
    by_heats = rank_by == "heat_points"
    assert heading == f"place team {'heat points ' if by_heats else ''}points clean why this place"
    assert first == f"1 Gulls {'7 ' if by_heats else ''}480½ of 960 40 it is so"
