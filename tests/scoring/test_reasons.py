"""The sentence beside each place."""

from fractions import Fraction

import pytest

from tourney.scoring.chain import Criterion, Finding, separate
from tourney.scoring.reasons import decided_by, sentence
from tourney.scoring.words import counted, listing, number, ordinal, place_range, place_words


def criterion(name: str, values: dict[str, int], one: str, many: str, sign: int = 1) -> Criterion:
    shown = {team: str(value) for team, value in values.items()}
    return Criterion(
        name, lambda group: Finding(name, {team: (sign * values[team],) for team in group}, shown, one, many)
    )


def told(criteria: list[Criterion], teams: str = "ABC") -> dict[str, tuple[str, str]]:
    levels = separate(tuple(teams), criteria)
    places = [1 + sum(len(one.teams) for one in levels[:at]) for at in range(len(levels))]
    names = {team: f"Team {team}" for team in teams}
    return {
        team: (decided_by(levels, at, "points"), sentence(team, levels, at, places, names))
        for at, level in enumerate(levels)
        for team in level.teams
    }


def test_what_is_level_comes_before_what_decides() -> None:
    points = criterion("points", {"A": 1990, "B": 1980, "C": 1980}, "point", "points")
    clean = criterion("clean_calls", {"A": 190, "B": 185, "C": 185}, "clean call", "clean calls")
    late = criterion("fewer_late", {"A": 0, "B": 5, "C": 8}, "late", "late", -1)
    assert told([points, clean, late]) == {
        "A": ("points", "1st not 2nd: 1990 points against 1980"),
        "B": ("fewer_late", "2nd not 3rd: level on 1980 points and 185 clean calls; 5 late against 8"),
        "C": ("fewer_late", "3rd not 2nd: level on 1980 points and 185 clean calls; 8 late against 5"),
    }


def test_a_shared_place_says_with_whom_and_what_is_left() -> None:
    points = criterion("points", {"A": 1, "B": 1, "C": 0}, "point", "points")
    drill = Criterion("drill_off", lambda _group: Finding("drill_off", {}, note="a drill-off is to come", pending=True))
    assert told([points, drill])["A"] == (
        "shared",
        "1st, shared with Team B: level on 1 point; a drill-off is to come",
    )
    assert told([points])["B"] == (
        "shared",
        "1st, shared with Team A: level on 1 point; nothing in the rules separates them",
    )
    assert told([points])["C"] == ("points", "3rd not 1st: 0 points against 1")


def test_what_could_not_be_asked_is_said() -> None:
    skipped = Criterion("head_to_head", lambda _group: Finding("head_to_head", {}, note="not all of them met"), True)
    points = criterion("points", {"A": 7, "B": 7}, "point", "points")
    last = criterion("lot", {"A": 2, "B": 1}, "in the lot", "in the lot")
    assert told([points, skipped, last], "AB")["A"][1] == (
        "1st not 2nd: level on 7 points; not all of them met; 2 in the lot against 1"
    )


def test_a_team_alone_and_a_crowd() -> None:
    assert told([], "A")["A"] == ("points", "1st: the only team of the division")
    assert told([], "ABCDE")["A"][1].startswith("1st, shared with 4 other teams")


@pytest.mark.parametrize(
    ("value", "text"),
    [
        (1980, "1980"), (Fraction(3961, 2), "1980½"), (Fraction(-1, 3), "-⅓"), (0, "0"), (Fraction(-7, 2), "-3½"),
        (Fraction(1, 2), "½"), (Fraction(32, 3), "10⅔"), (Fraction(37, 5), "7 2/5"), (Fraction(-1, 6), "-1/6"),
    ],
)  # fmt: skip
def test_numbers_are_never_rounded(value: Fraction, text: str) -> None:
    assert number(value) == text


def test_one_of_a_thing_is_never_more() -> None:
    assert [counted(many, "sheet") for many in (0, 1, 2, -1)] == ["0 sheets", "1 sheet", "2 sheets", "-1 sheets"]
    assert [counted(many, "child", "children") for many in (1, 3)] == ["1 child", "3 children"]


def test_places_as_tables_show_them() -> None:
    assert [place_words(2, shared=shared) for shared in (False, True)] == ["2", "2="]
    assert [place_range(2, 2), place_range(2, 4)] == ["2", "2 to 4"]


def test_places_and_lists_in_words() -> None:
    assert [ordinal(n) for n in (1, 2, 3, 4, 11, 12, 13, 21, 22, 101, 111)] == [
        "1st", "2nd", "3rd", "4th", "11th", "12th", "13th", "21st", "22nd", "101st", "111th",
    ]  # fmt: skip
    assert listing(["one"]) == "one"
    assert listing(["one", "two"]) == "one and two"
    assert listing(["one", "two", "three"]) == "one, two and three"
    assert listing([]) == ""
