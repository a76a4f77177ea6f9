"""How much was changed, each count beside the least that has to change."""

from collections.abc import Iterator
from dataclasses import dataclass, replace

from tourney.model.plan import Heat
from tourney.planning.replan import bounds
from tourney.planning.replan.changes import Changes
from tourney.planning.replan.draft import Draft
from tourney.planning.replan.late import rounds_to_come
from tourney.planning.replan.leavers import short_by
from tourney.planning.replan.staff import benches, holders


@dataclass(frozen=True, slots=True)
class Need:
    """Something that was counted. bound: the least that `must` happen; made: what was `done`."""

    must: str
    done: str
    bound: int
    made: int


def counted(start: Draft, left: Draft, end: Draft, changes: Changes) -> Iterator[Need]:
    """Every count that belongs to what happened. left: the day when only those who left were taken out."""
    now = {heat.id: heat for heat in end.heats}
    pairs = [(heat, now[heat.id]) for heat in start.open_heats if heat.id in now]
    if changes.rooms_lost:
        yield from _moves(left, end)
    if changes.absent:
        teams = sum(len(set(new.teams) - set(old.teams)) for old, new in _same(left, end))
        yield Need("teams must change their heat", "changed", _to_another_heat(start, left), teams)
    if changes.contestants_out:
        out = set(changes.contestants_out)
        must = sum(not out.isdisjoint(heat.line) for heat in start.open_heats)
        yield Need(
            "lines must change",
            "changed",
            must,
            sum(old.line != new.line for old, new in pairs) + len(_dropped(start, end)),
        )
    for late in changes.late:
        made = sum(late.team.id in heat.teams for heat in end.heats)
        if least := len(rounds_to_come(start, late)):
            yield Need(f"rounds are still to come for {late.team.id}", "found a heat", least, made)
    if changes.officials_out:
        yield Need(
            "seats must change",
            "changed",
            _seats_to_change(left, changes),
            sum(_changed_seats(*pair) for pair in pairs),
        )
    if changes.leaked:
        must = sum(heat.call_set in changes.leaked for heat in left.open_heats)
        yield Need(
            "heats must hear other calls", "changed", must, sum(old.call_set != new.call_set for old, new in pairs)
        )
    if changes.fewer:
        rounds = {key for key, _ in end.short} - {key for key, _ in start.short}
        must = sum((one.division, one.round) in rounds and one.use == "rotation" for one in end.sets)
        known = {row.call_set for row in start.left_out}
        yield Need(
            "call sets must be shorter", "shortened", must, sum(row.call_set not in known for row in end.left_out)
        )
    if changes.delay:
        waves = [replace(wave, minutes=end.wave[wave.id].minutes) for wave in start.waves]
        later = sum(end.wave[wave.id].start > wave.start for wave in start.waves)
        yield Need(
            "waves must start later",
            "put off",
            bounds.waves_to_shift(waves, start.held, changes.delay, start.event),
            later,
        )


def _same(before: Draft, after: Draft) -> list[tuple[Heat, Heat]]:
    now = {heat.id: heat for heat in after.heats}
    return [(heat, now[heat.id]) for heat in before.open_heats if heat.id in now]


def _dropped(start: Draft, end: Draft) -> set[str]:
    return {heat.id for heat in start.open_heats} - {heat.id for heat in end.heats}


def _moves(left: Draft, end: Draft) -> Iterator[Need]:
    pairs = _same(left, end)
    must = bounds.heats_without_room(left.open_heats, end.closed_rooms)
    yield Need("heats must move", "moved", must, sum((a.wave, a.room) != (b.wave, b.room) for a, b in pairs))
    must = sum(
        bounds.heats_without_time(
            [left.width(heat) for heat in left.in_wave[wave.id] if heat.room in end.closed_rooms],
            [end.line_limit[room] for room in left.free_rooms(wave.id) if room in end.line_limit],
        )
        for wave in left.open_waves
    )
    yield Need("heats must change their time", "changed it", must, sum(a.wave != b.wave for a, b in pairs))


def _to_another_heat(start: Draft, left: Draft) -> int:
    """Over the heats that share a set, in divisions whose heats have three teams or more."""
    short: dict[str, list[int]] = {}
    for heat in left.open_heats:
        if heat.teams and left.event.division(heat.division).teams_per_heat > 2:
            short.setdefault(heat.call_set, []).append(short_by(heat, start))
    return sum(map(bounds.teams_to_another_heat, short.values()))


def _seats_to_change(left: Draft, changes: Changes) -> int:
    """Over the waves: seats of those who are out, and the further ones where nobody is free to take them.

    Where heats move or are added besides, only the seats of those who are out are certain.
    """
    stay = [person for person in left.roster.officials if person.id not in changes.officials_out]
    must = 0
    for wave in left.open_waves:
        bench = {(one.heat, one.duty): one for one in benches(left, wave)}
        seats = {seat: person for heat in left.in_wave[wave.id] for seat, person in holders(heat).items()}
        vacated = [bench[seat[0], seat[1]] for seat, person in seats.items() if person in changes.officials_out]
        if changes.rooms_lost or changes.late:
            must += len(vacated)
        else:
            must += bounds.seats_to_change(vacated, stay, set(seats.values()))
    return must


def _changed_seats(old: Heat, new: Heat) -> int:
    before, after = holders(old), holders(new)
    return sum(before.get(seat) != person for seat, person in after.items())
