"""A child's day: counts that add up, strengths before one target, and no median that shows another child."""

from fractions import Fraction

from tests.review.day_of_marks import SECTIONS, heard, heat
from tourney.model.heard import Heard, Word
from tourney.review.contestants import OTHERS, day_of, medians, reviewed

CLEAN: tuple[Word, ...] = ((), (), ())
LATE: tuple[Word, ...] = (("L",), ("L",), ())
ONE = heat("J-R1-1", ("T1-1", "T1-2", "T2-1"), ("O1", "O2", "O3"))
TWO = heat("J-R2-1", ("T1-1", "T1-2", "T2-1"), ("O1", "O2", "O3"), 2)


def test_a_day_is_added_up() -> None:
    own = [
        heard(ONE, 1, 1, CLEAN, asked=True),
        heard(ONE, 1, 2, LATE),
        heard(ONE, 1, 3, (("S",), ("S",), ("S", "H")), "H3", asked=True),
        heard(TWO, 1, 4, (("N",), ("N",), ("N",))),
        heard(TWO, 1, 5, (("W",), None, None)),
        heard(TWO, 1, 2, LATE),
    ]
    day = day_of(own, SECTIONS, 10)
    assert (day.found.hits, day.found.calls, day.clean.hits, day.absent, day.open) == (2, 4, 1, 1, 1)
    assert {key: (part.hits, part.calls) for key, part in day.sections.items()} == {"law": (1, 3), "history": (1, 1)}
    assert day.faults == {"L": 2, "W": 0, "S": 1, "H": 0} and day.missed == ("G2",)
    assert (day.answers.hits, day.answers.calls) == (1, 2)
    assert [(one.round, one.points) for one in day.rounds] == [(1, Fraction(15, 30)), (2, Fraction(0))]


def test_strengths_are_apart_from_the_target() -> None:
    calls: list[Heard] = []
    for no in range(1, 9):
        calls.append(heard(ONE, 1, no, CLEAN))
        calls.append(heard(ONE, 2, no, LATE if no > 2 else CLEAN))
        calls.append(heard(TWO, 1, no, LATE if no > 3 else CLEAN, f"H{no}"))
        calls.append(heard(TWO, 2, no, CLEAN, f"H{no}"))
    (first, second), teams = reviewed(calls, SECTIONS, 10)
    assert first.strengths[0].section == "law" and first.target and first.target.section == "history"
    assert second.strengths[0].section == "history" and second.target and second.target.section == "law"
    for one in (first, second, *teams):
        assert len(one.strengths) == 2 and one.target not in one.strengths
    (team,) = teams
    assert team.day.found.calls == 32 and team.day.found.hits == first.day.found.hits + second.day.found.hits


def test_who_found_all_has_nothing_to_mend() -> None:
    (child,), _ = reviewed([heard(ONE, 1, no, CLEAN) for no in range(1, 4)], SECTIONS, 10)
    assert child.target is None and child.strengths


def test_a_median_needs_enough_other_children() -> None:
    wide = heat("J-R1-2", tuple(f"T{n}-1" for n in range(1, OTHERS + 2)), ("O1", "O2", "O3"))
    calls = [heard(wide, line, no, LATE if no <= line // 2 else CLEAN) for line in range(1, 7) for no in range(1, 5)]
    children, _ = reviewed(calls, SECTIONS, 10)
    shown = medians(children, ["T1-1"])
    assert shown and shown.found == 0.625 and shown.sections == {"law": 0.625} and set(shown.rounds) == {1}
    assert medians(children, ["T1-1", "T2-1"]) is None
