"""Which team takes which seat of a pattern: so that teams of one club meet least."""

from collections.abc import Mapping
from itertools import combinations
from random import Random

import numpy as np

from tourney.planning.rotation.patterns import Pattern
from tourney.planning.rotation.search import Wishes, improve


def seated(pattern: Pattern, clubs: Mapping[str, str], column: int, random: Random) -> list[list[list[str]]]:
    """The pattern with teams in place of seats. column: how many neighbouring seats are likely never to meet."""
    order = _by_columns(clubs, column, random)
    if len(set(clubs.values())) < len(clubs):
        order = _apart(pattern, order, clubs, random)
    return [[[order[seat] for seat in heat] for heat in heats] for heats in pattern]


def _by_columns(clubs: Mapping[str, str], column: int, random: Random) -> list[str]:
    """Teams in a drawn order, whole clubs packed into columns where they fit, largest first."""
    teams = sorted(clubs)
    random.shuffle(teams)
    groups: dict[str, list[str]] = {}
    for team in teams:
        groups.setdefault(clubs[team], []).append(team)
    free = [min(column, len(teams) - start) for start in range(0, len(teams), column)]
    columns: list[list[str]] = [[] for _ in free]
    spare: list[str] = []
    for group in sorted(groups.values(), key=len, reverse=True):
        fits = [number for number, room in enumerate(free) if room >= len(group)]
        if fits:
            columns[fits[0]] += group
            free[fits[0]] -= len(group)
        else:
            spare += group
    for number, room in enumerate(free):
        columns[number] += [spare.pop() for _ in range(room)]
    return [team for filled in columns for team in filled]


def _apart(pattern: Pattern, order: list[str], clubs: Mapping[str, str], random: Random) -> list[str]:
    """Swap teams between seats until clubs meet as little as the search finds."""
    club = [clubs[team] for team in order]
    if all(len({club[seat] for seat in heat}) == len(heat) for heats in pattern for heat in heats):
        return order
    seats = len(order)
    meetings = np.zeros((seats, seats), dtype=np.int64)
    for heats in pattern:
        for heat in heats:
            for one, other in combinations(heat, 2):
                meetings[one, other] += 1
                meetings[other, one] += 1
    names = sorted(set(clubs.values()))
    club_of_seat = np.array([[names.index(clubs[team]) for team in order]])
    dealt = improve(club_of_seat, len(names), Wishes(before=meetings), 0, 20 * seats, random)[0]
    waiting: dict[str, list[str]] = {name: [] for name in names}
    for team in order:
        waiting[clubs[team]].append(team)
    return [waiting[names[number]].pop(0) for number in dealt]
