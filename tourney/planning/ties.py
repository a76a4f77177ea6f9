"""Who may not serve whom."""

from collections.abc import Iterable

from tourney.model.people import Official, Team


def plain(name: str) -> str:
    """A name as it is compared: spaces and capitals do not matter."""
    return " ".join(name.split()).casefold()


def tied(official: Official, teams: Iterable[Team]) -> bool:
    """Has the official a declared tie to a club of these teams, or to one of their children."""
    clubs = {plain(club) for club in official.clubs}
    people = set(official.people)
    return any(plain(team.club) in clubs or not people.isdisjoint(team.members) for team in teams)
