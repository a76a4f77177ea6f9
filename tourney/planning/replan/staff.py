"""Seats whose holders can't serve any more go to whoever disturbs the day least: wave by wave a cheapest flow."""

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

import networkx as nx

from tourney.model.people import Duty, Official
from tourney.model.plan import Heat, Wave
from tourney.planning.officials import find_gaps
from tourney.planning.replan.draft import Draft
from tourney.planning.seats import Bench, duties, needed
from tourney.planning.shortage import too_few_officials

CHANGE = 10**9  # price of somebody new in a seat: nothing else outweighs one seat less
WORKED, MET = 1000, 10  # prices: a heat that a person serves already; a team that a judge has met

Seat = tuple[str, Duty, int]  # heat, duty, place among the seats of that duty


@dataclass(frozen=True, slots=True)
class StandIn:
    """One who could take a seat. served: heats of that person in the plan. met: of its teams, those judged before."""

    official: Official
    served: int
    met: int


def benches(draft: Draft, wave: Wave) -> tuple[Bench, ...]:
    """The seats of a wave, but for those of heats whose teams are still to be drawn."""
    step_free = {room.name: room.step_free for room in draft.event.rooms}
    return tuple(
        Bench(
            heat.id,
            wave.id,
            duty,
            places,
            tuple(draft.roster.team[team] for team in heat.teams),
            step_free[heat.room],
            wave.start,
            wave.end,
        )
        for heat in draft.in_wave[wave.id]
        if heat.teams
        for duty, places in duties(draft.event.division(heat.division)).items()
    )


def holders(heat: Heat) -> dict[Seat, str]:
    """Who sits where; a new heat has nobody."""
    count: Counter[Duty] = Counter()
    found: dict[Seat, str] = {}
    for duty, person in heat.seats:
        if person:
            found[heat.id, duty, count[duty]] = person
        count[duty] += 1
    return found


def staffed(draft: Draft) -> Draft:
    """Every seat of a wave that has not begun is filled; whoever can stay stays. Refusal when nobody is left."""
    for wave in draft.open_waves:
        if _amiss(draft, wave):
            filled = _filled(draft, wave)
            if filled is None:
                gaps = find_gaps([benches(draft, later) for later in draft.open_waves], draft.roster.officials)
                raise too_few_officials(gaps, 1, True, None)
            draft = draft.with_heats(filled)
    return draft


def can_be_staffed(draft: Draft, wave: str) -> bool:
    """Are there people for all seats of a wave."""
    return _filled(draft, draft.wave[wave]) is not None


def _amiss(draft: Draft, wave: Wave) -> bool:
    """Is a seat of the wave empty, or held by somebody who can't serve there."""
    staying = _staying(draft, wave)
    return len(staying) < needed(benches(draft, wave))


def _staying(draft: Draft, wave: Wave) -> dict[Seat, str]:
    """Seats whose holders can stay; of two seats of one person the first."""
    bench = {(one.heat, one.duty): one for one in benches(draft, wave)}
    staying: dict[Seat, str] = {}
    for heat in draft.in_wave[wave.id]:
        for seat, person in holders(heat).items():
            official = draft.roster.official.get(person)
            if official and person not in staying.values() and bench[seat[0], seat[1]].suits(official):
                staying[seat] = person
    return staying


def _filled(draft: Draft, wave: Wave) -> list[Heat] | None:
    """The heats of a wave with every seat filled and as few seats changed as can be; None when there are too few.

    Where free people can take all empty seats, nobody else moves; only else is the whole wave looked at.
    """
    rows, staying, worth = benches(draft, wave), _staying(draft, wave), _worth(draft)
    kept = Counter((heat, duty) for heat, duty, _ in staying)
    empty = [replace(row, seats=row.seats - kept[row.heat, row.duty]) for row in rows]
    busy = set(staying.values())
    free = [official for official in draft.roster.officials if official.id not in busy]
    fresh = _cheapest([row for row in empty if row.seats], free, {}, worth)
    if fresh is not None:
        people = {(row.heat, row.duty): list(fresh.get((row.heat, row.duty), ())) for row in rows}
        for (heat, duty, _), person in staying.items():
            people[heat, duty].append(person)
    else:
        whole = _cheapest(rows, draft.roster.officials, staying, worth)
        if whole is None:
            return None
        people = whole
    return [_seated(draft, heat, people, staying) for heat in draft.in_wave[wave.id] if heat.teams]


def _cheapest(
    rows: Sequence[Bench], officials: Sequence[Official], staying: Mapping[Seat, str], worth: "_Worth"
) -> dict[tuple[str, Duty], list[str]] | None:
    """Who takes the seats of these benches, by the cheapest flow; None when they can't all be filled."""
    graph: nx.DiGraph[object] = nx.DiGraph()
    graph.add_node("source", demand=-needed(rows))
    graph.add_node("sink", demand=needed(rows))
    here = {(seat[0], seat[1], person) for seat, person in staying.items()}
    for number, bench in enumerate(rows):
        graph.add_edge(number, "sink", capacity=bench.seats, weight=0)
    for official in officials:
        graph.add_edge("source", official.id, capacity=1, weight=0)
        for number, bench in enumerate(rows):
            if bench.suits(official):
                stays = (bench.heat, bench.duty, official.id) in here
                graph.add_edge(official.id, number, weight=0 if stays else CHANGE + worth.price(official, bench))
    try:
        _, flow = nx.network_simplex(graph)
    except nx.NetworkXUnfeasible:
        return None
    return {
        (bench.heat, bench.duty): [one.id for one in officials if flow[one.id].get(number)]
        for number, bench in enumerate(rows)
    }


def _seated(
    draft: Draft, heat: Heat, people: Mapping[tuple[str, Duty], Sequence[str]], staying: Mapping[Seat, str]
) -> Heat:
    """A heat with these people: whoever stays keeps the place, so that a sheet stays that of the same seat."""
    panel: dict[Duty, list[str]] = {}
    for duty, places in duties(draft.event.division(heat.division)).items():
        chosen = people[heat.id, duty]
        kept = {place: staying.get((heat.id, duty, place), "") for place in range(places)}
        kept = {place: person for place, person in kept.items() if person in chosen}
        fresh = iter([person for person in chosen if person not in kept.values()])
        panel[duty] = [kept[place] if place in kept else next(fresh) for place in range(places)]
    timekeeper = panel["timekeeper"][0] if "timekeeper" in panel else None
    return replace(heat, judges=tuple(panel["judge"]), caller=panel["caller"][0], timekeeper=timekeeper)


@dataclass(frozen=True, slots=True)
class _Worth:
    """What speaks against asking somebody."""

    served: Counter[str]
    met: Counter[tuple[str, str]]

    def price(self, official: Official, bench: Bench) -> int:
        """Heats served already, then teams judged already."""
        met = sum(self.met[official.id, team.id] for team in bench.teams) if bench.duty == "judge" else 0
        return WORKED * self.served[official.id] + MET * met


def _worth(draft: Draft) -> _Worth:
    served = Counter(person for heat in draft.heats for _, person in heat.seats)
    met = Counter((judge, team) for heat in draft.heats for judge in heat.judges for team in heat.teams)
    return _Worth(served, met)


def stand_ins(draft: Draft, heat: Heat, duty: Duty, taken: str) -> Iterator[StandIn]:
    """Everybody who is free in the heat's wave and may take a seat of this duty, least disturbance first.

    taken: the id of whoever was chosen, who counts as free.
    """
    wave, worth = draft.wave[heat.wave], _worth(draft.without([heat.id]))
    bench = next(one for one in benches(draft, wave) if (one.heat, one.duty) == (heat.id, duty))
    busy = {person for other in draft.in_wave[wave.id] for _, person in other.seats} - {taken}
    able = [official for official in draft.roster.officials if official.id not in busy and bench.suits(official)]
    for official in sorted(able, key=lambda one: (one.id != taken, worth.price(one, bench), one.id)):
        met = sum(worth.met[official.id, team.id] for team in bench.teams) if duty == "judge" else 0
        yield StandIn(official, worth.served[official.id], met)
