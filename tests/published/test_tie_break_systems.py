"""Published examples of tie-breaks that look at opponents and at running totals."""

from fractions import Fraction
from functools import partial

from tourney.model.event import HeatPoints
from tourney.scoring.chain import Criterion, Finding, Group, separate
from tourney.scoring.heats import TeamHeat
from tourney.scoring.table import Table
from tourney.scoring.tally import Tally
from tourney.scoring.tie_breaks import CRITERIA


def games(results: list[tuple[str, str, str]], points: HeatPoints) -> Table:
    """Games as heats of two: (one, result, other), result 1-0 or 1/2. One game a round."""
    heats = []
    for number, (one, result, other) in enumerate(results, start=1):
        won = 1 if result == "1-0" else 0
        made = [Fraction(won), Fraction(0)]
        heats.append(
            tuple(
                TeamHeat(name, number, Tally(score), score, score, 1, 1)
                for name, score in zip((one, other), made, strict=True)
            )
        )
    names = sorted({name for one, _, other in results for name in (one, other)})
    return Table(tuple(names), tuple(heats), "heat_points", points)


def values(name: str, table: Table, group: tuple[str, ...] | None = None) -> dict[str, Fraction | int]:
    return {team: worth[0] for team, worth in CRITERIA[name](table, group or table.teams).values.items()}


def test_sonneborn_berger_of_a_double_round() -> None:
    """Sensei's Library, page SonnebornBerger, as of 2003: scores 4, 4, 3, 1."""
    beat = {"A": "BCDC", "B": "CDAD", "C": "DBD", "D": "A"}
    table = games([(winner, "1-0", loser) for winner in beat for loser in beat[winner]], HeatPoints(win=1, draw=0))
    assert table.heat_total == {"A": 4, "B": 4, "C": 3, "D": 1}
    assert values("beaten_points", table) == {"A": 11, "B": 9, "C": 6, "D": 4}
    assert values("head_to_head", table, ("A", "B")) == {"A": 1, "B": 1}


def test_half_of_a_drawn_opponents_score() -> None:
    """By the same definition, worked out here: a draw is worth half of what the opponent has."""
    table = games([("A", "1/2", "B"), ("B", "1-0", "C")], HeatPoints(win=2, draw=1))
    assert values("beaten_points", table)["A"] == Fraction(3, 2)


def test_direct_encounter_of_three() -> None:
    """FIDE Arbiters' seminar, "Tie-breaks": 1 1/2, 1/2 and 1; in heat points of 2 for a win all is doubled."""
    table = games([("P1", "1-0", "P2"), ("P2", "1/2", "P3"), ("P1", "1/2", "P3")], HeatPoints(win=2, draw=1))
    assert values("head_to_head", table) == {"P1": 3, "P2": 1, "P3": 2}


def test_progressive_score() -> None:
    """The same seminar: running totals 1, 2, 3, 4, 5, 6, 6 1/2, 7, 7 add up to 41 1/2; doubled here."""
    results = [*[("X", "1-0", f"O{n}") for n in range(6)], ("X", "1/2", "O6"), ("X", "1/2", "O7"), ("O8", "1-0", "X")]
    assert values("progressive", games(results, HeatPoints(win=2, draw=1)))["X"] == 83


def test_sum_of_opponents_scores() -> None:
    """Opponents with 4, 2, 3, 4, 5 and 6: 24 in all (gist.github.com/Rapptz, 197c80162358d1196145; sum worked out)."""
    scores = {"O1": 4, "O2": 2, "O3": 3, "O4": 4, "O5": 5, "O6": 6}
    against_others = [(name, "1-0", f"{name}.{n}") for name, score in scores.items() for n in range(score)]
    meetings = [("X", "1-0", name) for name in scores]
    assert values("opponents_points", games([*against_others, *meetings], HeatPoints(win=1, draw=0)))["X"] == 24


def median_of(table: Table) -> Criterion:
    """A criterion of the test's own: the sum of the opponents' scores without the highest and the lowest of them."""

    def measure(group: Group) -> Finding:
        sums = {}
        for team in group:
            scores = sorted(table.heat_total[met.other.team] for met in table.meetings[team])
            sums[team] = (sum(scores[1:-1]),)
        return Finding("median", sums)

    return Criterion("median", measure)


def against(*opponents: int) -> list[tuple[str, str, str]]:
    """Games of one player who loses to opponents who come to these scores; each has its own name."""
    name = "X" + "".join(map(str, opponents))
    games_of = [(f"{name}.{at}", "1-0", name) for at in range(len(opponents))]
    more = [(f"{name}.{at}", "1-0", f"{name}.{at}.{n}") for at, score in enumerate(opponents) for n in range(score - 1)]
    return [*games_of, *more]


def test_opponents_scores_without_the_highest_and_the_lowest() -> None:
    """Median-Buchholz. Opponents with 4, 2, 3, 4, 5, 6: 24 in all, 16 without the 6 and the 2 (the same gist).

    With 5, 4, 2, 6, 4, 5: 26 and 18 (worked out).
    """
    table = games([*against(4, 2, 3, 4, 5, 6), *against(5, 4, 2, 6, 4, 5)], HeatPoints(win=1, draw=0))
    one, other = "X423456", "X542645"
    assert values("opponents_points", table, (one, other)) == {one: 24, other: 26}
    assert median_of(table).measure((one, other)).values == {one: (16,), other: (18,)}


def test_a_chain_of_the_tests_own_and_of_ours() -> None:
    """All level on the sum of opponents' scores; the median then puts one behind, and leaves two level.

    Opponents 4, 2, 3, 4, 5, 6 and 7, 1, 3, 4, 5, 4 both have a median of 16 (worked out), and 24 in all; those of the
    third, 1, 2, 3, 4, 5, 9, have 24 in all as well but a median of 14.
    """
    table = games(
        [*against(4, 2, 3, 4, 5, 6), *against(7, 1, 3, 4, 5, 4), *against(1, 2, 3, 4, 5, 9)], HeatPoints(win=1, draw=0)
    )
    three = ("X123459", "X423456", "X713454")
    full = Criterion("opponents_points", partial(CRITERIA["opponents_points"], table))
    assert [level.teams for level in separate(three, [full])] == [three]
    assert [level.teams for level in separate(three, [full, median_of(table)])] == [three[1:], three[:1]]
