"""What one child did over the day, what went well, and what to practise next; and the same for a team."""

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import chain
from statistics import median
from typing import Literal

from tourney.model.heard import Heard
from tourney.model.sheet import Letter
from tourney.review.parts import Part

OTHERS = 5  # children of other clubs without whom a median could show what one of them did
WEIGHT = 4.0  # calls as which the division's own share counts when parts are compared: few calls say little
STRENGTHS = 2
THIN = 3  # calls below which a part is named only where there is nothing better known

Kind = Literal["section", "answers", "handling"]


@dataclass(frozen=True, slots=True)
class RoundShare:
    """One round. points: part of those available in it, 0 to 1."""

    round: int
    points: Fraction


@dataclass(frozen=True, slots=True)
class Highlight:
    """Something that went well, or that is next to practise. section: its key, empty for another kind."""

    kind: Kind
    section: str
    part: Part


@dataclass(frozen=True, slots=True)
class Day:
    """A child's calls, or a team's. sections: key -> found of called, in the order of the syllabus.

    found, clean: of the calls that were judged and for which somebody was there. answers: right of those asked for and
    found. faults: calls a letter. open: calls of which the panel's word is not known. missed: items called and not
    found, each once, in the order of the day.
    """

    found: Part
    clean: Part
    answers: Part
    sections: Mapping[str, Part]
    rounds: tuple[RoundShare, ...]
    faults: Mapping[Letter, int]
    absent: int
    open: int
    missed: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Reviewed:
    """A child or team, with strengths first and then the one thing to practise; None when all was found."""

    id: str
    team: str
    day: Day
    strengths: tuple[Highlight, ...]
    target: Highlight | None


@dataclass(frozen=True, slots=True)
class Medians:
    """The middle child of a division: part of calls found, of each section, and of the points of each round."""

    found: float
    sections: Mapping[str, float]
    rounds: Mapping[int, float]


def day_of(heard: Sequence[Heard], sections: Sequence[str], worth: int) -> Day:
    """Add up some calls. worth: points of a clean call. sections: keys in order; those never called are left out."""
    there = [one for one in heard if one.there]
    by_section = {key: Part.of(one.found for one in there if one.call.section == key) for key in sections}
    rounds = []
    for number in sorted({one.heat.round for one in there}):
        points = [one.points for one in there if one.heat.round == number and one.points is not None]
        rounds.append(RoundShare(number, sum(points, Fraction()) / (worth * len(points))))
    letters = list(chain.from_iterable(one.word or () for one in there))
    counts: dict[Letter, int] = {letter: letters.count(letter) for letter in ("L", "W", "S", "H")}
    absent = sum(one.word is not None and "N" in one.word for one in heard)
    return Day(
        Part.of(one.found for one in there),
        Part.of(not one.word for one in there),
        Part.of(one.answered for one in there),
        {key: part for key, part in by_section.items() if part.calls},
        tuple(rounds),
        counts,
        absent,
        len(heard) - len(there) - absent,
        tuple(dict.fromkeys(one.call.item for one in there if not one.found)),
    )


def reviewed(
    heard: Iterable[Heard], sections: Sequence[str], worth: int
) -> tuple[tuple[Reviewed, ...], tuple[Reviewed, ...]]:
    """Children and teams of one division, both in the order of their ids. heard: of that division."""
    of_child: dict[str, list[Heard]] = defaultdict(list)
    of_team: dict[str, list[Heard]] = defaultdict(list)
    for one in heard:
        of_child[one.contestant].append(one)
        of_team[one.team].append(one)
    whole = day_of([*chain.from_iterable(of_team.values())], sections, worth)
    children = (
        _reviewed(key, own[0].team, day_of(own, sections, worth), whole) for key, own in sorted(of_child.items())
    )
    teams = (_reviewed(key, key, day_of(own, sections, worth), whole) for key, own in sorted(of_team.items()))
    return tuple(children), tuple(teams)


def medians(children: Sequence[Reviewed], own: Iterable[str]) -> Medians | None:
    """The division's middle child, None where too few others took part. own: ids of the children who are shown it."""
    mine = set(own)
    if sum(child.id not in mine and child.day.found.calls > 0 for child in children) < OTHERS:
        return None
    shares = [child.day.found.share for child in children if child.day.found.share is not None]
    sections: dict[str, list[float]] = defaultdict(list)
    rounds: dict[int, list[float]] = defaultdict(list)
    for child in children:
        for key, part in child.day.sections.items():
            sections[key].append(part.hits / part.calls)
        for one in child.day.rounds:
            rounds[one.round].append(float(one.points))
    return Medians(
        median(shares),
        {key: median(values) for key, values in sections.items()},
        {number: median(values) for number, values in sorted(rounds.items())},
    )


def _reviewed(key: str, team: str, own: Day, division: Day) -> Reviewed:
    """Strengths are the parts furthest above what is usual in the division, the target the part with most to gain."""
    parts = [
        *(Highlight("section", section, part) for section, part in own.sections.items()),
        *([Highlight("answers", "", own.answers)] if own.answers.calls else []),
        *(
            [Highlight("handling", "", Part(own.found.calls - own.faults["H"], own.found.calls))]
            if own.found.calls
            else []
        ),
    ]

    def usual(one: Highlight) -> float:
        if one.kind == "section":
            return division.sections[one.section].share or 0.0
        if one.kind == "answers":
            return division.answers.share or 0.0
        return 1 - division.faults["H"] / max(1, division.found.calls)

    def lift(one: Highlight) -> float:
        return one.part.toward(usual(one), WEIGHT) - usual(one)

    def order(one: Highlight) -> tuple[bool, float]:
        return one.part.calls < THIN, -lift(one)

    strengths = sorted((one for one in parts if one.part.hits), key=order)[:STRENGTHS]
    to_gain = [one for one in parts if one.part.hits < one.part.calls and one not in strengths]
    target = min(to_gain, key=lambda one: (one.part.calls < THIN, one.part.toward(usual(one), WEIGHT)), default=None)
    return Reviewed(key, team, own, tuple(strengths), target)
