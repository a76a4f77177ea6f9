"""Who may not serve whom."""

from collections.abc import Iterable, Sequence

from tourney.model.people import Official, Team


def plain(name: str) -> str:
    """A name as it is compared: spaces and capitals do not matter."""
    return " ".join(name.split()).casefold()


def tied(official: Official, teams: Iterable[Team]) -> bool:
    """Has the official a declared tie to a club of these teams, or to one of their children."""
    return bool(Ties([official]).to(teams))


class Ties:
    """All declared ties of these officials, found by club and by child."""

    def __init__(self, officials: Sequence[Official]) -> None:
        self.clubs: dict[str, set[int]] = {}
        self.people: dict[str, set[int]] = {}
        for number, official in enumerate(officials):
            for club in official.clubs:
                self.clubs.setdefault(plain(club), set()).add(number)
            for child in official.people:
                self.people.setdefault(child, set()).add(number)

    def to(self, teams: Iterable[Team]) -> set[int]:
        """The numbers, from 0, of the officials who have a tie to any of these teams."""
        found: set[int] = set()
        for team in teams:
            found |= self.clubs.get(plain(team.club), set()) if self.clubs else set()
            for child in team.members if self.people else ():
                found |= self.people.get(child, set())
        return found
