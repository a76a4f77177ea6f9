"""Judges side by side: severity, letters written alone, agreement, and what can't be told."""

from typing import Any

import numpy as np
import pytest

from tests.review.day_of_marks import event, heard, heat
from tourney.model.heard import Heard, Word
from tourney.review.additive import Effect
from tourney.review.judges import JudgeReview, Panels, allowances, judge_reviews
from tourney.review.panels import agreements, pairs
from tourney.review.rooms import room_effects

L: Word = ("L",)


def day(strict: dict[str, float], panels: list[tuple[str, ...]], seed: int = 3) -> list[Heard]:
    """Heats of four children and 16 calls; strict: judge -> chance of an L where nobody else sees one."""
    chance = np.random.default_rng(seed)
    found = []
    for number, judges in enumerate(panels, start=1):
        where = heat(f"J-R{number}-1", ("T1-1", "T1-2", "T2-1", "T2-2"), judges, number)
        for line in range(1, 5):
            for no in range(1, 17):
                late = chance.random() < 0.1
                marks = tuple(L if late or chance.random() < strict.get(judge, 0) else () for judge in judges)
                found.append(heard(where, line, no, marks))
    return found


def test_a_strict_judge_stands_out() -> None:
    found = judge_reviews(day({"O3": 0.08}, [("O1", "O2", "O3"), ("O2", "O3", "O4"), ("O1", "O3", "O4")]), event())
    severity = {one.official: one.severity for one in found.judges}
    assert found.side_by_side and found.groups == (("O1", "O2", "O3", "O4"),)
    strict = severity.pop("O3")
    assert strict and strict.interval[0] > 0 and all(one and one.value < strict.value for one in severity.values())
    alone = {one.official: one.letters["L"] for one in found.judges}
    assert alone["O3"].wrote_alone > 0 and alone["O1"].wrote_alone == alone["O2"].wrote_alone == 0
    assert alone["O3"].wrote > alone["O3"].wrote_alone and alone["O4"].left_out_alone == 0


def test_panels_that_never_mix_are_two_groups() -> None:
    found = judge_reviews(day({"O1": 0.05}, [("O1", "O2"), ("O3", "O4")]), event(judges=2))
    assert found.groups == (("O1", "O2"), ("O3", "O4"))


def test_judges_who_sit_alone_are_compared_by_their_children() -> None:
    found = judge_reviews(day({"O2": 0.2}, [("O1",), ("O2",), ("O1",), ("O2",)]), event(judges=1))
    assert not found.side_by_side and found.groups == (("O1", "O2"),)
    mild, strict = (one.severity for one in found.judges)
    assert mild and strict and mild.value < strict.value and strict.se > 1


def test_one_judge_for_all_tells_nothing() -> None:
    found = judge_reviews(day({}, [("O1",), ("O1",)]), event(judges=1))
    assert found.groups == () and found.judges[0].severity is None
    assert allowances([heat("X", ("T1-1",), ("O1",))], found, event(judges=1))["X"].part == 0


@pytest.mark.parametrize(("panel", "part"), [("median", 0.02), ("mean", 0.03), ("chief", 0.01), ("majority", 0.02)])
def test_an_allowance_follows_the_rule_of_the_panel(panel: Any, part: float) -> None:
    judges = tuple(
        JudgeReview(key, 1, 16, Effect(key, 0, value, 3.0, 4), {}) for key, value in (("O1", 1), ("O2", 2), ("O3", 6))
    )
    known = Panels(judges, True, (("O1", "O2", "O3"),))
    (one,) = allowances([heat("X", ("T1-1",), ("O1", "O2", "O3"))], known, event(panel)).values()
    assert one.part == pytest.approx(part) and one.se == pytest.approx(0.03 / (1 if panel == "chief" else 3**0.5))


def test_agreement_counts() -> None:
    where = heat("J-R1-1", ("T1-1", "T1-2"), ("O1", "O2", "O3"))
    calls = [
        heard(where, 1, 1, ((), (), ())),
        heard(where, 1, 2, (L, L, ())),
        heard(where, 2, 1, (("N",), ("N",), ("N",))),
        heard(where, 2, 2, ((), None, ("S",))),
    ]
    whole, late, wrong, spoken, _ = agreements(calls)
    assert (whole.letter, whole.looks, whole.marked, whole.alike, whole.kappa) == ("", 3, 2, 1, None)
    assert (late.looks, late.marked, late.alike) == (3, 1, 2) and (spoken.marked, spoken.alike) == (1, 2)
    assert wrong.marked == 0 and wrong.alpha is None
    of = {(pair.one, pair.other): pair for pair in pairs(calls)}
    assert (of["O1", "O2"].looks, of["O1", "O2"].alike, of["O1", "O3"].looks, of["O1", "O3"].alike) == (2, 2, 3, 1)


def test_a_room_that_is_harder_shows() -> None:
    calls = []
    for number, room in enumerate(("Hall", "Loft") * 4, start=1):
        where = heat(f"J-R{number}-1", ("T1-1", "T1-2", "T2-1"), ("O1",), number, room)
        late = 5 if room == "Loft" else 1
        calls += [
            heard(where, line, no, (L if (no + line) % 16 < late else (),)) for line in (1, 2, 3) for no in range(16)
        ]
    hall, loft = room_effects(calls, event(judges=1))
    assert hall.value > 0 > loft.value and loft.interval[1] < 0 and hall.rows == 12
