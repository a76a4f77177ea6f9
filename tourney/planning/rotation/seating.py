"""Which team takes which seat of a pattern: so that teams of one club meet least."""

from collections.abc import Mapping, Sequence
from random import Random

import numpy as np

from tourney.planning.rotation.patterns import Pattern
from tourney.planning.rotation.search import Wishes, improve

EFFORT = 2_000_000_000  # seats, with seats, in clubs that the search may look at: about a second


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
    """Swap teams between seats until clubs meet as little as is found: those that clash first, then any."""
    club = [clubs[team] for team in order]
    if all(len({club[seat] for seat in heat}) == len(heat) for heats in pattern for heat in heats):
        return order
    near = _near(pattern, len(order))
    order = _eased(near, order, clubs)
    if not any(_clashes(near, order, clubs, seat, clubs[team]) for seat, team in enumerate(order)):
        return order
    seats = len(order)
    meetings = np.zeros((seats, seats), dtype=np.int64)
    for seat, met in enumerate(near):
        np.add.at(meetings[seat], met, 1)
    names = sorted(set(clubs.values()))
    club_of_seat = np.array([[names.index(clubs[team]) for team in order]])
    steps = min(20 * seats, EFFORT // (seats * seats * len(names)))
    dealt = improve(club_of_seat, len(names), Wishes(before=meetings), 0, steps, random)[0]
    waiting: dict[str, list[str]] = {name: [] for name in names}
    for team in order:
        waiting[clubs[team]].append(team)
    return [waiting[names[number]].pop(0) for number in dealt]


def _near(pattern: Pattern, seats: int) -> list[list[int]]:
    """The seats that each seat meets, as often as it does."""
    near: list[list[int]] = [[] for _ in range(seats)]
    for heats in pattern:
        for heat in heats:
            for seat in heat:
                near[seat] += [other for other in heat if other != seat]
    return near


def _clashes(
    near: Sequence[Sequence[int]], order: Sequence[str], clubs: Mapping[str, str], seat: int, club: str
) -> int:
    """How often a team of this club would meet its own on that seat."""
    return sum(clubs[order[other]] == club for other in near[seat])


def _eased(near: Sequence[Sequence[int]], order: Sequence[str], clubs: Mapping[str, str]) -> list[str]:
    """The order after one pass in which each team that meets its club goes to the next seat where no two meet."""
    eased = list(order)
    for seat in range(len(eased)):
        mine = clubs[eased[seat]]
        if not _clashes(near, eased, clubs, seat, mine):
            continue
        for other in (*range(seat + 1, len(eased)), *range(seat)):
            theirs = clubs[eased[other]]
            if (
                mine == theirs
                or _clashes(near, eased, clubs, other, mine)
                or _clashes(near, eased, clubs, seat, theirs)
            ):
                continue
            eased[seat], eased[other] = eased[other], eased[seat]
            break
    return eased
