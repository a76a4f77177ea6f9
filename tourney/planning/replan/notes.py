"""What the coordinator should know before saying yes."""

from collections.abc import Iterator

from tourney.canon.syllabus import Syllabus
from tourney.model.calls import CallBook, CallSet
from tourney.model.plan import FairnessLine, Plan
from tourney.planning.calls.further import Sealed
from tourney.planning.replan.changes import Changes
from tourney.planning.replan.draft import Draft


def notes(old: Plan, new: Plan, before: CallBook, end: Draft, changes: Changes, syllabus: Syllabus) -> Iterator[str]:
    """Sentences about what the change costs beyond its counts."""
    for key in changes.leaked:
        yield from _shared(before.set[key], end, syllabus)
    for late in changes.late:
        stands = {heat.round for heat in end.heats if late.team.id in heat.teams}
        missed = [n for n in range(1, new.drawn_rounds.get(late.team.division, 0) + 1) if n not in stands]
        if missed:
            numbers = ", ".join(map(str, missed))
            yield f"{late.team.name} misses round {numbers}: it is ranked by its part of the points that it could make."
        if to_draw := {slot.round for slot in new.reserved if slot.division == late.team.division}:
            numbers = " and ".join(f"round {number}" for number in sorted(to_draw))
            yield f"{late.team.name} will be in {numbers}, still to be drawn by standing."
    yield from _emptied_teams(new, changes)
    yield from _without_in_finals(old, new, changes)
    yield from _small_teams(old, new)
    yield from _division_rounds(end, changes)
    yield from _less_fair(old, new)


def _shared(leaked: CallSet, end: Draft, syllabus: Syllabus) -> Iterator[str]:
    """How much of a leaked set is heard all the same in the one that steps in, and how much even use would bring."""
    mine = tuple(found for found in end.sets if found.division == leaked.division)
    same = [found for found in mine if (found.round, found.use, found.order)
            == (leaked.round, leaked.use, leaked.order)]  # fmt: skip
    known = {call.item for call in leaked.calls}
    for found in same if leaked.order is not None else ():
        shared = sum(call.item in known for call in found.calls)
        others = tuple(other for other in mine if other is not found)
        even = Sealed(end.event.division(leaked.division), syllabus, others, ()).known_if_even(leaked)
        yield (
            f"{found.id} steps in for {leaked.id}, in another order; {shared} of its {len(found.calls)} calls stood in "
            "that set too."
        ) + (
            f" At least {even} would, were no item called more than once more in the day than another of its section."
            if even > shared
            else ""
        )


def _emptied_teams(new: Plan, changes: Changes) -> Iterator[str]:
    """Teams that nobody is left of."""
    for child in changes.contestants_out:
        team = next(team for team in new.teams if child in team.members)
        if team.id in new.gone and team.id not in changes.absent:
            yield f"Nobody is left of {team.name} ({team.id}): the team drills no more."


def _without_in_finals(old: Plan, new: Plan, changes: Changes) -> Iterator[str]:
    """What a change means that comes after the last heat that it could alter."""
    missing = (*changes.absent, *changes.contestants_out, *changes.officials_out, *changes.rooms_lost)
    if missing and old.heats == new.heats:
        yield f"No heat changes. What is still to be drawn, such as finals, does without {', '.join(missing)}."


def _small_teams(old: Plan, new: Plan) -> Iterator[str]:
    """Teams that now have fewer in line than may enter."""
    for heat in new.heats:
        before = old.heat.get(heat.id)
        least = new.event.division(heat.division).minimum
        for team in heat.teams:
            stand = sum(child in new.team[team].members for child in heat.line)
            had = sum(child in old.team[team].members for child in before.line) if before and team in old.team else 0
            if stand < least <= had:
                yield f"{new.team[team].name} ({team}) has {stand} in line in {heat.id}; a team needs {least}."


def _division_rounds(end: Draft, changes: Changes) -> Iterator[str]:
    """Divisions that keep all their calls in a shortened round."""
    short = dict(end.short)
    for fewer in changes.fewer:
        for division in end.event.divisions:
            has = any((heat.division, heat.round) == (division.name, fewer.round) for heat in end.heats)
            calls = short.get((division.name, fewer.round), division.calls)
            if has and calls > fewer.calls:
                yield f"{division.name}: round {fewer.round} has begun, so it keeps its {calls} calls."


def _less_fair(old: Plan, new: Plan) -> Iterator[str]:
    """Properties of the fairness page that were within their limits and no longer are."""
    before = {(line.property, line.scope): line for line in old.fairness}
    for line in new.fairness:
        was = before.get((line.property, line.scope))
        if not line.ok and (was is None or was.ok):
            yield f"Less fair than before: {_words(line)}."


def _words(line: FairnessLine) -> str:
    where = f" ({line.worst})" if line.worst else ""
    return f"{line.property.replace('_', ' ')}, {line.scope}: {line.measured}, limit {line.limit}{where}"
