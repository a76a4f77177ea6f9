"""Rules that every plan keeps: who is where, when, with whom."""

import re
from collections import Counter, defaultdict
from collections.abc import Callable, Iterable, Iterator

from tourney.model.plan import Heat, Plan
from tourney.verify.line import Line, rule

LATER = ("final", "drill_off", "practice")  # uses of a call set whose heats are not of the rotation


def plan_lines(plan: Plan) -> Iterator[Line]:
    """Every rule of a plan, one line each."""
    yield rule("ids_once", "all", _twice(plan))
    yield rule("known_ids", "all", _unknown(plan))
    if not known(plan):
        return
    for name in divisions(plan):
        yield rule("heat_or_bye_each_round", name, _not_once_a_round(plan, name))
        if plan.event.division(name).pools > 1:
            yield rule("heats_within_pools", name, _across_pools(plan, name))
            yield rule("pools_alike", name, _unlike_pools(plan, name))
    yield rule("team_in_one_heat_at_a_time", "all", _clashes(plan, lambda heat: heat.teams))
    yield rule("official_in_one_heat_at_a_time", "all", _clashes(plan, officials_of))
    yield rule("room_for_one_heat_at_a_time", "all", _clashes(plan, lambda heat: (heat.room,)))
    yield rule("team_stands_once", "all", _doubled(plan))
    yield rule("line_fits_its_room", "all", _crowded(plan))
    yield rule("line_is_of_its_teams", "all", _strangers(plan))
    yield rule("one_set_for_a_division_in_a_wave", "all", _sets_of_a_wave(plan))
    yield rule("set_heard_in_one_wave", "all", _waves_of_a_set(plan))


def known(plan: Plan) -> bool:
    """Whether every id that the plan names is there, so that all can be looked up."""
    return not any(_unknown(plan))


def divisions(plan: Plan) -> tuple[str, ...]:
    """Divisions with teams, in the order of the settings."""
    entered = {team.division for team in plan.teams}
    return tuple(division.name for division in plan.event.divisions if division.name in entered)


def rotation(plan: Plan, division: str) -> tuple[Heat, ...]:
    """Heats of a division's rounds, without finals and what comes after."""
    use = {row.id: row.use for row in plan.call_sets}
    return tuple(heat for heat in plan.heats if heat.division == division and use.get(heat.call_set) not in LATER)


def officials_of(heat: Heat) -> tuple[str, ...]:
    """Everyone with a duty in a heat."""
    return (*heat.judges, heat.caller, *((heat.timekeeper,) if heat.timekeeper else ()))


def same_name(name: str) -> str:
    """A club's name for comparing: neither capitals nor blanks matter."""
    return re.sub(r"\s+", " ", name.strip()).casefold()


def _twice(plan: Plan) -> Iterator[str]:
    kinds: dict[str, Iterable[str]] = {
        "team": (team.id for team in plan.teams),
        "contestant": (child for team in plan.teams for child in team.members),
        "official": (official.id for official in plan.officials),
        "wave": (wave.id for wave in plan.waves),
        "heat": (heat.id for heat in plan.heats),
        "call set": (found.id for found in plan.call_sets),
    }
    for kind, keys in kinds.items():
        yield from (f"{kind} {key} is there {times} times" for key, times in Counter(keys).items() if times > 1)


def _unknown(plan: Plan) -> Iterator[str]:
    sets = {found.id: found.division for found in plan.call_sets}
    named = {division.name for division in plan.event.divisions}
    yield from (f"{team.id}: no division {team.division}" for team in plan.teams if team.division not in named)
    for heat in plan.heats:
        if heat.wave not in plan.wave:
            yield f"{heat.id}: no wave {heat.wave}"
        if sets.get(heat.call_set) != heat.division:
            yield f"{heat.id}: no call set {heat.call_set} of {heat.division}"
        for team in heat.teams:
            if team not in plan.team or plan.team[team].division != heat.division:
                yield f"{heat.id}: no team {team} in {heat.division}"
        yield from (f"{heat.id}: no official {key}" for key in officials_of(heat) if key not in plan.official)
    for bye in plan.byes:
        if bye.team not in plan.team or plan.team[bye.team].division != bye.division:
            yield f"bye in round {bye.round}: no team {bye.team} in {bye.division}"


def _not_once_a_round(plan: Plan, division: str) -> Iterator[str]:
    """A team that left, or that came when rounds were over, misses what it could not drill in."""
    heats = rotation(plan, division)
    drilled = Counter((heat.round, team) for heat in heats for team in heat.teams)
    drilled.update((bye.round, bye.team) for bye in plan.byes if bye.division == division)
    there = {number for number, _ in drilled}
    drawn = plan.drawn_rounds.get(division, 0)
    wanted = set(range(1, 1 + drawn))
    pool = {team.id: team.pool for team in plan.teams}
    held = {(pool[team], heat.round) for heat in heats for team in heat.teams}  # a small pool may rest in a round
    more = plan.event.division(division).rounds not in (drawn, "all")  # a late team may have its first heat in these
    yield from (f"round {number} is not there" for number in sorted(wanted - there))
    yield from (f"round {number} is one too many" for number in sorted(there - wanted))
    for team in (team.id for team in plan.teams if team.division == division):
        first = min((number for number, key in drilled if key == team), default=drawn + 1 if more else 0)
        for number in sorted(wanted & there):
            times = drilled[number, team]
            late = plan.revision > 1 and (number < first or (pool[team], number) not in held)
            missed = times == 0 and (team in plan.gone or late)
            if times != 1 and not missed:
                yield f"{team} has {times} heats or byes in round {number}"


def _across_pools(plan: Plan, division: str) -> Iterator[str]:
    """Teams of a division that is parted have a pool of its own names, and meet nobody else's."""
    names = plan.event.division(division).pool_names
    for team in plan.teams:
        if team.division == division and team.pool not in names:
            yield f"{team.id} is in no pool"
    for heat in rotation(plan, division):
        there = sorted({plan.team[team].pool for team in heat.teams})
        if len(there) > 1:
            yield f"{heat.id}: teams of pools {' and '.join(there)}"


def _unlike_pools(plan: Plan, division: str) -> Iterator[str]:
    """As drawn: sizes differ by one at most, and so do a club's teams. What came and went later may change that."""
    if plan.revision > 1:
        return
    names = plan.event.division(division).pool_names
    teams = [team for team in plan.teams if team.division == division]
    kinds = {"teams": teams}
    for team in teams:
        kinds.setdefault(f"teams of {team.club}", []).append(team)
    for what, own in kinds.items():
        counts = [sum(team.pool == name for team in own) for name in names]
        if max(counts) - min(counts) > 1:
            yield f"{what} in the pools: {', '.join(map(str, counts))}"


def _clashes(plan: Plan, who: Callable[[Heat], Iterable[str]]) -> Iterator[str]:
    places: dict[tuple[str, str], list[str]] = defaultdict(list)
    for heat in plan.heats:
        for key in dict.fromkeys(who(heat)):
            places[heat.wave, key].append(heat.id)
    for (wave, key), heats in places.items():
        if len(heats) > 1:
            yield f"{key} in wave {wave}: {', '.join(heats)}"


def _doubled(plan: Plan) -> Iterator[str]:
    for heat in plan.heats:
        yield from (f"{team} stands {n} times in {heat.id}" for team, n in Counter(heat.teams).items() if n > 1)


def _crowded(plan: Plan) -> Iterator[str]:
    limits = {room.name: room.line_limit for room in plan.event.rooms}
    for heat in plan.heats:
        if heat.room not in limits:
            yield f"{heat.id}: no room {heat.room}"
        elif len(heat.line) > limits[heat.room]:
            yield f"{heat.id}: {len(heat.line)} in line, {heat.room} takes {limits[heat.room]}"


def _strangers(plan: Plan) -> Iterator[str]:
    """Each of a heat's teams stands with all that it has, up to its squad; nobody else stands there, nobody twice."""
    for heat in plan.heats:
        squad = plan.event.division(heat.division).squad
        for child, times in Counter(heat.line).items():
            if times > 1:
                yield f"{heat.id}: {child} stands {times} times"
        for team in heat.teams:
            able = set(plan.team[team].members) - set(plan.gone)
            standing = sum(child in plan.team[team].members for child in heat.line)
            if standing > squad or (standing < min(squad, len(able)) and not plan.gone):
                yield f"{heat.id}: {standing} of {team} stand, not {min(squad, len(able))}"
        known = {child for team in heat.teams for child in plan.team[team].members}
        yield from (f"{heat.id}: {child} is of no team of the heat" for child in heat.line if child not in known)


def _sets_of_a_wave(plan: Plan) -> Iterator[str]:
    used: dict[tuple[str, str], set[str]] = defaultdict(set)
    for heat in plan.heats:
        used[heat.division, heat.wave].add(heat.call_set)
    yield from (f"{name} in {wave}: {', '.join(sorted(s))}" for (name, wave), s in used.items() if len(s) > 1)


def _waves_of_a_set(plan: Plan) -> Iterator[str]:
    heard: dict[str, set[str]] = defaultdict(set)
    for heat in plan.heats:
        heard[heat.call_set].add(heat.wave)
    yield from (f"{key}: {', '.join(sorted(waves))}" for key, waves in heard.items() if len(waves) > 1)
