"""Places still possible by heat points: against trying every way in which all open heats can end together."""

from fractions import Fraction
from itertools import product

from hypothesis import given, settings
from hypothesis import strategies as st

from tourney.model.event import HeatPoints
from tourney.scoring import outcomes
from tourney.scoring.heats import TeamHeat
from tourney.scoring.joint_places import joint_ranges
from tourney.scoring.outcomes import OpenHeat, orders
from tourney.scoring.ranges import place_ranges, spans_of
from tourney.scoring.table import Table
from tourney.scoring.tally import Tally

Ends = tuple[int, int]


def stood(team: str, round_: int, least: int, most: int) -> TeamHeat:
    return TeamHeat(team, round_, Tally(Fraction(least)), Fraction(least), Fraction(most), 100, 30)


def table(*heats: dict[str, Ends], worth: HeatPoints | None = None) -> Table:
    rows = tuple(
        tuple(stood(team, number, *ends) for team, ends in heat.items()) for number, heat in enumerate(heats, 1)
    )
    teams = sorted({team for heat in heats for team in heat})
    return Table(tuple(teams), rows, "heat_points", worth or HeatPoints())


def every_outcome(found: Table) -> dict[str, Ends]:
    """Best and worst place by trying all points, half points apart, so that whatever lies between ends is met."""
    heats = []
    for heat in found.heats:
        choices = [[Fraction(n, 2) for n in range(int(one.least * 2), int(one.most * 2) + 1)] for one in heat]
        ways = set()
        for made in product(*choices):
            earned = [
                sum(
                    found.heat_points.win
                    if own > other
                    else found.heat_points.draw
                    if own == other
                    else found.heat_points.loss
                    for at_other, other in enumerate(made)
                    if at_other != at
                )
                for at, own in enumerate(made)
            ]
            ways.add(tuple(zip((one.team for one in heat), earned, strict=True)))
        heats.append(sorted(ways))
    best, worst = dict.fromkeys(found.teams, 99), dict.fromkeys(found.teams, 0)
    for way in product(*heats):
        total: dict[str, int] = dict.fromkeys(found.teams, 0)
        for team, gain in (pair for heat in way for pair in heat):
            total[team] += gain
        for team in found.teams:
            best[team] = min(best[team], 1 + sum(other > total[team] for other in total.values()))
            worst[team] = max(worst[team], sum(other >= total[team] for other in total.values()))
    return {team: (best[team], worst[team]) for team in found.teams}


def test_both_teams_of_a_heat_cannot_win_it() -> None:
    """B and C meet: one of them stays below A, whichever it is. Each by itself could pass."""
    found = table({"A": (9, 9), "D": (1, 1)}, {"A": (9, 9), "E": (1, 1)}, {"B": (5, 5), "D": (5, 5)},
                  {"B": (9, 9), "E": (1, 1)}, {"C": (9, 9), "D": (1, 1)}, {"C": (5, 5), "E": (5, 5)},
                  {"B": (0, 9), "C": (0, 9)})  # fmt: skip
    ranges = joint_ranges(found, found.teams)
    assert ranges == every_outcome(found)
    assert ranges is not None and ranges["A"] == (1, 2)
    assert place_ranges(spans_of(found))["A"] == (1, 3)


def test_a_team_without_a_place_can_still_take_heat_points() -> None:
    found = table({"A": (0, 9), "B": (0, 9)}, {"C": (5, 5), "D": (4, 4)})
    assert joint_ranges(found, ["B", "C", "D"]) == {"B": (1, 3), "C": (1, 2), "D": (2, 3)}


def test_orders_of_three_that_are_all_open_are_thirteen() -> None:
    """Weak orders of n things, the Fubini numbers: 1, 3, 13, 75 (OEIS A000670; from memory)."""
    for count, ways in ((1, 1), (2, 3), (3, 13), (4, 75)):
        assert len(list(orders([stood(str(n), 1, 0, 9) for n in range(count)]))) == ways
    assert list(orders([stood("A", 1, 5, 9), stood("B", 1, 2, 5)])) == [((0,), (1,)), ((0, 1),)]


def test_a_line_of_five_is_bounded_team_by_team() -> None:
    found = table(dict.fromkeys("ABCDE", (0, 9)))
    assert joint_ranges(found, found.teams) is None


ends = st.tuples(st.integers(0, 3), st.integers(0, 2)).map(lambda pair: (pair[0], sum(pair)))
pairs = st.lists(
    st.tuples(st.sampled_from(["AB", "BC", "CD", "AC", "BD", "AD", "DE", "CE"]), ends, ends), min_size=1, max_size=6
)
worths = st.sampled_from([(3, 1, 0), (2, 1, 0), (1, 0, 0), (1, 1, 0), (0, 1, 2)])


@settings(max_examples=60)
@given(pairs, worths)
def test_pairs_against_every_outcome(met: list[tuple[str, Ends, Ends]], worth: tuple[int, int, int]) -> None:
    points = HeatPoints(win=worth[0], draw=worth[1], loss=worth[2])
    found = table(*({names[0]: one, names[1]: other} for names, one, other in met), worth=points)
    assert joint_ranges(found, found.teams) == every_outcome(found)


@settings(max_examples=25)
@given(st.lists(st.tuples(st.sampled_from(["ABC", "BCD", "ABD"]), ends, ends, ends), min_size=1, max_size=2))
def test_threes_against_every_outcome(met: list[tuple[str, Ends, Ends, Ends]]) -> None:
    found = table(*(dict(zip(names, spans, strict=True)) for names, *spans in met))
    assert joint_ranges(found, found.teams) == every_outcome(found)


@settings(max_examples=25)
@given(pairs)
def test_a_range_that_is_not_followed_to_its_end_is_wider_never_narrower(met: list[tuple[str, Ends, Ends]]) -> None:
    found = table(*({names[0]: one, names[1]: other} for names, one, other in met))
    exact = joint_ranges(found, found.teams)
    most, outcomes.MOST_STATES = outcomes.MOST_STATES, 0
    try:
        wide = joint_ranges(found, found.teams)
    finally:
        outcomes.MOST_STATES = most
    assert exact is not None and wide is not None
    assert all(wide[team][0] <= exact[team][0] and exact[team][1] <= wide[team][1] for team in found.teams)


def test_an_open_heat_says_what_it_can_bring() -> None:
    heat = OpenHeat.of([stood("A", 1, 5, 9), stood("B", 1, 2, 5)], HeatPoints())
    assert heat.outcomes == ((1, 1), (3, 0))
    assert heat.spans == {"A": (1, 3), "B": (0, 1)}
