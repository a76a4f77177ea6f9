"""Callers, timekeepers and judges: wave by wave the cheapest flow from officials to seats (networkx)."""

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

import networkx as nx

from tourney.model.people import Official
from tourney.model.plan import Heat
from tourney.planning.seats import Bench, needed

MET, WORKED = 20, 3  # prices: a judge meets a team again; one more wave of work, growing with each
FREE = 10  # price of each tie of somebody whose seat in a heat without a tie may be wanted later
PASSES = 2  # times that every wave is filled anew, given the others

Wave = tuple[Bench, ...]
Filled = dict[Bench, tuple[str, ...]]  # official ids


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
    return [gap for wave in waves if (gap := _gap(wave, officials))]


def fill_seats(waves: Sequence[Wave], officials: Sequence[Official], before: Iterable[Heat] = ()) -> Filled:
    """Fill every seat: judges meet all teams about as often, work is even. There must be no gaps.

    Officials have one seat a wave, suit their bench, and have no tie to a team of its heat. Benches without teams are
    kept for those with fewest ties. before: heats that are staffed already, and count.
    """
    filled: Filled = {}
    before = tuple(before)
    met = Counter((judge, team) for heat in before for judge in heat.judges for team in heat.teams)
    worked = Counter(person for heat in before for _, person in heat.seats)
    for _ in range(PASSES):
        for wave in waves:
            _note(wave, filled, met, worked, -1)
            filled |= _cheapest(wave, officials, met, worked)
            _note(wave, filled, met, worked, +1)
    return filled


def _note(wave: Wave, filled: Filled, met: Counter[tuple[str, str]], worked: Counter[str], times: int) -> None:
    for bench in wave:
        for person in filled.get(bench, ()):
            worked[person] += times
            if bench.duty == "judge":
                for team in bench.teams:
                    met[person, team.id] += times


def _network(wave: Wave, officials: Sequence[Official]) -> "nx.DiGraph[object]":
    """Source -> officials -> benches -> sink."""
    graph: nx.DiGraph[object] = nx.DiGraph()
    graph.add_node("source", demand=-needed(wave))
    graph.add_node("sink", demand=needed(wave))
    for number, bench in enumerate(wave):
        graph.add_edge(number, "sink", capacity=bench.seats, weight=0)
    for official in officials:
        graph.add_edge("source", official.id, capacity=1, weight=0)
        for number, bench in enumerate(wave):
            if bench.suits(official):
                graph.add_edge(official.id, number, weight=0)
    return graph


def _cheapest(
    wave: Wave, officials: Sequence[Official], met: Mapping[tuple[str, str], int], worked: Mapping[str, int]
) -> Filled:
    graph = _network(wave, officials)
    for official in officials:
        for number in graph.successors(official.id) if official.id in graph else ():
            bench = wave[int(str(number))]
            again = sum(2 * met[official.id, team.id] + 1 for team in bench.teams) if bench.duty == "judge" else 0
            ties = 0 if bench.teams else len(official.clubs) + len(official.people)
            work = WORKED * (2 * worked[official.id] + 1)
            graph.edges[official.id, number]["weight"] = MET * again + work + FREE * ties
    _, flow = nx.network_simplex(graph)
    return {
        bench: tuple(official.id for official in officials if flow[official.id].get(number))
        for number, bench in enumerate(wave)
    }


def _gap(wave: Wave, officials: Sequence[Official]) -> Gap | None:
    """None when the wave can be filled; else the least cut (max-flow min-cut, Ford & Fulkerson 1956)."""
    graph = _network(wave, officials).reverse()  # the cut nearest to the sink names the fewest benches
    most, (starving, _) = nx.minimum_cut(graph, "sink", "source")
    if most == needed(wave):
        return None
    starved = tuple(bench for number, bench in enumerate(wave) if number in starving)
    people = tuple(official.id for official in officials if official.id in starving)
    return Gap(wave[0].wave, needed(wave) - int(most), starved, people)
