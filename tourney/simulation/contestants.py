"""What simulated contestants do: how surely each finds what is called, and whether the spoken answer is right.

An invented model for rehearsals, no measurement: the chance to be in time is logistic in ability less difficulty, as
in the item model of Rasch (1960), with the call's search index as its difficulty.
"""

from dataclasses import dataclass
from math import log
from random import Random

from tourney.draw import Draw
from tourney.model.people import Contestant, Team
from tourney.model.sheet import Letter

EASE = 4.1  # with nothing else, a call of three bits is found in time nine times of ten
PER_BIT = 0.6
ANSWER_EASE = 2.4
CARE = 5.0  # the rules of handling are broken about once in 150 calls
WRONG_PLACE = 0.3  # part of the misses that are fingers in a wrong place, not late ones
CLUB, TEAM, OWN, DIVISION = 0.4, 0.4, 0.6, 0.3  # spreads of ability


@dataclass(frozen=True, slots=True)
class Find:
    """What truly happened to one contestant on one call.

    margin, care: how clearly in time and how clearly by the rules; below 0 it was not.
    """

    margin: float
    care: float
    wrong_place: bool = False
    answer_wrong: bool = False

    def letters(self, strictness: float = 0.0) -> tuple[Letter, ...]:
        """The letters of a judge who misses nothing. strictness: how far before the border a fault is seen already."""
        handled: tuple[Letter, ...] = ("H",) if self.care < strictness else ()
        if self.margin < strictness:
            return ("W" if self.wrong_place else "L", *handled)
        return (*(("S",) if self.answer_wrong else ()), *handled)


def ability(child: Contestant, team: Team, draw: Draw) -> float:
    """A child's ability, in logits above the average: its division's, its club's and its team's level, and its own."""

    def part(spread: float, *name: str) -> float:
        return draw.stream("rehearsal", "ability", *name).gauss(0, spread)

    return (
        part(DIVISION, "division", team.division)
        + part(CLUB, "club", team.club)
        + part(TEAM, "team", team.id)
        + part(OWN, "child", child.id)
    )


def find(able: float, difficulty: float, speaks: bool, chance: Random) -> Find:
    """One contestant on one call. difficulty: in bits. speaks: is this contestant asked for the answer."""
    margin = EASE + able - PER_BIT * difficulty + _noise(chance)
    answer = ANSWER_EASE + able + _noise(chance)
    return Find(margin, CARE + _noise(chance), chance.random() < WRONG_PLACE, speaks and answer < 0)


def _noise(chance: Random) -> float:
    """A logistic random number."""
    part = chance.uniform(1e-9, 1 - 1e-9)
    return log(part / (1 - part))
