"""A room is lost: its heats go to another room of their wave, else to another wave. Nobody else moves."""

from collections.abc import Iterator, Sequence
from dataclasses import replace

import networkx as nx

from tourney.errors import Refusal, Shortage
from tourney.model.plan import Heat
from tourney.planning.replan.draft import NO_SET, Draft
from tourney.planning.replan.staff import can_be_staffed

VISITS = 100  # a heat placed is worth this much; a team that knows the room already takes one off


def without_rooms(draft: Draft, lost: Sequence[str]) -> Draft:
    """The day without these rooms. Refusal when a line fits no room that is left, or officials are short."""
    draft = replace(draft, closed_rooms=tuple(dict.fromkeys((*draft.closed_rooms, *lost))))
    _refuse_long_lines(draft, [heat for heat in draft.open_heats if heat.room in draft.closed_rooms])
    for wave in draft.open_waves:
        draft = draft.with_heats(_in_the_same_wave(draft, wave.id))
    return relocated(draft, [heat for heat in draft.open_heats if heat.room in draft.closed_rooms])


def _refuse_long_lines(draft: Draft, heats: Sequence[Heat]) -> None:
    longest = max(heats, key=draft.width, default=None)
    widest = max(draft.line_limit.values(), default=0)
    if longest and draft.width(longest) > widest:
        raise Refusal(
            f"{longest.id} puts {draft.width(longest)} children in one line, but no room that is left takes more than "
            f"{widest}." if widest else "No room is left.",
            (Shortage("places in one line", widest, draft.width(longest), longest.id),),
            ("Find another room, or move the heats outdoors: a room of the settings may stand for any place.",),
        )  # fmt: skip


def _in_the_same_wave(draft: Draft, wave: str) -> Iterator[Heat]:
    """Displaced heats in free rooms of their wave: as many as fit, in rooms that their teams have seen least."""
    graph: nx.Graph[tuple[str, str]] = nx.Graph()
    displaced = [heat for heat in draft.in_wave[wave] if heat.room in draft.closed_rooms]
    for heat in displaced:
        visits = [other.room for team in heat.teams for other in draft.heats_of(team)]
        for room in draft.free_rooms(wave):
            if draft.width(heat) <= draft.line_limit[room]:
                graph.add_edge(("heat", heat.id), ("room", room), weight=VISITS - visits.count(room))
    pairs = {key: value for pair in nx.max_weight_matching(graph, maxcardinality=True) for key, value in _both(pair)}
    for heat in displaced:
        if ("heat", heat.id) in pairs:
            yield replace(heat, room=pairs["heat", heat.id][1])


def _both(pair: tuple[tuple[str, str], ...]) -> Iterator[tuple[tuple[str, str], tuple[str, str]]]:
    yield pair[0], pair[1]
    yield pair[1], pair[0]


def relocated(draft: Draft, homeless: Sequence[Heat]) -> Draft:
    """These heats in other waves: beside heats of their round, which hear the same calls, else after all others.

    Heats in the second case have no call set yet. New heats may be among them.
    """
    draft = draft.without(heat.id for heat in homeless)
    left = []
    for heat in homeless:
        joined = next(_beside_its_round(draft, heat), None)
        draft = joined or draft
        left += [] if joined else [heat]
    for heat in _largest_rounds_first(left):
        draft = _late_in_the_day(draft, replace(heat, call_set=_own_set(draft, heat)))
    return draft


def _own_set(draft: Draft, heat: Heat) -> str:
    """The set of a heat outside the rotation goes with it while nobody else hears it; all others need a fresh one."""
    own = draft.set.get(heat.call_set)
    if own is None or own.use == "rotation":
        return NO_SET
    if any(other.call_set == own.id for other in draft.heats):
        raise Refusal(
            f"{heat.id} finds no room in its wave, and its calls are heard there by others.",
            cures=("Find another room for it: a room of the settings may stand for any place.",),
            proven=False,
        )
    return own.id


def _largest_rounds_first(heats: Sequence[Heat]) -> list[Heat]:
    """Heats round by round, since those of one round may share a wave and its calls."""
    size = {key: sum((heat.division, heat.round) == key for heat in heats) for key in _rounds(heats)}
    return sorted(heats, key=lambda heat: (-size[heat.division, heat.round], heat.division, heat.round, heat.id))


def _rounds(heats: Sequence[Heat]) -> set[tuple[str, int]]:
    return {(heat.division, heat.round) for heat in heats}


def _beside_its_round(draft: Draft, heat: Heat) -> Iterator[Draft]:
    """The heat in each wave in which its round is heard and a room is free, the earliest first."""
    for wave in draft.open_waves:
        mine = [other for other in draft.in_wave[wave.id] if other.division == heat.division]
        if mine and mine[0].round == heat.round:
            yield from _placed(draft, replace(heat, call_set=mine[0].call_set), wave.id)


def _late_in_the_day(draft: Draft, heat: Heat) -> Draft:
    """The heat in a wave after all others of its division, so that its fresh calls are the last that are heard.

    Where rounds are drawn by standing it comes after its own round and before the next, which waits for it.
    """
    waited_for = draft.event.division(heat.division).draw == "by_standing"
    mine = [other for other in draft.heats if other.division == heat.division]
    before = [other for other in mine if other.call_set != NO_SET and not (waited_for and other.round > heat.round)]
    last = max((draft.place[other.wave] for other in before), default=-1)
    later = [draft.place[other.wave] for other in mine if waited_for and other.round > heat.round]
    end = min(later, default=len(draft.waves))
    for wave in draft.open_waves:
        rounds = {other.round for other in draft.in_wave[wave.id] if other.division == heat.division}
        if last < draft.place[wave.id] < end and rounds <= {heat.round}:
            placed = next(_placed(draft, heat, wave.id), None)
            if placed:
                return placed
    longer, extra = draft.with_extra_wave(draft.minutes(heat), end)
    placed = next(_placed(longer, heat, extra.id), None)
    if placed is None:
        raise Refusal(
            f"{heat.id} would have to be held at {extra.start:%H:%M}, and then there are not enough "
            "officials without a tie for it.",
            cures=("Ask more officials to stay, or take hours out of the officials' list.",),
        )
    return placed


def _placed(draft: Draft, heat: Heat, wave: str) -> Iterator[Draft]:
    """The heat in the first free room of a wave that takes it; nothing where it can't be held in that wave."""
    there = draft.wave[wave]
    extra = wave not in draft.planned
    if draft.minutes(heat) > there.minutes and not extra:
        return
    if any(team in other.teams for other in draft.in_wave[wave] for team in heat.teams):
        return
    if not extra and not draft.rested(heat.teams, there):
        return
    for room in draft.free_rooms(wave):
        if draft.width(heat) <= draft.line_limit[room]:
            placed = draft.with_heats([replace(heat, wave=wave, room=room)])
            if can_be_staffed(placed, wave):
                yield placed
