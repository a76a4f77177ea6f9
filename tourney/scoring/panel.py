"""How the judges of a heat become one: each rule a tiny callable over the marks of those who judged a call."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from statistics import median as middle

from tourney.model.event import Points
from tourney.model.sheet import LETTERS, Letter
from tourney.scoring.marks import Mark, points_of

Rule = Callable[[Sequence[Mark], Points], Fraction]

CLEAN: Mark = ()
WORST: Mark = tuple(LETTERS)


def agreed(marks: Sequence[Mark]) -> Mark:
    """Letters that more than half of these judges gave. Letters are never averaged."""
    return tuple(letter for letter in LETTERS if 2 * sum(letter in mark for mark in marks) > len(marks))


def agreed_clean(marks: Sequence[Mark]) -> bool:
    """Whether more than half of these judges found no fault."""
    return 2 * sum(mark == CLEAN for mark in marks) > len(marks)


def median(marks: Sequence[Mark], scale: Points) -> Fraction:
    """The middle one of the judges' points; of an even number, halfway between the middle two."""
    return Fraction(middle(Fraction(points_of(mark, scale)) for mark in marks))


def mean(marks: Sequence[Mark], scale: Points) -> Fraction:
    """The average of the judges' points."""
    return Fraction(sum(points_of(mark, scale) for mark in marks), len(marks))


def chief(marks: Sequence[Mark], scale: Points) -> Fraction:
    """The points of the first-named judge."""
    return Fraction(points_of(marks[0], scale))


def majority(marks: Sequence[Mark], scale: Points) -> Fraction:
    """Points of the letters that more than half gave.

    Judges who saw different faults agree on no letter, but they did not see a clean call: their median counts then.
    """
    if agreed(marks) or agreed_clean(marks):
        return _agreed_points(marks, scale)
    return median(marks, scale)


def _agreed_points(marks: Sequence[Mark], scale: Points) -> Fraction:
    return Fraction(points_of(agreed(marks), scale))


PANELS: dict[str, Rule] = {"median": median, "majority": majority, "mean": mean, "chief": chief}

# A panel's points are always those of one of these; none of them rises when a judge adds a fault, so that together
# they bound what judges who are still to be heard can do.
BOUNDS: dict[str, tuple[Rule, ...]] = {"median": (median,), "majority": (_agreed_points, median), "mean": (mean,)}


@dataclass(frozen=True, slots=True)
class Joint:
    """What the panel says of one call of one contestant.

    points: from the judges heard so far, 0 when there is none. least, most: what they can still become.
    settled: whatever judges not yet heard would write, nothing changes. differ: two judges, two opinions, no rule.
    """

    points: Fraction
    least: Fraction
    most: Fraction
    clean: bool
    letters: tuple[Letter, ...]
    settled: bool
    differ: bool = False


@lru_cache(maxsize=4096)
def joint(marks: tuple[Mark | None, ...], panel: str, scale: Points) -> Joint:
    """The panel's word on one cell. marks: one a judge in the plan's order, None for who has not judged it.

    panel: median, majority, mean or chief (who alone is asked). Two judges who differ under median or majority are
    split evenly: the points between theirs stand until they agree.
    """
    seats = marks[:1] if panel == "chief" else marks
    heard = [mark for mark in seats if mark is not None]
    if not heard:
        return Joint(Fraction(0), Fraction(0), Fraction(scale.call), clean=False, letters=(), settled=False)
    points = PANELS[panel](heard, scale)
    if panel in ("median", "majority") and len(seats) == len(heard) == 2 and heard[0] != heard[1]:
        each = [Fraction(points_of(mark, scale)) for mark in heard]
        return Joint(points, min(each), max(each), agreed_clean(heard), agreed(heard), settled=False, differ=True)
    if len(heard) == len(seats):
        return Joint(points, points, points, agreed_clean(heard), agreed(heard), settled=True)
    worst = [WORST if mark is None else mark for mark in seats]
    best = [CLEAN if mark is None else mark for mark in seats]
    least, most = min(rule(worst, scale) for rule in BOUNDS[panel]), max(rule(best, scale) for rule in BOUNDS[panel])
    settled = least == most and agreed(worst) == agreed(best) and agreed_clean(worst) == agreed_clean(best)
    return Joint(points, least, most, agreed_clean(heard), agreed(heard), settled)
