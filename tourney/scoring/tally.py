"""What a contestant or a team has made so far, in numbers that add up."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from fractions import Fraction

from tourney.model.event import TieBreak


@dataclass(frozen=True, slots=True)
class Tally:
    """Points, points on the hardest third of the calls, and calls counted by what the panel agreed on.

    A call with two letters counts under both; a call on which the panel agreed neither way counts under none.
    """

    points: Fraction = Fraction(0)
    hardest: Fraction = Fraction(0)
    clean_calls: int = 0
    wrong_place: int = 0
    late: int = 0
    spoken: int = 0
    handling: int = 0


def total(tallies: Sequence[Tally]) -> Tally:
    """All of them together."""
    return Tally(
        points=sum((made.points for made in tallies), Fraction()),
        hardest=sum((made.hardest for made in tallies), Fraction()),
        clean_calls=sum(made.clean_calls for made in tallies),
        wrong_place=sum(made.wrong_place for made in tallies),
        late=sum(made.late for made in tallies),
        spoken=sum(made.spoken for made in tallies),
        handling=sum(made.handling for made in tallies),
    )


# Tie-breaks that only look at a team's own tally: more is better.
OWN: dict[TieBreak, Callable[[Tally], Fraction | int]] = {
    "points": lambda made: made.points,
    "clean_calls": lambda made: made.clean_calls,
    "fewer_wrong_place": lambda made: -made.wrong_place,
    "fewer_late": lambda made: -made.late,
    "fewer_spoken": lambda made: -made.spoken,
    "fewer_handling": lambda made: -made.handling,
    "hardest_third": lambda made: made.hardest,
}
