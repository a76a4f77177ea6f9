"""Published football group tables through our own chain: a team's goals are its points, a match is a heat.

Results: the open data set martj42/international_results (GitHub, snapshot of 2026-07-19), each group's order confirmed
against the page named beside it. The rules of each tournament are those its regulations printed that year, as told on
those pages.
"""

from collections.abc import Mapping
from fractions import Fraction

import pytest

from tourney.model.event import Division
from tourney.scoring.chain import Criterion, Finding, Group, separate
from tourney.scoring.heats import TeamHeat
from tourney.scoring.table import Table
from tourney.scoring.tally import Tally
from tourney.scoring.tie_breaks import criteria_of

AMONG = ("head_to_head", "head_to_head_margin", "head_to_head_points")
OVERALL = ("margin", "points")

# Copies of Wikipedia's page of the group (wikimili), and CBS Sports, 26 June 2024.
EURO_2024_E = (
    "Romania 3-0 Ukraine; Belgium 0-1 Slovakia; Slovakia 1-2 Ukraine; Belgium 2-0 Romania; Slovakia 1-1 Romania; "
    "Ukraine 0-0 Belgium"
)
# Reuters through Flashscore; GiveMeSport.
EURO_2024_C = (
    "Slovenia 1-1 Denmark; Serbia 0-1 England; Slovenia 1-1 Serbia; Denmark 1-1 England; England 0-0 Slovenia; "
    "Denmark 0-0 Serbia"
)
# A copy of Wikipedia's page of the group; AP through Federal News Radio.
WORLD_CUP_2018_H = (
    "Colombia 1-2 Japan; Poland 1-2 Senegal; Japan 2-2 Senegal; Poland 0-3 Colombia; Japan 0-1 Poland; "
    "Senegal 0-1 Colombia"
)
# A copy of Wikipedia's page of the group (wikimili).
EURO_2004_C = (
    "Denmark 0-0 Italy; Sweden 5-0 Bulgaria; Bulgaria 0-2 Denmark; Italy 1-1 Sweden; Denmark 2-2 Sweden; "
    "Italy 2-1 Bulgaria"
)
# Goal.com, 16 June 2012.
EURO_2012_A = (
    "Poland 1-1 Greece; Russia 4-1 Czechia; Greece 1-2 Czechia; Poland 1-1 Russia; Greece 1-0 Russia; "
    "Poland 0-1 Czechia"
)
# A copy of Wikipedia's page of the group (wikimili).
WORLD_CUP_1994_E = (
    "Italy 0-1 Ireland; Norway 1-0 Mexico; Italy 1-0 Norway; Mexico 2-1 Ireland; Ireland 0-0 Norway; Italy 1-1 Mexico"
)
# The data set alone; the orders under each rule were worked out from it. China played the quarter-final that year.
ASIAN_CUP_1996_C = (
    "China 0-2 Uzbekistan; Japan 2-1 Syria; Japan 4-0 Uzbekistan; Syria 0-3 China; Japan 1-0 China; "
    "Uzbekistan 1-2 Syria"
)
# Made up: the smallest case in which meetings must be asked again.
SMALLEST = "A 1-0 B; B 2-1 C; C 1-0 A"


def table(results: str) -> Table:
    """A group's matches as heats of two; each team meets each other once."""
    heats: list[tuple[TeamHeat, ...]] = []
    for match in results.split("; "):
        home, score, away = match.split(" ")
        goals = [Fraction(text) for text in score.split("-")]
        number = len(heats) + 1
        heats.append(
            tuple(
                TeamHeat(team, number, Tally(made), made, made, 100, 30)
                for team, made in zip((home, away), goals, strict=True)
            )
        )
    return Table(tuple(sorted({team.team for heat in heats for team in heat})), tuple(heats), "heat_points")


def places(
    results: str, *chain: str, after_split: str = "repeat_meetings", then: tuple[Criterion, ...] = ()
) -> list[str]:
    """Levels, best first; teams that share one are joined by =."""
    rules = Division(name="Group", ages=(8, 10), rank_by="heat_points", tie_breaks=chain)
    group = table(results)
    levels = separate(group.teams, (*criteria_of(rules, group), *then), after_split)
    return ["=".join(level.teams) for level in levels]


def fewer(name: str, values: Mapping[str, int]) -> Criterion:
    """A criterion of the test's own: fewer is better."""

    def measure(group: Group) -> Finding:
        return Finding(name, {team: (-values[team],) for team in group})

    return Criterion(name, measure)


def test_heat_points_and_goals_of_a_published_table() -> None:
    group = table(WORLD_CUP_2018_H)
    assert group.heat_total == {"Colombia": 6, "Japan": 4, "Senegal": 4, "Poland": 3}
    assert {team: made.points for team, made in group.made.items()} == {
        "Colombia": 5, "Japan": 4, "Senegal": 4, "Poland": 2,
    }  # fmt: skip


def test_four_level_on_points_where_their_meetings_are_the_whole_table() -> None:
    order = ["Romania", "Belgium", "Slovakia", "Ukraine"]
    assert places(EURO_2024_E, *AMONG, *OVERALL) == order
    assert places(EURO_2024_E, *AMONG, *OVERALL, after_split="continue") == order
    # Asking Belgium and Romania again before goals are counted is another rule, and gives another winner.
    assert places(EURO_2024_E, *AMONG, *OVERALL, after_split="restart") == ["Belgium", "Romania", "Slovakia", "Ukraine"]


def test_meetings_are_asked_again_of_those_still_level() -> None:
    order = ["Japan", "Uzbekistan", "China", "Syria"]
    assert places(ASIAN_CUP_1996_C, *AMONG, *OVERALL) == order
    assert places(ASIAN_CUP_1996_C, *AMONG, *OVERALL, after_split="restart") == order
    # Without asking again, China passes by its goals over all matches.
    assert places(ASIAN_CUP_1996_C, *AMONG, *OVERALL, after_split="continue") == [
        "Japan",
        "China",
        "Uzbekistan",
        "Syria",
    ]
    # That year's own rule looked at all matches first.
    assert places(ASIAN_CUP_1996_C, *OVERALL, *AMONG) == ["Japan", "China", "Syria", "Uzbekistan"]


def test_the_smallest_case_in_which_meetings_are_asked_again() -> None:
    assert places(SMALLEST, *AMONG) == ["B", "C", "A"]
    assert places(SMALLEST, *AMONG, after_split="continue") == ["B=C", "A"]


@pytest.mark.parametrize(
    ("results", "chain", "order"),
    [
        (EURO_2004_C, (*AMONG, *OVERALL), ["Sweden", "Denmark", "Italy", "Bulgaria"]),
        (EURO_2012_A, (*AMONG, *OVERALL), ["Czechia", "Greece", "Russia", "Poland"]),
        (EURO_2012_A, (*OVERALL, *AMONG), ["Czechia", "Russia", "Greece", "Poland"]),
        (WORLD_CUP_1994_E, (*OVERALL, *AMONG), ["Mexico", "Ireland", "Italy", "Norway"]),
        (EURO_2024_C, (*AMONG, *OVERALL), ["England", "Denmark=Slovenia", "Serbia"]),
        (WORLD_CUP_2018_H, (*OVERALL, *AMONG), ["Colombia", "Japan=Senegal", "Poland"]),
    ],
)
def test_published_orders(results: str, chain: tuple[str, ...], order: list[str]) -> None:
    assert places(results, *chain) == order


def test_cards_decide_what_results_leave_level() -> None:
    # 2024: the official of the bench counts among the cards, 6 against 7. 2018: four cautions against six.
    cards_2024 = fewer("cards", {"Denmark": 6, "Slovenia": 7})
    assert places(EURO_2024_C, *AMONG, *OVERALL, then=(cards_2024,))[1:3] == ["Denmark", "Slovenia"]
    cards_2018 = fewer("cards", {"Japan": 4, "Senegal": 6})
    assert places(WORLD_CUP_2018_H, *OVERALL, *AMONG, then=(cards_2018,))[1:3] == ["Japan", "Senegal"]


# Points, goal difference, goals, wins; the first four went on.
# 2020: uefa.com, "best third-placed teams confirmed" (article 21.03). 2024: worked out from the data set; who went on:
# ESPN.
THIRDS_2020 = {
    "Portugal": (4, 1, 7, 1), "Czechia": (4, 1, 3, 1), "Switzerland": (4, -1, 4, 1), "Ukraine": (3, -1, 4, 1),
    "Finland": (3, -2, 1, 1), "Slovakia": (3, -5, 2, 1),
}  # fmt: skip
THIRDS_2024 = {
    "Netherlands": (4, 0, 4, 1), "Georgia": (4, 0, 4, 1), "Slovakia": (4, 0, 3, 1), "Slovenia": (3, 0, 2, 0),
    "Hungary": (3, -3, 2, 1), "Croatia": (2, -3, 3, 0),
}  # fmt: skip


@pytest.mark.parametrize(
    ("thirds", "order"),
    [
        (THIRDS_2020, ["Portugal", "Czechia", "Switzerland", "Ukraine", "Finland", "Slovakia"]),
        (THIRDS_2024, ["Georgia=Netherlands", "Slovakia", "Slovenia", "Hungary", "Croatia"]),
    ],
)
def test_third_placed_teams(thirds: dict[str, tuple[int, ...]], order: list[str]) -> None:
    names = ("points", "difference", "goals", "wins")
    chain = [fewer(name, {team: -row[at] for team, row in thirds.items()}) for at, name in enumerate(names)]
    assert ["=".join(level.teams) for level in separate(tuple(thirds), chain)] == order
