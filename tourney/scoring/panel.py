"""How the judges of a heat become one: each rule a tiny callable over the marks of those who judged a call."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from statistics import median as middle

from tourney.model.event import Points
from tourney.model.sheet import LETTERS
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
    """The points of the letters that more than half gave."""
    return Fraction(points_of(agreed(marks), scale))


# None of them ever gives more points for more faults, so that marks still to come are bounded by all and by none.
PANELS: dict[str, Rule] = {"median": median, "majority": majority, "mean": mean, "chief": chief}


@dataclass(frozen=True, slots=True)
class Joint:
    """What the panel says of one call of one contestant.

    points: from the judges heard so far, 0 when there is none. least, most: what they can still become.
    clean: more than half found no fault. letters: those that more than half gave.
    settled: whatever judges not yet heard would write, nothing changes. differ: all were heard, and no rule decides.
    """

    points: Fraction
    least: Fraction
    most: Fraction
    clean: bool
    letters: Mark
    settled: bool
    differ: bool = False


@lru_cache(maxsize=4096)
def joint(marks: tuple[Mark | None, ...], panel: str, scale: Points) -> Joint:
    """The panel's word on one cell. marks: one a judge who watches it, in seat order, None for who has not judged it.

    panel: median, majority, mean or chief (who alone is asked).
    """
    seats = marks[:1] if panel == "chief" else marks
    heard = [mark for mark in seats if mark is not None]
    if not heard:
        return Joint(Fraction(0), Fraction(0), Fraction(scale.call), clean=False, letters=(), settled=False)
    rule, complete = PANELS[panel], len(heard) == len(seats)
    worst = [WORST if mark is None else mark for mark in seats]
    best = [CLEAN if mark is None else mark for mark in seats]
    split = _can_split(panel, worst, best)
    if split:  # a ruling may follow any one of them
        least = Fraction(min(points_of(mark, scale) for mark in worst))
        most = Fraction(max(points_of(mark, scale) for mark in best))
    else:
        least, most = rule(worst, scale), rule(best, scale)
    points = min(rule(heard, scale), most)
    alike = least == most and agreed(worst) == agreed(best) and agreed_clean(worst) == agreed_clean(best)
    return Joint(points, least, most, agreed_clean(heard), agreed(heard), alike and not split, complete and split)


def ruled(mark: Mark, scale: Points) -> Joint:
    """The panel's word where a ruling gives it: nobody still to be heard changes that."""
    points = Fraction(points_of(mark, scale))
    return Joint(points, points, points, mark == CLEAN, mark, settled=True)


def _can_split(panel: str, worst: Sequence[Mark], best: Sequence[Mark]) -> bool:
    """Whether the judges can end up where no rule decides: two who differ, or a majority for nothing at all.

    Never under a mean, nor under a chief.
    """
    if len(worst) == 2 and panel in ("median", "majority"):
        return len({*worst, *best}) > 1
    return panel == "majority" and not agreed(best) and not agreed_clean(worst)
