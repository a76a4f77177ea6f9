"""What a coach sees of the day: the club's own children and teams, and of all others no more than a median."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from tourney.canon.syllabus import Syllabus
from tourney.model.heard import Heard
from tourney.model.standing import Results, TeamStanding
from tourney.papers.review_words import NOTHING_YET, highlight_words, target_words
from tourney.papers.views import DivisionLabel, Hall, TeamLabel
from tourney.review.contestants import Medians, Reviewed, medians, reviewed
from tourney.review.parts import Part

_OfChild = Mapping[str, Sequence[Heard]]


@dataclass(frozen=True, slots=True)
class Missed:
    """One call that a child did not find, or answered wrongly. round: None in finals. what: the letters, as words."""

    round: int | None
    section: str
    item: str
    what: str


@dataclass(frozen=True, slots=True)
class ChildView:
    """A child, by the name that may be shown. sections: names of those in which the child was called.

    finals: calls found in finals, which nothing else here counts. missed: with those of finals; empty until calls may
    be named.
    """

    id: str
    shown_as: str
    team: TeamLabel
    review: Reviewed
    sections: tuple[str, ...]
    strengths: tuple[str, ...]
    target: str
    finals: Part
    missed: tuple[Missed, ...]


@dataclass(frozen=True, slots=True)
class TeamView:
    """A team. standing: None where it takes no place. ranked: how many teams of its division, or pool, take one."""

    label: TeamLabel
    review: Reviewed
    standing: TeamStanding | None
    ranked: int
    strengths: tuple[str, ...]
    target: str
    children: tuple[ChildView, ...]


@dataclass(frozen=True, slots=True)
class DivisionView:
    """A club's part in a division. sections: (key, name) of those that were called. medians: None for too few others.

    rounds: numbers of those that were heard.
    """

    label: DivisionLabel
    sections: tuple[tuple[str, str], ...]
    rounds: tuple[int, ...]
    teams: tuple[TeamView, ...]
    medians: Medians | None


@dataclass(frozen=True, slots=True)
class ClubReview:
    """All that one club is handed. named: whether it names what was called."""

    club: str
    divisions: tuple[DivisionView, ...]
    named: bool


def club_reviews(
    hall: Hall, heard: Iterable[Heard], results: Results, syllabus: Syllabus, finals: Iterable[Heard] | None
) -> tuple[ClubReview, ...]:
    """Every club whose children stood in a line, in the order of clubs' names.

    heard: the calls of the rounds. finals: those of finals; None while no call may be named.
    """
    whole, last = tuple(heard), None if finals is None else _by_child(finals)
    parts: dict[str, list[DivisionView]] = {}
    for found in results.divisions:
        own = [one for one in whole if one.heat.division == found.division]
        if not own:
            continue
        worth = hall.plan.event.division(found.division).points.call
        children, teams = reviewed(own, syllabus.sections, worth)
        maker = _Maker(hall, syllabus, _by_child(own), last)
        standing = {row.team: row for row in found.teams}
        called = {one.call.section for one in own}
        sections = tuple((key, syllabus.section_name(key)) for key in syllabus.sections if key in called)
        for club in dict.fromkeys(hall.teams[team.id].club for team in teams):
            mine = [team for team in teams if hall.teams[team.id].club == club]
            ids = {team.id for team in mine}
            views = tuple(
                TeamView(
                    hall.teams[team.id],
                    team,
                    standing.get(team.id),
                    len(found.pools[hall.teams[team.id].pool]) if team.id in standing else 0,
                    maker.strengths(team),
                    maker.target(team),
                    tuple(maker.child(child) for child in children if child.team == team.id),
                )
                for team in mine
            )
            middle = medians(children, (child.id for child in children if child.team in ids))
            rounds = tuple(sorted({one.heat.round for one in own}))
            parts.setdefault(club, []).append(
                DivisionView(hall.divisions[found.division], sections, rounds, views, middle)
            )
    return tuple(ClubReview(club, tuple(parts[club]), named=last is not None) for club in sorted(parts))


def _by_child(heard: Iterable[Heard]) -> _OfChild:
    found: dict[str, list[Heard]] = {}
    for one in heard:
        found.setdefault(one.contestant, []).append(one)
    return found


class _Maker:
    """Makes the views of one division's children. finals: None while no call may be named."""

    def __init__(self, hall: Hall, syllabus: Syllabus, rounds: _OfChild, finals: _OfChild | None) -> None:
        self._hall, self._syllabus, self._rounds, self._finals = hall, syllabus, rounds, finals

    def strengths(self, who: Reviewed) -> tuple[str, ...]:
        return tuple(highlight_words(one, self._syllabus.section_name(one.section)) for one in who.strengths)

    def target(self, who: Reviewed) -> str:
        if not who.day.found.calls:
            return NOTHING_YET
        return target_words(who.target, self._syllabus.section_name(who.target.section) if who.target else "")

    def child(self, who: Reviewed) -> ChildView:
        label = self._hall.teams[who.team]
        sections = tuple(map(self._syllabus.section_name, who.day.sections))
        said = self.strengths(who), self.target(who)
        last = (self._finals or {}).get(who.id, [])
        found = Part.of(one.found for one in last)
        missed = () if self._finals is None else (*self._missed(self._rounds[who.id]), *self._missed(last, finals=True))
        return ChildView(who.id, self._hall.names[who.id], label, who, sections, *said, found, missed)

    def _missed(self, heard: Iterable[Heard], *, finals: bool = False) -> Iterator[Missed]:
        for one in heard:
            said = [MISSED[letter] for letter in one.word or () if letter in MISSED]
            if said:
                section = self._syllabus.section_name(one.call.section)
                yield Missed(None if finals else one.heat.round, section, one.call.say, " and ".join(said))


MISSED = {"L": "found too late", "W": "finger in a wrong place", "S": "spoken answer wrong"}
