"""A standings board to fill in by hand, with what separates level teams: the day goes on without any computer."""

from dataclasses import dataclass

from tourney.model.event import Points, TieBreak
from tourney.model.rules import TIE_BREAKS
from tourney.papers.views import DivisionLabel, Hall, TeamLabel

HEADS: dict[TieBreak, str] = {
    "points": "Points",
    "clean_calls": "Clean",
    "fewer_wrong_place": "W",
    "fewer_late": "L",
    "fewer_spoken": "S",
    "fewer_handling": "H",
    "head_to_head": "Met",
    "head_to_head_margin": "Met, margin",
    "head_to_head_points": "Met, points",
    "margin": "Margin",
    "hardest_third": "Hard calls",
    "best_round": "Best round",
    "last_round": "Last round",
    "heat_wins": "Heats won",
    "countback": "Firsts",
    "opponents_points": "Opponents",
    "beaten_points": "Beaten",
    "progressive": "Running totals",
    "drill_off": "Drill-off",
    "lot": "Lot",
}
BY_HAND: dict[TieBreak, str] = {
    "points": "the total of the members that counted",
    "clean_calls": "count ticked boxes without a letter, in the rows of the members that counted",
    "fewer_wrong_place": "count the letter W in those rows",
    "fewer_late": "count the letter L in those rows",
    "fewer_spoken": "count the letter S in those rows",
    "fewer_handling": "count the letter H in those rows",
    "head_to_head": "only if each of the level teams met each other one; otherwise pass on to the next",
    "head_to_head_margin": "only if each of the level teams met each other one; otherwise pass on to the next",
    "head_to_head_points": "only if each of the level teams met each other one; otherwise pass on to the next",
    "margin": "in each heat, own points less the other team’s; add these up",
    "hardest_third": "needs the list of difficulties: leave it open until the computer is back, or ask the chief judge",
    "best_round": "the highest of the round columns",
    "last_round": "the last of the round columns",
    "heat_wins": "heats in which no other team had as many points",
    "countback": "heats come first in; if level, heats come second in, and so on",
    "opponents_points": "add up the totals of all teams met",
    "beaten_points": "add up the totals of the teams beaten, and half of those with whom it was level",
    "progressive": "add up the totals after each round",
    "drill_off": "only when a place in the finals or an award is at stake: see the drill-off script",
    "lot": "the order comes from the draw words: leave it to the computer, or let the chief judge draw",
}


@dataclass(frozen=True, slots=True)
class TieStep:
    """One tie-break. head: of its column. words: what it asks. by_hand: how it is found on paper."""

    head: str
    words: str
    by_hand: str


@dataclass(frozen=True, slots=True)
class Board:
    """One division's board. rounds: to write in. by_points: False when heat points rank first."""

    division: DivisionLabel
    teams: tuple[TeamLabel, ...]
    rounds: int
    by_points: bool
    counting: int
    over_day: bool
    points: Points
    steps: tuple[TieStep, ...]


def boards(hall: Hall) -> tuple[Board, ...]:
    """A board a division, teams by their pools and ids."""
    found = []
    for label in hall.divisions.values():
        division = hall.plan.event.division(label.name)
        found.append(
            Board(
                label,
                tuple(sorted((team for team in hall.teams.values() if team.division == label), key=_by_pool)),
                _rounds(hall, label.name),
                division.rank_by == "points",
                division.counting,
                division.counting_over == "day",
                division.points,
                tuple(TieStep(HEADS[name], TIE_BREAKS[name], BY_HAND[name]) for name in division.tie_breaks),
            )
        )
    return tuple(found)


def _by_pool(team: TeamLabel) -> tuple[str, str]:
    return team.pool, team.id


def _rounds(hall: Hall, division: str) -> int:
    """Rounds to write in, those too that are drawn later."""
    asked = hall.plan.event.division(division).rounds
    return asked if isinstance(asked, int) else hall.plan.drawn_rounds[division]


def cribs(found: tuple[Board, ...]) -> tuple[tuple[tuple[DivisionLabel, ...], Board], ...]:
    """How places are decided: divisions with the same rules together, and a board of theirs."""
    alike: dict[tuple[object, ...], list[Board]] = {}
    for board in found:
        alike.setdefault((board.by_points, board.counting, board.over_day, board.points, board.steps), []).append(board)
    return tuple((tuple(board.division for board in group), group[0]) for group in alike.values())
