"""Callers, timekeepers and judges: wave by wave the cheapest flow from officials to seats."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from ortools.graph.python.max_flow import SimpleMaxFlow
from ortools.graph.python.min_cost_flow import SimpleMinCostFlow

from tourney.model.people import Official
from tourney.model.plan import Heat
from tourney.planning.seats import Bench, needed
from tourney.planning.ties import Ties

MET, WORKED = 80, 12  # prices: a judge meets a team again; one more wave of work; each grows with how often it was
RUN = 1  # price of waves in a row, squared
FREE = 40  # price of each tie of somebody whose seat in a heat without a tie may be wanted later
PASSES = 2  # times that every wave is filled anew, given the others
SHORT_LIST = 40  # officials who are first thought of for a bench; all of them where these leave a seat empty

Wave = tuple[Bench, ...]
Filled = dict[Bench, tuple[str, ...]]  # official ids
Suits = NDArray[np.bool_]  # (officials, benches of a wave)
Prices = NDArray[np.int64]  # (officials, benches of a wave)


@dataclass(frozen=True, slots=True)
class Gap:
    """A wave that can't be filled. missing: seats that stay empty however the others are filled, by the min cut.

    benches: those that compete for too few people. people: ids of all who suit any of them.
    """

    wave: str
    missing: int
    benches: tuple[Bench, ...]
    people: tuple[str, ...]


def find_gaps(waves: Sequence[Wave], officials: Sequence[Official]) -> list[Gap]:
    """The waves that can't be filled, each with the proof."""
    ties = Ties(officials)
    return [gap for wave in waves if (gap := _gap(wave, officials, _suits(wave, officials, ties)))]


def fill_seats(waves: Sequence[Wave], officials: Sequence[Official], before: Iterable[Heat] = ()) -> Filled:
    """Fill every seat: judges meet all teams about as often, work is even, few waves in a row. There must be no gaps.

    Officials have one seat a wave, suit their bench, and have no tie to a team of its heat. Benches without teams are
    kept for those with fewest ties. before: heats that are staffed already, and count.
    """
    duty = _Duty(waves, officials, before)
    for _ in range(PASSES):
        for number in range(len(waves)):
            duty.fill(number)
    return {
        bench: tuple(officials[person].id for person in people)
        for wave, found in zip(waves, duty.filled, strict=True)
        for bench, people in zip(wave, found, strict=True)
    }


def _suits(wave: Wave, officials: Sequence[Official], ties: Ties) -> Suits:
    """Who suits which bench. Benches that differ in their teams alone are looked at once, and ties once a heat."""
    alike: dict[tuple[object, ...], list[bool]] = {}
    tied = {bench.heat: sorted(ties.to(bench.teams)) for bench in {one.heat: one for one in wave}.values()}
    columns = []
    for bench in wave:
        key = (bench.duty, bench.step_free, bench.start, bench.end, bench.taken)
        if key not in alike:
            alike[key] = [bench.suits_but_for_ties(official) for official in officials]
        column = np.array(alike[key], dtype=np.bool_)
        column[tied[bench.heat]] = False
        columns.append(column)
    return np.array(columns, dtype=np.bool_).reshape(len(wave), len(officials)).T


class _Duty:
    """The day of all officials while waves are filled. met: (teams, officials); at_work: (waves, officials)."""

    def __init__(self, waves: Sequence[Wave], officials: Sequence[Official], before: Iterable[Heat]) -> None:
        ties = Ties(officials)
        self.waves = waves
        self.suits = [_suits(wave, officials, ties) for wave in waves]
        self.filled: list[list[list[int]]] = [[[] for _ in wave] for wave in waves]
        person = {official.id: number for number, official in enumerate(officials)}
        team = {team.id: 0 for wave in waves for bench in wave for team in bench.teams}
        team = {key: number for number, key in enumerate(team)}
        self.teams = [[[team[found.id] for found in bench.teams] for bench in wave] for wave in waves]
        self.ties = np.array([len(official.clubs) + len(official.people) for official in officials], dtype=np.int64)
        self.met = np.zeros((len(team), len(officials)), dtype=np.int64)
        self.worked = np.zeros(len(officials), dtype=np.int64)
        self.at_work = np.zeros((len(waves), len(officials)), dtype=np.bool_)
        for heat in before:
            for _, key in heat.seats:
                if key in person:
                    self.worked[person[key]] += 1
            for judge in heat.judges:
                if judge in person:
                    self.met[[team[key] for key in heat.teams if key in team], person[judge]] += 1

    def fill(self, number: int) -> None:
        """Fill one wave anew, given all others."""
        self._note(number, -1)
        prices = self._prices(number)
        seats = [bench.seats for bench in self.waves[number]]
        listed = SHORT_LIST
        found = _cheapest(prices, self.suits[number], seats, listed)
        while found is None:
            listed *= 2
            assert listed < 2 * SHORT_LIST + 2 * len(self.worked), "there are no gaps"
            found = _cheapest(prices, self.suits[number], seats, listed)
        self.filled[number] = found
        self._note(number, +1)

    def _note(self, number: int, times: int) -> None:
        for bench, teams, people in zip(self.waves[number], self.teams[number], self.filled[number], strict=True):
            self.worked[people] += times
            self.at_work[number, people] = times > 0
            if bench.duty == "judge":
                self.met[np.ix_(teams, people)] += times

    def _prices(self, number: int) -> Prices:
        before, after = self._run(range(number - 1, -1, -1)), self._run(range(number + 1, len(self.waves)))
        row = (before + after + 1) ** 2 - before**2 - after**2
        whole = WORKED * (2 * self.worked + 1) + RUN * row
        prices = []
        for bench, teams in zip(self.waves[number], self.teams[number], strict=True):
            again = MET * (2 * self.met[teams] + 1).sum(axis=0) if bench.duty == "judge" else 0
            prices.append(whole + again if teams else whole + FREE * self.ties)
        return np.array(prices, dtype=np.int64).T

    def _run(self, waves: Iterable[int]) -> NDArray[np.int64]:
        """For how many of these waves, the nearest first, each official works without a break."""
        length = np.zeros(len(self.worked), dtype=np.int64)
        working = np.ones(len(self.worked), dtype=np.bool_)
        for wave in waves:
            working &= self.at_work[wave]
            if not working.any():
                break
            length += working
        return length


def _cheapest(prices: Prices, suits: Suits, seats: Sequence[int], listed: int) -> list[list[int]] | None:
    """The people on each bench by the cheapest flow (networks as in Ahuja, Magnanti & Orlin 1993, ch. 9).

    Only so many `listed` people are thought of for each bench. None when they don't fill every seat.
    """
    people, benches = suits.shape
    if listed < people:
        suits = _short_lists(prices, suits, sum(seats), listed)
    who, where = np.nonzero(suits)
    source, sink = people + benches, people + benches + 1
    flow = SimpleMinCostFlow()
    chosen = flow.add_arcs_with_capacity_and_unit_cost(
        who, people + where, np.ones(len(who), dtype=np.int64), prices[who, where]
    )
    for person in np.unique(who):
        flow.add_arc_with_capacity_and_unit_cost(source, int(person), 1, 0)
    for bench, places in enumerate(seats):
        flow.add_arc_with_capacity_and_unit_cost(people + bench, sink, places, 0)
    flow.set_node_supply(source, sum(seats))
    flow.set_node_supply(sink, -sum(seats))
    if flow.solve() != flow.OPTIMAL:
        return None
    used = flow.flows(chosen) > 0
    found: list[list[int]] = [[] for _ in seats]
    for person, bench in zip(who[used].tolist(), where[used].tolist(), strict=True):
        found[bench].append(person)
    return found


def _short_lists(prices: Prices, suits: Suits, seats: int, listed: int) -> Suits:
    """The people who are thought of for each bench: so many who suit it and cost least there.

    As many people as there are seats serve somewhere, the cheapest: what one of them costs in any seat is no reason to
    prefer another one for this bench. Of those who cost the same, each bench lists others.
    """
    people, benches = suits.shape
    far = np.iinfo(np.int64).max
    anywhere = np.where(suits, prices, far).min(axis=1)
    dear = np.maximum(anywhere - np.partition(anywhere, seats - 1)[seats - 1], 0)
    turn = (np.arange(people)[:, None] - np.arange(benches) * listed // 2) % people
    order = np.where(suits, (prices - anywhere[:, None] + dear[:, None]) * people + turn, far)
    nearest = np.argpartition(order, listed, axis=0)[:listed]
    short = np.zeros_like(suits)
    np.put_along_axis(short, nearest, np.take_along_axis(order, nearest, axis=0) < far, axis=0)
    return short


def _gap(wave: Wave, officials: Sequence[Official], suits: Suits) -> Gap | None:
    """None when the wave can be filled; else the least cut (max-flow min-cut, Ford & Fulkerson 1956)."""
    people, benches = len(officials), len(wave)
    source, sink = people + benches, people + benches + 1
    who, where = np.nonzero(suits)
    flow = SimpleMaxFlow()
    flow.add_arcs_with_capacity(who, people + where, np.full(len(who), people + 1))  # never part of the least cut
    flow.add_arcs_with_capacity(np.full(people, source), np.arange(people), np.ones(people, dtype=np.int64))
    flow.add_arcs_with_capacity(
        people + np.arange(benches), np.full(benches, sink), np.array([bench.seats for bench in wave])
    )
    flow.solve(source, sink)
    missing = needed(wave) - flow.optimal_flow()
    if not missing:
        return None
    starving = set(flow.get_sink_side_min_cut())  # the cut nearest to the sink names the fewest benches
    starved = tuple(bench for number, bench in enumerate(wave, people) if number in starving)
    return Gap(
        wave[0].wave,
        missing,
        starved,
        tuple(official.id for number, official in enumerate(officials) if number in starving),
    )
