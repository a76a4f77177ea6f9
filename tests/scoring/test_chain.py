"""The chain alone, over criteria of the tests' own."""

from collections.abc import Mapping
from fractions import Fraction

from hypothesis import given
from hypothesis import strategies as st

from tourney.scoring.chain import Criterion, Finding, Group, separate

AHEAD = {"A": (1,), "B": (1,), "C": (-2,)}


def fixed(name: str, values: Mapping[str, int]) -> Criterion:
    """A criterion whose values do not depend on the group."""
    return Criterion(name, lambda group: Finding(name, {team: (values[team],) for team in group}))


def wins_among(name: str, beat: Mapping[str, str]) -> Criterion:
    """Wins against the others of the group. beat: team -> the teams it beat, one letter each."""
    return Criterion(
        name, lambda group: Finding(name, {team: (len(set(beat[team]) & set(group)),) for team in group}), meetings=True
    )


def order(teams: str, criteria: list[Criterion], after_split: str = "continue") -> list[str]:
    return ["".join(level.teams) for level in separate(tuple(teams), criteria, after_split)]


def test_a_chain_goes_on_only_for_those_still_level() -> None:
    chain = [fixed("one", {"A": 2, "B": 1, "C": 1}), fixed("two", {"A": 0, "B": 1, "C": 5})]
    levels = separate(("A", "B", "C"), chain)
    assert [level.teams for level in levels] == [("A",), ("C",), ("B",)]
    assert [level.decided.name if level.decided else "" for level in levels] == ["one", "two", ""]
    assert [finding.name for finding in levels[1].above] == ["one"]
    assert levels[0].above == ()


def test_nothing_left_is_a_shared_level() -> None:
    (level,) = separate(("B", "A"), [fixed("one", {"A": 1, "B": 1})])
    assert level.teams == ("A", "B")
    assert [finding.name for finding in level.equal] == ["one"]


def test_pending_stops_what_comes_after() -> None:
    pending = Criterion("drill", lambda _group: Finding("drill", {}, pending=True))
    (level,) = separate(("A", "B"), [pending, fixed("lot", {"A": 2, "B": 1})])
    assert level.pending


def test_a_run_keeps_looking_at_the_group_with_which_it_began() -> None:
    # A, B, C each beat one of the others; the margin leaves A and B level; what follows asks all three again.
    seen: list[Group] = []

    def note(group: Group) -> Finding:
        seen.append(group)
        return Finding("third", {})

    run = [
        wins_among("wins", {"A": "B", "B": "C", "C": "A"}),
        Criterion("margin", lambda _group: Finding("margin", AHEAD), meetings=True),
        Criterion("third", note, meetings=True),
    ]
    assert order("ABC", run) == ["AB", "C"]
    assert seen == [("A", "B", "C")]


def test_after_split_three_ways() -> None:
    # Level on wins among all three; the margin drops C; A beat B, but B has the better last criterion.
    run = [
        wins_among("wins", {"A": "B", "B": "C", "C": "A"}),
        Criterion("margin", lambda _group: Finding("margin", AHEAD), True),
    ]
    last = fixed("last", {"A": 0, "B": 9, "C": 5})
    assert order("ABC", [*run, last], "continue") == ["B", "A", "C"]
    assert order("ABC", [*run, last], "repeat_meetings") == ["A", "B", "C"]
    assert order("ABC", [*run, last], "restart") == ["A", "B", "C"]


def test_restart_asks_a_smaller_group_even_in_the_middle_of_a_run() -> None:
    run = [
        wins_among("wins", {"A": "B", "B": "C", "C": "A"}),
        Criterion("margin", lambda _group: Finding("margin", AHEAD), True),
        Criterion("goals", lambda _group: Finding("goals", {"A": (0,), "B": (7,), "C": (0,)}), True),
    ]
    assert order("ABC", run, "restart") == ["A", "B", "C"], "wins of the two before goals"
    assert order("ABC", run, "repeat_meetings") == ["B", "A", "C"], "goals of the three before wins of the two"


def test_restart_brings_back_criteria_outside_runs() -> None:
    relative = Criterion("pairs only", lambda group: Finding("pairs only", {group[0]: (1,)} if len(group) == 2 else {}))
    drop = fixed("drop", {"A": 1, "B": 1, "C": 0})
    assert order("ABC", [relative, drop], "restart") == ["A", "B", "C"]
    assert order("ABC", [relative, drop], "continue") == ["AB", "C"]


NAMES = "ABCDEFGH"
names_drawn = st.lists(st.sampled_from(NAMES), min_size=1, max_size=8, unique=True)
values_drawn = st.lists(st.fixed_dictionaries({name: st.integers(0, 2) for name in NAMES}), min_size=1, max_size=4)
ways = st.sampled_from(["continue", "restart", "repeat_meetings"])


@given(names_drawn, values_drawn, ways)
def test_a_chain_of_fixed_values_sorts_by_them_whatever_the_order_of_input(
    names: list[str], values: list[dict[str, int]], way: str
) -> None:
    chain = [fixed(str(at), row) for at, row in enumerate(values)]
    levels = [level.teams for level in separate(names, chain, way)]
    by_values: dict[tuple[int, ...], list[str]] = {}
    for name in sorted(names):
        by_values.setdefault(tuple(-row[name] for row in values), []).append(name)
    assert levels == [tuple(by_values[key]) for key in sorted(by_values)]
    assert levels == [level.teams for level in separate(names[::-1], chain, way)]


def test_fractions_and_whole_numbers_compare_exactly() -> None:
    third = Criterion("share", lambda _group: Finding("share", {"A": (Fraction(863, 960),), "B": (Fraction(9, 10),)}))
    assert order("AB", [third]) == ["B", "A"]
