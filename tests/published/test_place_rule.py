"""Every style of ranking that results show or work with, against scipy.stats.rankdata and its documented table.

Places are 1, 2, 2, 4 (method "min"); the worst place that level teams can still take, and the place of level teams
within a heat, is "max"; levels are counted "dense"; the order in which rows stand is "ordinal"; and halfway between
the best and the worst place lies "average".
"""

from fractions import Fraction
from typing import Literal, get_args

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import rankdata

from tourney.model.event import Division
from tourney.scoring.chain import Criterion, Finding, Group, Level, separate
from tourney.scoring.heats import TeamHeat
from tourney.scoring.places import places_of
from tourney.scoring.ranges import Span, place_ranges
from tourney.scoring.table import Table
from tourney.scoring.tally import Tally
from tourney.scoring.tie_breaks import CRITERIA, criteria_of

Scores = list[int]
Style = Literal["min", "max", "dense", "ordinal", "average"]

# scipy's documentation ranks [0, 2, 3, 2] upwards; ours puts the most first, so the sign is turned. The rest of the
# table was worked out with scipy 1.17.1 and is the usual picture of the five styles.
TABLE: list[tuple[Scores, dict[str, list[float]]]] = [
    ([0, -2, -3, -2], {"min": [1, 2, 4, 2], "max": [1, 3, 4, 3], "dense": [1, 2, 3, 2], "ordinal": [1, 2, 4, 3],
                       "average": [1, 2.5, 4, 2.5]}),
    ([40, 30, 30, 10], {"min": [1, 2, 2, 4], "max": [1, 3, 3, 4], "dense": [1, 2, 2, 3], "ordinal": [1, 2, 3, 4],
                        "average": [1, 2.5, 2.5, 4]}),
    ([5, 5, 5, 1, 9, 9], {"min": [3, 3, 3, 6, 1, 1], "max": [5, 5, 5, 6, 2, 2], "dense": [2, 2, 2, 3, 1, 1],
                          "ordinal": [3, 4, 5, 6, 1, 2], "average": [4, 4, 4, 6, 1.5, 1.5]}),
]  # fmt: skip
STYLES: tuple[Style, ...] = get_args(Style)


def names(scores: Scores) -> dict[str, Fraction]:
    return {f"{at:02}": Fraction(score) for at, score in enumerate(scores)}


def levels(scores: Scores) -> tuple[Level, ...]:
    worth = names(scores)

    def measure(group: Group) -> Finding:
        return Finding("points", {team: (worth[team],) for team in group})

    return separate(tuple(worth), [Criterion("points", measure)])


def ours(scores: Scores, style: Style) -> list[float]:
    """What our own functions give for each score."""
    worth = names(scores)
    ranges = place_ranges({name: Span(value, value) for name, value in worth.items()})
    found = levels(scores)
    rows = [team for level in found for team in level.teams]
    ranks: dict[str, dict[str, float]] = {
        "min": dict(places_of(worth)),
        "max": {name: worst for name, (_, worst) in ranges.items()},
        "dense": {team: at for at, level in enumerate(found, 1) for team in level.teams},
        "ordinal": {team: at for at, team in enumerate(rows, 1)},
        "average": {name: sum(ends) / 2 for name, ends in ranges.items()},
    }
    return [ranks[style][name] for name in worth]


@pytest.mark.parametrize("style", STYLES)
@pytest.mark.parametrize(("scores", "table"), TABLE)
def test_the_table_of_styles(scores: Scores, table: dict[str, list[float]], style: Style) -> None:
    assert ours(scores, style) == table[style]
    assert [float(rank) for rank in rankdata([-score for score in scores], method=style)] == table[style]


@pytest.mark.parametrize("style", STYLES)
@given(scores=st.lists(st.integers(-9, 9), max_size=30))
def test_same_ranks_as_rankdata(style: Style, scores: Scores) -> None:
    assert ours(scores, style) == [float(rank) for rank in rankdata([-score for score in scores], method=style)]


@given(scores=st.lists(st.integers(0, 5), min_size=1, max_size=6))
def test_places_of_whole_standings(scores: Scores) -> None:
    """The chain's own places, from heats: as many as teams, each team alone in its heat."""
    rows = [(TeamHeat(name, 1, Tally(points), points, points, 5, 1),) for name, points in names(scores).items()]
    table = Table(tuple(names(scores)), tuple(rows))
    found = separate(table.teams, criteria_of(Division(name="Group", ages=(8, 10), tie_breaks=()), table))
    place, places = 1, dict[str, int]()
    for level in found:
        places |= dict.fromkeys(level.teams, place)
        place += len(level.teams)
    assert [places[name] for name in table.teams] == list(rankdata([-score for score in scores], method="min"))


@given(scores=st.lists(st.integers(0, 5), min_size=2, max_size=6))
def test_level_teams_of_a_heat_share_the_lower_of_their_places(scores: Scores) -> None:
    """Countback counts nobody as winner of a heat that two share: ranks there are those of method "max"."""
    stood = tuple(TeamHeat(name, 1, Tally(points), points, points, 5, 1) for name, points in names(scores).items())
    table = Table(tuple(names(scores)), (stood,))
    shown = CRITERIA["countback"](table, table.teams).values
    ranks = [worth.index(1) + 1 for worth in (shown[name] for name in table.teams)]
    assert ranks == list(rankdata([-score for score in scores], method="max"))
