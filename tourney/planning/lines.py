"""Standing order in a heat: sides of the line and its ends are shared out over the day."""

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from itertools import permutations

from tourney.model.people import Team

Heat = tuple[str, ...]  # team ids


def standing(team: Team, squad: int) -> tuple[str, ...]:
    """Contestant ids of those who stand: the first `squad` members; substitutes, who come last, only fill up."""
    return team.members[:squad]


def share_places(heats: Sequence[Heat]) -> list[Heat]:
    """The heats with their teams in standing order: each team has each place of the line as often as another, +-1.

    Equitable edge colouring of the bipartite graph of heats and teams (de Werra 1971): places are colours, and two
    colours are dealt anew along trails of that graph wherever a team has one of them twice more often than the other.
    """
    places = max(map(len, heats), default=1)
    place: dict[tuple[int, str], int] = {}
    for number, teams in enumerate(heats):
        for at, team in enumerate(teams):
            place[number, team] = places - 1 if 0 < at == len(teams) - 1 else at
    while uneven := _uneven(place, places):
        edges = sorted(edge for edge, colour in place.items() if colour in uneven)
        place |= _dealt(edges, uneven)
    order = [{place[number, team]: team for team in teams} for number, teams in enumerate(heats)]
    return [tuple(seats[at] for at in sorted(seats)) for seats in order]


def take_places(heat: Heat, before: Iterable[Heat]) -> Heat:
    """One more heat in standing order: its teams where they have stood least. before: their heats so far."""
    had = Counter((team, _place(at, old)) for old in before for at, team in enumerate(old))
    return min(permutations(heat), key=lambda order: sum(had[team, _place(at, order)] for at, team in enumerate(order)))


def _place(at: int, heat: Heat) -> int:
    """The place from the left, but -1 at the right end, however many stand there."""
    return -1 if 0 < at == len(heat) - 1 else at


def _uneven(place: Mapping[tuple[int, str], int], places: int) -> tuple[int, int] | None:
    """Two places that some team has had unevenly."""
    had = Counter((team, at) for (_, team), at in place.items())
    for team in sorted({team for _, team in place}):
        times = [had[team, at] for at in range(places)]
        if max(times) - min(times) > 1:
            return times.index(min(times)), times.index(max(times))
    return None


def _dealt(edges: Sequence[tuple[int, str]], colours: tuple[int, int]) -> dict[tuple[int, str], int]:
    """Two colours in turn along trails that use each edge once: no vertex has one of them twice more than the other."""
    near: dict[int | str, list[tuple[int, str]]] = {}
    for edge in reversed(edges):
        for vertex in edge:
            near.setdefault(vertex, []).append(edge)
    left = {vertex: len(mine) for vertex, mine in near.items()}
    dealt: dict[tuple[int, str], int] = {}

    def walk(vertex: int | str) -> None:
        turn = 0
        while left[vertex]:
            while (edge := near[vertex].pop()) in dealt:
                pass
            dealt[edge] = colours[turn % 2]
            left[edge[0]] -= 1
            left[edge[1]] -= 1
            vertex = edge[1] if vertex == edge[0] else edge[0]
            turn += 1

    vertices = sorted(near, key=str)
    for vertex in vertices:
        if left[vertex] % 2:  # trails between odd vertices first; then only closed ones are left
            walk(vertex)
    for vertex in vertices:
        while left[vertex]:
            walk(vertex)
    return dealt


def stand_in_line(heats: Sequence[Heat], members: Mapping[str, Sequence[str]]) -> list[tuple[str, ...]]:
    """Contestant ids of each heat from one end of the line to the other, heats in the order of the day.

    A team stands as a block. Blocks are turned so that the end places of the line are shared out among its members.
    """
    at_end: Counter[str] = Counter()
    turns: Counter[str] = Counter()
    lines = []
    for heat in heats:
        line: list[str] = []
        for number, team in enumerate(heat):
            block = list(members[team])
            ends = [0] * (number == 0) + [-1] * (number == len(heat) - 1)
            turned = [block[shift:] + block[:shift] for shift in range(len(block))]
            turned = turned[turns[team] % len(block) :] + turned[: turns[team] % len(block)]
            best = min(turned, key=lambda order: sum(at_end[order[end]] for end in ends))
            at_end.update(best[end] for end in ends)
            turns[team] += 1
            line += best
        lines.append(tuple(line))
    return lines
