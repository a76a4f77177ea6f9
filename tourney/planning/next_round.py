"""The next round of a division that is drawn by standing. What was drawn before stays as it is."""

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from fractions import Fraction
from itertools import combinations
from random import Random

from tourney.draw import Draw
from tourney.model.calls import CallBook
from tourney.model.people import Roster
from tourney.model.plan import Bye, FairnessLine, Heat, Plan
from tourney.planning.calls.speakers import draw_speakers
from tourney.planning.calls.turns import turn_lines
from tourney.planning.fairness import Fairness
from tourney.planning.kept_places import give_places, next_benches, seat_officials
from tourney.planning.lines import stand_in_line, take_places
from tourney.planning.officials import Gap, find_gaps
from tourney.planning.pools import by_pool
from tourney.planning.rotation.by_standing import Entrant, draw_by_standing
from tourney.planning.shortage import gaps_without_ties, people_missing, too_few_officials

TRIES = 20  # draws, each a little further from the standing, before the round is given up for want of officials


def draw_next_round(plan: Plan, roster: Roster, division: str, worth: Mapping[str, Fraction]) -> Plan:
    """The plan with one more round of this division, of the same revision. worth: what ranks first, for each team.

    Teams without a worth, and those who left, are not drawn. The heats take the places in the day that were reserved
    for them. All follows from the plan, the worth and the public draw words. Refusal when officials or rooms are short.
    """
    number = plan.drawn_rounds[division] + 1
    best: list[Gap] = []
    for attempt in range(1, TRIES + 1):
        stream = Draw(plan.event.draw_words).stream("rotation", division, f"round {number}", f"try {attempt}")
        heats, byes = _drawn(plan, roster, division, worth, stream, attempt - 1)
        waves = next_benches(plan, roster, heats)
        gaps = find_gaps(waves, roster.officials)
        if not gaps:
            return _extended(plan, roster, division, seat_officials(plan, roster, heats, waves), byes)
        best = min(best or gaps, gaps, key=people_missing)
        certain = gaps_without_ties(waves, roster.officials)
        if certain:
            raise too_few_officials(certain, attempt, True, None, best)
    raise too_few_officials(best, TRIES, False, None)


def _drawn(
    plan: Plan, roster: Roster, division: str, worth: Mapping[str, Fraction], random: Random, loose: int
) -> tuple[list[Heat], list[Bye]]:
    """The round's heats, without officials, and its byes."""
    rules = plan.event.division(division)
    number = plan.drawn_rounds[division] + 1
    members = {team.id: _standing(plan, team.members, rules.squad) for team in roster.teams}
    here = [team for team in worth if members[team] and team not in plan.gone]
    mine = [heat for heat in plan.heats if heat.division == division]
    met = Counter(frozenset(pair) for heat in mine for pair in combinations(heat.teams, 2))
    drawn, away = list[tuple[str, ...]](), list[str]()
    for pool in by_pool([roster.team[team] for team in here]).values():
        entrants = _entrants(roster, plan.byes, mine, {team.id: worth[team.id] for team in pool})
        heats_of_pool, resting = draw_by_standing(entrants, met, rules.teams_per_heat, random, loose)
        drawn += heats_of_pool
        away += resting
    ordered = [take_places(heat, (old.teams for old in mine)) for heat in drawn]
    slots = [slot for slot in plan.reserved if (slot.division, slot.round) == (division, number)]
    placed = give_places(plan, ordered, slots, members)
    order = {wave.id: place for place, wave in enumerate(plan.waves)}
    placed.sort(key=lambda pair: (order[pair[0].wave], pair[0].id))
    earlier = sorted(mine, key=lambda heat: order[heat.wave])
    everybody = {team.id: members[team.id] or team.members for team in roster.teams}
    lines = stand_in_line([*(heat.teams for heat in earlier), *(teams for _, teams in placed)], everybody)
    heats = [
        Heat(slot.id, division, number, slot.wave, slot.room, slot.call_set, teams, (), "", None, line, plan.revision)
        for (slot, teams), line in zip(placed, lines[len(earlier) :], strict=True)
    ]
    return heats, [Bye(division, number, team) for team in away]


def _standing(plan: Plan, members: Iterable[str], squad: int) -> tuple[str, ...]:
    """Those of a team who stand: the first of its members who are still there."""
    return tuple(child for child in members if child not in plan.gone)[:squad]


def _entrants(
    roster: Roster, byes: Sequence[Bye], drilled: Sequence[Heat], worth: Mapping[str, Fraction]
) -> list[Entrant]:
    """The teams that are drawn together: those with a worth. drilled: heats before, of these and of other teams."""
    mine = [heat for heat in drilled if not worth.keys().isdisjoint(heat.teams)]
    largest = {heat.round: max(len(other.teams) for other in mine if other.round == heat.round) for heat in mine}
    rested = Counter(bye.team for bye in byes)
    rested.update(team for heat in mine for team in heat.teams if len(heat.teams) < largest[heat.round])
    tilt = Counter(heat.teams[0] for heat in mine)
    tilt.subtract(heat.teams[-1] for heat in mine)
    return [
        Entrant(
            team, roster.team[team].club, 1 + sum(other > value for other in worth.values()), rested[team], tilt[team]
        )
        for team, value in worth.items()
    ]


def _extended(plan: Plan, roster: Roster, division: str, heats: Sequence[Heat], byes: Sequence[Bye]) -> Plan:
    number = plan.drawn_rounds[division] + 1
    wave = {wave.id: place for place, wave in enumerate(plan.waves)}
    room = {room.name: place for place, room in enumerate(plan.event.rooms)}
    whole = replace(
        plan,
        drawn_rounds=plan.drawn_rounds | {division: number},
        heats=tuple(sorted((*plan.heats, *heats), key=lambda heat: (wave[heat.wave], room[heat.room]))),
        byes=(*plan.byes, *byes),
        reserved=tuple(slot for slot in plan.reserved if (slot.division, slot.round) != (division, number)),
    )
    return replace(whole, fairness=_measured(whole, roster))


def _measured(plan: Plan, roster: Roster) -> tuple[FairnessLine, ...]:
    """The fairness page anew, but for what a further round does not touch: the calls, and when the day ends."""
    last = max(wave.end for wave in plan.waves)
    measured = Fairness(plan.event, roster, plan.waves, plan.rotation, plan.byes, last).lines()
    fresh = [line for line in measured if line.property != "finish"]
    again = {(line.property, line.scope) for line in fresh}
    return (*fresh, *(line for line in plan.fairness if (line.property, line.scope) not in again))


def with_speakers(plan: Plan, book: CallBook, draw: Draw) -> CallBook:
    """The book with speakers for every heat of the plan; those that are drawn already stay. draw: with the secret."""
    speakers = list(book.speakers)
    for division in plan.event.divisions:
        for number in range(1, plan.drawn_rounds.get(division.name, 0) + 1):
            fresh = [
                heat
                for heat in plan.heats
                if (heat.division, heat.round) == (division.name, number) and heat.id not in book.speakers_of
            ]
            if fresh:
                speakers += draw_speakers(fresh, book.sets, draw, _turns(plan, replace(book, speakers=tuple(speakers))))
    return replace(book, speakers=tuple(speakers))


def with_turns_measured(plan: Plan, book: CallBook) -> Plan:
    """The plan whose fairness page says how evenly these speakers are asked."""
    fresh = tuple(turn_lines(plan.rotation, book.speakers_of))
    again = {(line.property, line.scope) for line in fresh}
    kept = (line for line in plan.fairness if (line.property, line.scope) not in again)
    return replace(plan, fairness=(*kept, *fresh))


def _turns(plan: Plan, book: CallBook) -> Counter[str]:
    """How often each contestant is asked in the heats that have their speakers."""
    line = {heat.id: heat.line for heat in plan.heats}
    return Counter(
        line[row.heat][number - 1]
        for row in book.speakers
        if row.heat in line
        for number in row.lines
        if number <= len(line[row.heat])
    )
