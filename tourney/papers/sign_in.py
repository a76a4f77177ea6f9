"""Who should come: for the registration desk, and a club at a time for its leaders."""

from collections.abc import Iterator
from dataclasses import dataclass, replace

from tourney.papers.views import Hall, TeamLabel

CHILDREN_A_PAGE = 18


@dataclass(frozen=True, slots=True)
class ExpectedChild:
    """One child to tick off, by the name that may be shown."""

    id: str
    shown_as: str
    substitute: bool


@dataclass(frozen=True, slots=True)
class ExpectedTeam:
    """One team's children, in the order of the entry."""

    label: TeamLabel
    children: tuple[ExpectedChild, ...]


@dataclass(frozen=True, slots=True)
class ClubList:
    """A club, or as many of its teams as stand together on a page. parted: it goes on from the page before."""

    name: str
    teams: tuple[ExpectedTeam, ...]
    parted: bool = False


def sign_in_lists(hall: Hall) -> dict[str, tuple[ClubList, ...]]:
    """Club -> its list, in parts no longer than a page; clubs by name."""
    clubs: dict[str, list[ExpectedTeam]] = {}
    for team in hall.plan.teams:
        members = (hall.roster.contestant[child] for child in team.members)
        children = tuple(ExpectedChild(child.id, hall.names[child.id], child.substitute) for child in members)
        clubs.setdefault(team.club, []).append(ExpectedTeam(hall.teams[team.id], children))
    return {club: tuple(_parts(club, clubs[club])) for club in sorted(clubs)}


def _parts(club: str, teams: list[ExpectedTeam]) -> Iterator[ClubList]:
    part = ClubList(club, ())
    children = 0
    for team in teams:
        if part.teams and children + len(team.children) > CHILDREN_A_PAGE:
            yield part
            part, children = ClubList(club, (), parted=True), 0
        part = replace(part, teams=(*part.teams, team))
        children += len(team.children)
    yield part
