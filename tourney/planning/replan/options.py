"""What else could be done, each with its cost; what this plan does is marked."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from itertools import islice

from tourney.errors import Refusal
from tourney.model.people import Duty
from tourney.model.plan import Heat
from tourney.planning.replan.changes import Changes, Fewer, LateTeam
from tourney.planning.replan.draft import NO_SET, Draft
from tourney.planning.replan.late import Ways, rounds_to_come
from tourney.planning.replan.shorter import with_fewer_calls
from tourney.planning.replan.staff import holders, stand_ins
from tourney.planning.replan.times import on_the_clock, with_minutes

SHOWN = 3  # stand-ins named for a seat


@dataclass(frozen=True, slots=True)
class Choice:
    """One way. cost: in words. chosen: this plan does it."""

    what: str
    cost: str
    chosen: bool


@dataclass(frozen=True, slots=True)
class Option:
    """Something that could be done in more than one way, the best one first."""

    about: str
    choices: tuple[Choice, ...]


def late_options(before: Draft, late: LateTeam, ways: Ways, apart: bool) -> Iterator[Option]:
    """The two ways for a late team, where it has heats now. apart: the second, even where the first is possible."""
    if not rounds_to_come(before, late):
        return
    name = f"{late.team.name} ({late.team.id}), {late.team.division}"
    choices = []
    if ways.joined:
        joined = [heat for heat in ways.joined.heats if late.team.id in heat.teams]
        seats = sum(len(heat.judges) for heat in joined)
        cost = f"{len(joined)} heats stand with one team more; {seats} score sheets and {len(joined)} scripts anew"
        choices.append(
            Choice("as one more team in existing heats", f"{cost}; nobody else changes time or room", not apart)
        )
    second = "in heats of its own"
    if ways.joined and not apart:
        second += " (add --late-apart)"
    if isinstance(ways.apart, Refusal):
        choices.append(Choice(second, f"can't be done: {ways.apart}", False))
    else:
        choices.append(Choice(second, _cost_apart(before, late, ways.apart), apart or not ways.joined))
    yield Option(name, tuple(choices))


def _cost_apart(before: Draft, late: LateTeam, day: Draft) -> str:
    own = [heat for heat in day.heats if late.team.id in heat.teams]
    extra = len(day.waves) - len(before.waves)
    fresh = len({(heat.division, heat.wave) for heat in own if heat.call_set == NO_SET})
    officials = sum(before.event.division(heat.division).judges + 1 for heat in own)
    ends = max(wave.end for wave in day.waves)
    return (
        f"{len(own)} heats more, {officials} seats to fill at the least, {extra} extra waves, {fresh} fresh call sets; "
        f"the day ends at {ends:%H:%M}"
    )


def stand_in_options(draft: Draft, start: Draft, out: Sequence[str]) -> Iterator[Option]:
    """For each seat of those who are out, who can take it, least disturbance first."""
    before = {heat.id: heat for heat in start.open_heats}
    for heat in draft.open_heats:
        now = holders(heat)
        for seat, person in holders(before[heat.id]).items() if heat.id in before else ():
            if person in out and now[seat] != person:
                yield _seat(draft, heat, seat[1], now[seat])


def _seat(draft: Draft, heat: Heat, duty: Duty, chosen: str) -> Option:
    about = f"{duty} of {heat.id} at {draft.wave[heat.wave].start:%H:%M} in {heat.room}"
    choices = [
        Choice(
            f"{one.official.name} ({one.official.id})",
            f"free then; {one.served} other heats"
            + (f"; judges one of these teams {_times(one.met)}" if one.met else ""),
            one.official.id == chosen,
        )
        for one in islice(stand_ins(draft, heat, duty, chosen), SHOWN)
    ]
    return Option(about, tuple(choices))


def _times(number: int) -> str:
    return "once more" if number == 1 else f"{number} times more"


def catching_up(draft: Draft, changes: Changes, announced: Mapping[str, datetime]) -> Iterator[Option]:
    """Where the day ends later than planned: when, and when with fewer calls in one of the rounds to come."""
    ends = _end(draft, changes.delay, announced)
    if ends <= max(wave.end for wave in draft.waves if wave.id in draft.planned):
        return
    choices = [Choice("with all calls", f"the day ends at {ends:%H:%M}", True)]
    numbers = sorted({heat.round for heat in draft.open_heats}, reverse=True)
    for number in numbers:
        calls = _fewer(draft, number)
        if calls:
            shorter = with_minutes(with_fewer_calls(draft, Fewer(calls, number)))
            end = _end(shorter, changes.delay, announced)
            if end < ends:
                words = f"--fewer-calls {calls} --round {number}"
                choices.append(Choice(f"with {calls} calls in round {number} ({words})", f"ends at {end:%H:%M}", False))
    yield Option("When the day ends", tuple(choices))


def _end(draft: Draft, delay: int, announced: Mapping[str, datetime]) -> datetime:
    return max(wave.end for wave in on_the_clock(draft, delay, announced).waves)


def _fewer(draft: Draft, number: int) -> int:
    """Most calls with which some heat of a round is shorter; 0 where it has begun or nothing helps."""
    heats = [heat for heat in draft.open_heats if heat.round == number]
    most = max(draft.calls_in(heat.division, number) for heat in heats)
    usual = sum(draft.minutes(heat) for heat in heats)
    for calls in range(most - 1, most // 2 - 1, -1):
        try:
            shorter = with_fewer_calls(replace(draft, left_out=()), Fewer(calls, number))
        except Refusal:
            return 0
        if sum(shorter.minutes(heat) for heat in heats) < usual:
            return calls
    return 0
