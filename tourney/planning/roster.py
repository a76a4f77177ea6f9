"""Ids for everyone, which stay when the entries change and the day is planned again."""

from collections.abc import Iterable, Iterator
from dataclasses import replace
from itertools import count

from tourney.model.event import Event
from tourney.model.people import Contestant, EnteredOfficial, EnteredTeam, Official, Roster, Team
from tourney.planning.prefixes import division_prefixes
from tourney.planning.ties import plain


def enrol(
    teams: Iterable[EnteredTeam], officials: Iterable[EnteredOfficial], event: Event, previous: Roster | None
) -> Roster:
    """Give ids: teams J01, contestants J01-1, officials O01.

    Whoever was in the previous roster keeps the id: a team by club, name and division, a child by name within the team,
    an official by name. A number that the previous roster used is never given to somebody new. Teams are ordered by
    division as in the event, then club, then name; officials as handed in.
    """
    before = previous or Roster((), (), ())
    place = {division.name: number for number, division in enumerate(event.divisions)}
    ordered = sorted(teams, key=lambda team: (place[team.division], plain(team.club), plain(team.name)))
    enrolled = list(_teams(ordered, event, before))
    members = [child for _, children in enrolled for child in children]
    return Roster(
        tuple(team for team, _ in enrolled), tuple(members), tuple(_officials(officials, enrolled, before.officials))
    )


def _teams(
    entered: Iterable[EnteredTeam], event: Event, before: Roster
) -> Iterator[tuple[Team, tuple[Contestant, ...]]]:
    prefixes = division_prefixes([division.name for division in event.divisions])
    kept = _Ids(((plain(team.club), plain(team.name), team.division), team.id) for team in before.teams)
    for team in entered:
        key = (plain(team.club), plain(team.name), team.division)
        prefix = prefixes[team.division]
        team_id = kept.of(key, (f"{prefix}{number:02}" for number in count(1)))
        old = before.team[team_id].members if team_id in before.team else ()
        seats = _Ids((plain(before.contestant[child].name), child) for child in old)
        full_first = sorted(team.members, key=lambda child: child.substitute)
        numbers = (f"{team_id}-{number}" for number in count(1))
        children = tuple(replace(child, id=seats.of(plain(child.name), numbers)) for child in full_first)
        yield Team(team_id, team.name, team.club, team.division, tuple(child.id for child in children)), children


def _officials(
    entered: Iterable[EnteredOfficial],
    enrolled: Iterable[tuple[Team, tuple[Contestant, ...]]],
    before: Iterable[Official],
) -> Iterator[Official]:
    known: dict[tuple[str, str], list[str]] = {}
    for team, children in enrolled:
        for child in children:
            known.setdefault((plain(team.club), plain(child.name)), []).append(child.id)
    kept = _Ids((plain(official.name), official.id) for official in before)
    for entry in entered:
        numbers = (f"O{number:02}" for number in count(1))
        people = sorted({key for club, name in entry.people for key in known.get((plain(club), plain(name)), [])})
        yield replace(entry.official, id=kept.of(plain(entry.official.name), numbers), people=tuple(people))


class _Ids:
    """Ids of one kind: those of before for those who stay, unused ones for the others."""

    def __init__(self, before: Iterable[tuple[object, str]]) -> None:
        self._waiting: dict[object, list[str]] = {}
        self._used: set[str] = set()
        for key, old in before:
            self._waiting.setdefault(key, []).append(old)
            self._used.add(old)

    def of(self, key: object, fresh: Iterable[str]) -> str:
        """The id of whoever has this key; namesakes take theirs in turn."""
        if self._waiting.get(key):
            return self._waiting[key].pop(0)
        new = next(candidate for candidate in fresh if candidate not in self._used)
        self._used.add(new)
        return new
