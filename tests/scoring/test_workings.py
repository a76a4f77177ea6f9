"""What was asked of level teams, in the order of asking, and what settled their places."""

from fractions import Fraction

from tourney.scoring.chain import Criterion, Finding, Group, separate
from tourney.scoring.workings import level_groups


def counted(name: str, values: dict[str, int], *, meetings: bool = False) -> Criterion:
    def measure(group: Group) -> Finding:
        known = {team: values[team] for team in group}
        shown = {team: str(value) for team, value in known.items()}
        return Finding(name, {team: (Fraction(value),) for team, value in known.items()}, shown, name, name)

    return Criterion(name, measure, meetings)


POINTS = counted("points", {"A": 9, "B": 9, "C": 9, "D": 5, "E": 5, "F": 1})
CLEAN = counted("clean", {"A": 4, "B": 3, "C": 4, "D": 2, "E": 2, "F": 9})
LATE = counted("late", {"A": 1, "B": 7, "C": 2, "D": 6, "E": 6, "F": 0})


def test_groups_hold_who_is_level_on_the_first_criterion() -> None:
    groups = level_groups(separate("ABCDEF", (POINTS, CLEAN, LATE)))
    assert [group.teams for group in groups] == [("C", "A", "B"), ("D", "E")]
    points, clean, late = groups[0].asked
    assert points.shown == {"A": "9", "B": "9", "C": "9"} and points.deciding == ()
    # C is ahead of A by late, A ahead of B by clean, and B, the last, behind A by the same.
    assert (clean.deciding, late.deciding) == (("A", "B"), ("C",))
    assert late.shown == {"A": "1", "C": "2"}, "B was placed before late was asked"
    assert all(one.deciding == () for one in groups[1].asked), "level to the end"


def test_no_group_where_nobody_is_level() -> None:
    assert level_groups(separate("ADF", (POINTS, CLEAN, LATE))) == ()
    assert level_groups(()) == ()


def test_what_was_asked_again_of_fewer_stands_beside_the_first_time() -> None:
    def met(group: Group) -> Finding:
        wins = {("A", "B"), ("B", "C"), ("C", "A")}
        values = {team: sum((team, other) in wins for other in group) for team in group}
        return Finding("met", {t: (v,) for t, v in values.items()}, {t: str(v) for t, v in values.items()}, "m", "m")

    goals = counted("goals", {"A": 2, "B": 2, "C": 1}, meetings=True)
    chain = (POINTS, Criterion("met", met, meetings=True), goals)
    (group,) = level_groups(separate("ABC", chain, "repeat_meetings"))
    assert group.teams == ("A", "B", "C")
    assert [(one.criterion, one.again) for one in group.asked] == [
        ("points", 0), ("met", 0), ("goals", 0), ("met", 1),
    ]  # fmt: skip
    assert group.asked[-1].shown == {"A": "1", "B": "0"} and group.asked[-1].deciding == ("A",)
    assert group.asked[2].deciding == ("B", "C")


def test_a_criterion_that_says_nothing_says_why() -> None:
    silent = Criterion("met", lambda _: Finding("met", {}, note="not all of them met"))
    (group,) = level_groups(separate("DE", (POINTS, silent, CLEAN)))
    assert group.asked[1].note == "not all of them met" and group.asked[1].shown == {}
