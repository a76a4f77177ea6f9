"""Who should come: for the registration desk, and a club at a time for its leaders."""

from collections.abc import Iterator
from dataclasses import dataclass

from tourney.papers.paging import Sheet, Words, in_pages
from tourney.papers.views import Hall, TeamLabel

ROWS_A_PAGE = 18  # of children whose names take one line
ROW_MM, AROUND_MM = 9.2, 2.2  # of such a row, and what surrounds its words
BESIDE_NAME_MM = 104.0  # what the columns beside a name take


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
    width = Sheet.of(hall.plan.event.day.paper).width - BESIDE_NAME_MM
    return {club: tuple(_parts(club, clubs[club], width)) for club in sorted(clubs)}


def _parts(club: str, teams: list[ExpectedTeam], width: float) -> Iterator[ClubList]:
    pages = in_pages(teams, lambda team: _rows(team, width), ROWS_A_PAGE)
    for number, page in enumerate(pages):
        yield ClubList(club, page, parted=number > 0)


def _rows(team: ExpectedTeam, width: float) -> float:
    """How many rows of one line the children of a team take."""
    names = (Words(child.shown_as, width, 13) for child in team.children)
    return sum(max(1, (name.mm + AROUND_MM) / ROW_MM) for name in names)
