"""Which heats of a round stand in which of its waves: nobody without rest, early and late shared out, waiting even."""

from collections.abc import Iterator, Sequence
from random import Random

import numpy as np
from numpy.typing import NDArray
from ortools.graph.python.min_cost_flow import SimpleMinCostFlow

from tourney.model.event import Day
from tourney.planning.blocks import Counts
from tourney.planning.clock import Meeting, gap_after

STARTS, EFFORT = 12, 1_000  # drawn beginnings of a division, of which the best end counts; heats placed in all of them
PASSES = 12  # times at most that every round is placed anew, given the others
# prices: a minute that rest lacks; late less early heats, to the fourth; half waves too long or short, squared
REST, TILT, WAIT = 4000, 20, 1
NOWHERE = -1  # the wave of a team that rests in a round, or whose heat is not placed yet

Numbers = NDArray[np.int64]


def spread(
    meetings: Sequence[Meeting],
    parts: Sequence[Sequence[int]],
    counts: Counts,
    day: Day,
    random: Random,
    starts: int = STARTS,
) -> list[int]:
    """The wave of each meeting, from 0. parts: the meetings of each block; counts: how many of them in each wave.

    Divisions share no team, and in a round a team has one heat: so the best waves for one part, given all others, are
    a cheapest flow from heats to waves. Part after part is placed so until nothing gets better, from several drawn
    beginnings, at most so many `starts`.
    """
    wave_of = [0] * len(meetings)
    ends, begins = _times(meetings, parts, counts, day)
    for division in sorted({meetings[part[0]].division for part in parts}):
        own = [n for n, part in enumerate(parts) if meetings[part[0]].division == division]
        own.sort(key=lambda n: meetings[parts[n][0]].round)
        best = _Division(meetings, [parts[n] for n in own], [counts[n] for n in own], begins, ends, day.rest)
        for meeting, wave in best.placed(random, starts).items():
            wave_of[meeting] = wave
    return wave_of


def _times(
    meetings: Sequence[Meeting], parts: Sequence[Sequence[int]], counts: Counts, day: Day
) -> tuple[Numbers, Numbers]:
    """(ends, starts) of the waves, in minutes, if nobody had to be waited for."""
    ends, starts = [], [0]
    for number in range(len(counts[0])):
        there = [meetings[part[0]].minutes for part, row in zip(parts, counts, strict=True) if row[number]]
        ends.append(starts[-1] + max(there, default=0))
        starts.append(ends[-1] + gap_after(number + 1, day))
    return np.array(ends), np.array(starts[:-1])


class _Division:
    """The parts of one division, rounds in order. where: (teams, rounds) the wave of each team's heat."""

    def __init__(
        self,
        meetings: Sequence[Meeting],
        parts: Sequence[Sequence[int]],
        counts: Counts,
        starts: Numbers,
        ends: Numbers,
        rest: int,
    ) -> None:
        self.parts, self.counts = parts, counts
        self.starts, self.ends, self.rest = starts, ends, rest
        rounds = sorted({meetings[part[0]].round for part in parts})
        team = {key: 0 for part in parts for heat in part for key in meetings[heat].teams}
        self.team = {key: number for number, key in enumerate(team)}
        self.teams = {n: [self.team[key] for key in meetings[n].teams] for part in parts for n in part}
        self.round = [rounds.index(meetings[part[0]].round) for part in parts]
        self.drawn = [not meetings[part[0]].waits for part in parts]
        held = np.zeros((len(rounds), len(starts)), dtype=np.int64)
        for number, row in zip(self.round, counts, strict=True):
            held[number] += row
        waves = [np.flatnonzero(row) for row in held]
        self.side = np.zeros_like(held)  # (rounds, waves) -1 early, 0 in the middle, 1 late
        for number, there in enumerate(waves):
            self.side[number, there] = np.sign(2 * np.arange(len(there)) - len(there) + 1)
        self.aim = round(2 * float(waves[-1].mean() - waves[0].mean()))
        self.where = np.full((len(team), len(rounds)), NOWHERE, dtype=np.int64)

    def placed(self, random: Random, starts: int) -> dict[int, int]:
        """Meeting -> wave, the best of at most so many beginnings."""
        heats = sum(map(len, self.parts))
        found = [self._begun(random) for _ in range(max(1, min(starts, EFFORT // heats)))]
        return min(found, key=lambda end: end[0])[1]

    def _begun(self, random: Random) -> tuple[int, dict[int, int]]:
        self.where[:] = NOWHERE
        place: dict[int, int] = {}
        order = list(range(len(self.parts)))
        for number in order:
            place |= self._place(number, random)
        price = self._price()
        for _ in range(PASSES):
            order.reverse()
            for number in order:
                place |= self._place(number, random) if self.drawn[number] else {}
            before, price = price, self._price()
            if price >= before:
                break
        return price, place

    def _place(self, number: int, random: Random) -> dict[int, int]:
        """The best waves for the heats of one part; which of those that are equally good is drawn."""
        heats = random.sample(list(self.parts[number]), len(self.parts[number]))
        waves = [wave for wave, places in enumerate(self.counts[number]) if places]
        if not self.drawn[number] or len(waves) == 1:
            chosen = [wave for wave in waves for _ in range(self.counts[number][wave])]
        else:
            prices = self._prices(self.round[number], waves)
            sizes = np.array([len(self.teams[heat]) for heat in heats])
            everyone = np.array([team for heat in heats for team in self.teams[heat]])
            cost = np.add.reduceat(prices[everyone], np.cumsum(sizes) - sizes, axis=0)
            chosen = [waves[at] for at in _cheapest(cost, [self.counts[number][wave] for wave in waves])]
        for heat, wave in zip(heats, chosen, strict=True):
            self.where[self.teams[heat], self.round[number]] = wave
        return dict(zip(heats, chosen, strict=True))

    def _prices(self, number: int, waves: Sequence[int]) -> Numbers:
        """(teams, waves) what each team's day costs with its heat of this round in each of these, as far as placed."""
        days = np.repeat(self.where[:, None, :], len(waves), axis=1)
        days[:, :, number] = waves
        return self._worth(days.reshape(-1, days.shape[2])).reshape(days.shape[:2])

    def _price(self) -> int:
        return int(self._worth(self.where).sum())

    def _worth(self, day: Numbers) -> Numbers:
        """The price of each row of waves, which never falls from one round to the next."""
        there = day != NOWHERE
        before, after = np.maximum.accumulate(day, axis=1)[:, :-1], day[:, 1:]
        again = there[:, 1:] & (before != NOWHERE)
        lack = np.where(again, np.maximum(0, self.rest - self.starts[after] + self.ends[before]), 0).sum(axis=1)
        tilt = np.where(there, self.side[np.arange(day.shape[1]), day], 0).sum(axis=1)
        wait = np.where(there[:, 0] & there[:, -1], 2 * (day[:, -1] - day[:, 0]) - self.aim, 0)
        worth: Numbers = REST * lack + TILT * tilt**4 + WAIT * wait**2
        return worth


def _cheapest(cost: Numbers, places: Sequence[int]) -> Iterator[int]:
    """For each row of costs the column that it takes; a column takes as many rows as it has places."""
    heats, waves = cost.shape
    flow = SimpleMinCostFlow()
    rows, columns = np.indices(cost.shape).reshape(2, -1)
    arcs = flow.add_arcs_with_capacity_and_unit_cost(
        rows, heats + columns, np.ones(cost.size, dtype=np.int64), cost.ravel()
    )
    flow.set_nodes_supplies(np.arange(heats + waves), np.array([1] * heats + [-number for number in places]))
    status = flow.solve()
    assert status == flow.OPTIMAL, "the waves of a part have as many places as it has heats"
    yield from flow.flows(arcs).reshape(cost.shape).argmax(axis=1).tolist()
