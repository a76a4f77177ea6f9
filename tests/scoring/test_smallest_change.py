"""The smallest change of a place: what is told is enough, and one call less is not."""

import random
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from fractions import Fraction
from itertools import combinations, product

import pytest

from tourney.model.event import Division, HeatPoints
from tourney.scoring.chain import Criterion, separate
from tourney.scoring.heats import TeamHeat
from tourney.scoring.smallest_change import Rules, smallest_changes
from tourney.scoring.table import Table
from tourney.scoring.tally import Tally
from tourney.scoring.tie_breaks import criteria_of


def heat(team: str, round_: int, late: int, spoken: int = 0) -> TeamHeat:
    """Sixteen calls, three children who count."""
    made = Tally(Fraction(480 - 10 * late - 5 * spoken), Fraction(100), 48 - late - spoken, 0, late, spoken)
    return TeamHeat(team, round_, made, made.points, made.points, 480, 160)


def rules(**settings: object) -> tuple[Division, Rules]:
    division = Division.model_validate({"name": "Junior", "ages": (8, 10), **settings})

    def chain(table: Table) -> Sequence[Criterion]:
        return criteria_of(division, table)

    return division, Rules(chain, division.after_split, division.points)


def told(table: Table, **settings: object) -> dict[str, str]:
    division, how = rules(rank_by=table.rank_by, **settings)
    levels = separate(table.teams, criteria_of(division, table), division.after_split)
    return smallest_changes(table, levels, how, {team: f"Team {team}" for team in table.teams})


def test_level_on_points_is_enough_where_clean_calls_then_decide() -> None:
    # A lost 20 by two late calls, B 25 by five wrong answers, C 40 by four late ones.
    table = Table(("A", "B", "C"), ((heat("A", 1, 2), heat("B", 1, 0, 5)), (heat("C", 1, 4),)))
    assert told(table, tie_breaks=("clean_calls",)) == {
        "A": "Team B would have been ahead with 2 more clean calls.",
        # one more makes B level with A on points, at 44 clean calls against 46; two put it ahead
        "B": "2 more clean calls would have put it ahead of Team A.",
        "C": "2 more clean calls would have put it ahead of Team B.",
    }
    # level with B after one and a half: C has 20 lost and 46 clean calls
    first = told(table, tie_breaks=("fewer_spoken", "lot"))
    assert first["B"].startswith("2 more clean calls")


def test_teams_that_share_a_place_are_told_what_would_have_parted_them() -> None:
    table = Table(("A", "B"), ((heat("A", 1, 2), heat("B", 1, 2)),))
    assert told(table, tie_breaks=("clean_calls",)) == {
        "A": "1 more clean call would have put it ahead of Team B.",
        "B": "1 more clean call would have put it ahead of Team A.",
    }


def test_heat_points_turn_in_one_round_or_in_several() -> None:
    first = (heat("A", 1, 1), heat("B", 1, 3))
    second = (heat("A", 2, 1), heat("B", 2, 9))
    table = Table(("A", "B"), (first, second), "heat_points", HeatPoints())
    # one heat won leaves both at 3, and A with more points; a heat won and one drawn put B ahead with 4 against 1
    assert told(table, tie_breaks=("points",)) == {
        "A": "Team B would have been ahead with 11 more clean calls in rounds 1 and 2.",
        "B": "11 more clean calls in rounds 1 and 2 would have put it ahead of Team A.",
    }
    assert told(table, tie_breaks=("last_round",)) == {
        "A": "Team B would have been ahead with 9 more clean calls in round 2.",
        "B": "9 more clean calls in round 2 would have put it ahead of Team A.",
    }
    assert told(table, tie_breaks=("best_round",)) == {
        "A": "Team B would have been ahead with 3 more clean calls in round 1.",
        "B": "3 more clean calls in round 1 would have put it ahead of Team A.",
    }


def test_two_heats_may_turn_with_fewer_calls_than_one() -> None:
    """Two heats were drawn, and B lost the third: to win that takes six calls, to win the other two takes one each."""
    rows = tuple((heat("A", at, 1), heat("B", at, late)) for at, late in ((1, 1), (2, 1), (3, 6)))
    table = Table(("A", "B"), rows, "heat_points", HeatPoints())
    assert told(table, tie_breaks=())["B"] == "2 more clean calls in rounds 1 and 2 would have put it ahead of Team A."


def test_where_no_heat_can_turn_it_is_said() -> None:
    """B did all that it could against C, and never met A, who won twice."""
    rows = ((heat("A", 1, 0), heat("C", 1, 3)), (heat("A", 2, 0), heat("D", 2, 3)), (heat("B", 1, 0), heat("E", 1, 3)))
    table = Table(tuple("ABCDE"), rows, "heat_points", HeatPoints())
    found = told(table, tie_breaks=())
    assert found["B"] == "Even clean in every call it was there for, it would not have been ahead of Team A."
    assert found["A"] == "No other team would have been ahead, even clean in every call it was there for."


@pytest.mark.parametrize("chain", [(), ("clean_calls", "head_to_head"), ("head_to_head", "margin")])
@pytest.mark.parametrize("seed", range(8))
def test_no_fewer_calls_would_have_turned_heats_enough(seed: int, chain: tuple[str, ...]) -> None:
    """Beside every choice of late calls that could have been clean: enough, and as few as can be without tie-breaks."""
    rng = random.Random(seed)
    pairs = [["AB", "CD"], ["AC", "BD"], ["AD", "BC"]]
    late = {(team, round_): rng.randrange(4) for round_ in (1, 2, 3) for team in "ABCD"}

    def of(faults: Mapping[tuple[str, int], int]) -> Table:
        rows = [
            tuple(heat(team, at, faults[team, at]) for team in pair) for at, own in enumerate(pairs, 1) for pair in own
        ]
        return Table(tuple("ABCD"), tuple(rows), "heat_points", HeatPoints())

    def order(faults: Mapping[tuple[str, int], int]) -> list[str]:
        table = of(faults)
        division, _ = rules(rank_by="heat_points", tie_breaks=chain)
        return ["".join(level.teams) for level in separate(table.teams, criteria_of(division, table))]

    def enough(team: str, others: str) -> list[int]:
        """How many calls are cleaned, for each choice that puts a team ahead."""
        found = []
        for cleaned in product(*(range(late[team, at] + 1) for at in (1, 2, 3))):
            places = order(late | {(team, at): late[team, at] - less for at, less in enumerate(cleaned, 1)})
            own = next(at for at, level in enumerate(places) if team in level)
            if all(own < at for at, level in enumerate(places) for other in others if other in level):
                found.append(sum(cleaned))
        return found

    before = order(late)
    for team, said in told(of(late), tie_breaks=chain).items():
        at = next(place for place, level in enumerate(before) if team in level)
        if at == 0 and before[0] == team:
            numbers = [n for other in "ABCD" if other != team for n in enough(other, team)]
        else:
            numbers = enough(team, before[at].replace(team, "") or before[at - 1])
        calls = next((int(word) for word in said.split() if word.isdigit()), 0)
        assert (calls in numbers) if numbers else said.startswith(("Even", "No other")), (said, numbers)
        assert chain or calls == min(numbers, default=0)


def test_no_clean_call_helps_where_the_lot_alone_decided_between_perfect_teams() -> None:
    table = Table(("A", "B"), ((heat("A", 1, 0), heat("B", 1, 0)),), lots={"A": 1, "B": 2})
    assert told(table, tie_breaks=("lot",)) == {
        "A": "No other team would have been ahead, even clean in every call it was there for.",
        "B": "Even clean in every call it was there for, it would not have been ahead of Team A.",
    }


def test_nothing_is_said_while_calls_are_open_that_could_help() -> None:
    half = replace(heat("B", 1, 0), made=Tally(Fraction(240), Fraction(80), 24), least=Fraction(240))
    assert told(Table(("A", "B"), ((heat("A", 1, 0), half),)), tie_breaks=("clean_calls",)) == {}


def test_a_team_alone_has_nothing_to_be_changed() -> None:
    assert told(Table(("A",), ((heat("A", 1, 0),),)), tie_breaks=("lot",)) == {}


def test_of_equally_dear_faults_those_count_first_that_the_tie_breaks_name_first() -> None:
    """Level on points, B is ahead by fewer late calls once its one late call is clean, not its wrong place."""
    made = Tally(Fraction(460), Fraction(100), 46, 1, 1)
    rows = (TeamHeat("B", 1, made, made.points, made.points, 480, 160), heat("A", 1, 1))
    table = Table(("A", "B"), (rows,))
    assert told(table, tie_breaks=("fewer_late",))["B"] == "1 more clean call would have put it ahead of Team A."


def test_another_than_the_second_may_be_nearest_to_the_first() -> None:
    """B lost 20 by wrong answers, of 5 each; C 30 by late calls, of 10 each; A lost 5."""
    table = Table(("A", "B", "C"), ((heat("A", 1, 0, 1), heat("B", 1, 0, 4)), (heat("C", 1, 3),)))
    assert told(table, tie_breaks=())["A"] == "Team C would have been ahead with 3 more clean calls."


@pytest.mark.parametrize("seed", range(12))
def test_no_fewer_calls_of_any_kind_would_have_been_enough(seed: int) -> None:
    rng = random.Random(seed)
    chain = tuple(rng.sample(("clean_calls", "fewer_late", "fewer_wrong_place", "fewer_spoken"), 3))
    made = {team: Counter({kind: rng.randrange(3) for kind in COSTS}) for team in "ABCD"}

    def of(faults: dict[str, Counter[str]]) -> Table:
        return Table(tuple(faults), tuple((row(team, own),) for team, own in faults.items()))

    def order(faults: dict[str, Counter[str]]) -> list[str]:
        found = of(faults)
        division, _ = rules(tie_breaks=chain)
        return ["".join(level.teams) for level in separate(found.teams, criteria_of(division, found))]

    def passes(team: str, others: str, cleaned: tuple[str, ...]) -> bool:
        places = order(made | {team: made[team] - Counter(cleaned)})
        own = next(at for at, level in enumerate(places) if team in level)
        return places[own] == team and all(own < at for at, level in enumerate(places) for o in others if o in level)

    before = order(made)
    for team, said in told(of(made), tie_breaks=chain).items():
        at = next(place for place, level in enumerate(before) if team in level)
        others = before[at].replace(team, "") or before[at - 1]
        if at == 0 and before[0] == team:
            least = min((n for other in "ABCD" if other != team for n, cleaned in subsets(made[other])
                         if passes(other, team, cleaned)), default=0)  # fmt: skip
        else:
            least = min((n for n, cleaned in subsets(made[team]) if passes(team, others, cleaned)), default=0)
        assert least == sum(int(word) for word in said.split() if word.isdigit())


COSTS = {"late": 10, "wrong_place": 10, "spoken": 5, "handling": 2}


def row(team: str, faults: Counter[str]) -> TeamHeat:
    points = Fraction(480 - sum(COSTS[kind] * count for kind, count in faults.items()))
    made = Tally(points, Fraction(100), 48 - faults.total(), **{kind: faults[kind] for kind in COSTS})
    return TeamHeat(team, 1, made, points, points, 480, 160)


def subsets(faults: Counter[str]) -> Iterator[tuple[int, tuple[str, ...]]]:
    """Every choice of faults that could have been clean, with their number."""
    every = sorted(faults.elements())
    for count in range(1, len(every) + 1):
        yield from ((count, cleaned) for cleaned in set(combinations(every, count)))


@pytest.mark.parametrize("seed", range(12))
def test_as_many_are_enough_and_one_less_is_not(seed: int) -> None:
    rng = random.Random(seed)
    teams = [f"T{n}" for n in range(8)]
    rows = []
    for round_ in (1, 2):
        rng.shuffle(teams)
        rows += [
            tuple(heat(team, round_, rng.randrange(4), rng.randrange(4)) for team in teams[at : at + 2])
            for at in range(0, 8, 2)
        ]
    chain = ("clean_calls", "fewer_late", "head_to_head", "opponents_points", "lot")
    table = Table(tuple(sorted(teams)), tuple(rows), lots={team: at for at, team in enumerate(sorted(teams))})
    division, _ = rules(tie_breaks=chain)

    def order(changed: Table) -> list[str]:
        return [team for level in separate(changed.teams, criteria_of(division, changed)) for team in level.teams]

    before = order(table)
    for team, sentence in told(table, tie_breaks=chain).items():
        if sentence.startswith(("Team", "Even", "No")):
            continue
        calls = int(sentence.split()[0])
        above = before[before.index(team) - 1]
        assert order(mended(table, team, calls)).index(team) < order(mended(table, team, calls)).index(above)
        less = order(mended(table, team, calls - 1))
        assert less.index(team) > less.index(above)


def mended(table: Table, team: str, calls: int) -> Table:
    """A table from the beginning in which a team's first so many faults, late ones first, are clean."""
    late = sum(one.made.late for one in table.heats_of[team])
    left = {"late": min(calls, late), "spoken": max(0, calls - late)}
    rows = []
    for stood in table.heats:
        row = []
        for one in stood:
            if one.team == team:
                late_now, spoken_now = min(left["late"], one.made.late), min(left["spoken"], one.made.spoken)
                left = {"late": left["late"] - late_now, "spoken": left["spoken"] - spoken_now}
                row.append(heat(team, one.round, one.made.late - late_now, one.made.spoken - spoken_now))
            else:
                row.append(one)
        rows.append(tuple(row))
    return replace(table, heats=tuple(rows))
