"""The lot that is drawn from the draw words before the day."""

from collections.abc import Iterable

from tourney.draw import Draw


def lots_of(words: str, division: str, teams: Iterable[str]) -> dict[str, int]:
    """Each team's number in the lot of its division, 1 first. teams: all of the division, present or not."""
    drawn = sorted(teams)
    Draw(words).stream("lot", division).shuffle(drawn)
    return {team: number for number, team in enumerate(drawn, start=1)}
