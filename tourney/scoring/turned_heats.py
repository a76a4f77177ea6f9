"""Heats that clean calls would have turned: what that brings a team, and costs those whom it stood against."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import accumulate

from tourney.model.event import HeatPoints
from tourney.scoring.heats import TeamHeat
from tourney.scoring.table import Table

MOST_WAYS = 500  # that are remembered: beyond them more calls may be found than are needed, never fewer


@dataclass(frozen=True, slots=True, order=True)
class Way:
    """So many clean calls of a team, in some of its heats: (heat, calls in it).

    gained: heat points that they bring it. lost: what they bring each of the others, nothing or less.
    """

    calls: int
    heats: tuple[tuple[int, int], ...]
    gained: int
    lost: tuple[int, ...]


def ways(table: Table, team: str, others: Sequence[str], gains: Sequence[Sequence[int]], fewer: float) -> Iterator[Way]:
    """Ways to other heat points with fewer calls than so many, fewest first.

    Every number of clean calls in one heat alone, since tie-breaks may need more than turn it; over several heats, for
    each result, the fewest that turn them. gains: for each heat, points of every clean call, in the order taken. Heats
    in which calls are still open are left out.
    """
    alone = [list(_in_one_heat(table, team, others, at, own, fewer)) for at, own in enumerate(gains)]
    found = [way for own in alone for way in own]
    found += [way for way in _over_heats([_turning(own) for own in alone], len(others), fewer) if len(way.heats) > 1]
    yield from sorted(found)


def _in_one_heat(
    table: Table, team: str, others: Sequence[str], at: int, gains: Sequence[int], fewer: float
) -> Iterator[Way]:
    heat = table.heats_of[team][at]
    met = [one.other for one in table.meetings[team] if one.own.round == heat.round]
    if any(one.least < one.most for one in (heat, *met)):
        return
    before = _earned(heat.made.points, met, table.heat_points)
    seat = {one.team: number for number, one in enumerate(met)}
    for calls, gain in enumerate(accumulate(gains), 1):
        if calls >= fewer:
            return
        after = _earned(heat.made.points + gain, met, table.heat_points)
        lost = tuple(after[seat[other]][1] - before[seat[other]][1] if other in seat else 0 for other in others)
        yield Way(calls, ((at, calls),), sum(own for own, _ in after) - sum(own for own, _ in before), lost)


def _earned(points: Fraction, met: Sequence[TeamHeat], worth: HeatPoints) -> list[tuple[int, int]]:
    """Heat points of a team with so many points, and of each whom it met, in the meeting of the two."""
    found = []
    for other in met:
        if points == other.made.points:
            found.append((worth.draw, worth.draw))
        else:
            found.append((worth.win, worth.loss) if points > other.made.points else (worth.loss, worth.win))
    return found


def _turning(alone: Sequence[Way]) -> list[Way]:
    """Those of the ways in one heat with which its result becomes another one."""
    turning, before = [], None
    for way in alone:
        if (way.gained, way.lost) != before and (way.gained or any(way.lost)):
            turning.append(way)
        before = way.gained, way.lost
    return turning


def _over_heats(turning: Sequence[Sequence[Way]], others: int, fewer: float) -> list[Way]:
    """The way with the fewest calls to each result over all heats."""
    found = {(0, (0,) * others): Way(0, (), 0, (0,) * others)}
    for own in turning:
        for way in list(found.values()):
            for turn in own:
                lost = tuple(map(sum, zip(way.lost, turn.lost, strict=True)))
                both = Way(way.calls + turn.calls, (*way.heats, *turn.heats), way.gained + turn.gained, lost)
                key = both.gained, both.lost
                if both.calls < fewer and (key not in found or both < found[key]):
                    found[key] = both
        if len(found) > MOST_WAYS:
            found = {(way.gained, way.lost): way for way in sorted(found.values())[:MOST_WAYS]}
    return list(found.values())
