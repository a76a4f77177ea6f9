"""What a plan is worth, counted anew from its heats, each figure beside the least that counting leaves possible."""

from collections import Counter
from collections.abc import Iterator
from itertools import combinations
from math import ceil

from tourney.model.plan import Heat, Plan
from tourney.verify.early_late import early_late_line
from tourney.verify.line import Line, figure, told
from tourney.verify.load import load_lines
from tourney.verify.plan import divisions, rotation, same_name


def figure_lines(plan: Plan) -> Iterator[Line]:
    """Every figure, division by division, then the clock."""
    for name in divisions(plan):
        heats = rotation(plan, name)
        if heats:
            yield from _meetings(plan, name, heats)
            yield from _rooms(plan, name, heats)
            yield from _judges(plan, name, heats)
            yield early_late_line(plan, name, heats)
            yield _byes(plan, name)
    yield from _clock(plan)
    yield from load_lines(plan)


def _teams(plan: Plan, name: str) -> list[str]:
    return [team.id for team in plan.teams if team.division == name]


def _pools(plan: Plan, name: str) -> list[list[str]]:
    """The teams of each pool; all of them together where a division is not parted."""
    pools: dict[str, list[str]] = {}
    for team in plan.teams:
        if team.division == name:
            pools.setdefault(team.pool, []).append(team.id)
    return list(pools.values())


def _meetings(plan: Plan, name: str, heats: tuple[Heat, ...]) -> Iterator[Line]:
    """Each team's meetings beyond its possible opponents are repeats, whoever draws; each repeat is shared by two."""
    teams, pools = _teams(plan, name), _pools(plan, name)
    club = {team: same_name(plan.team[team].club) for team in teams}
    met = Counter(frozenset(pair) for heat in heats for pair in combinations(heat.teams, 2))
    meetings = Counter({team: sum(times for pair, times in met.items() if team in pair) for team in teams})
    repeats = met.total() - len(met)
    others = [dict.fromkeys(pool, len(pool) - 1) for pool in pools]
    yield figure("meetings_repeated", name, repeats, sum(_least_repeats(meetings, there) for there in others))
    worst = max(met, key=lambda pair: (met[pair], sorted(pair)), default=frozenset())
    least = max((ceil(meetings[team] / n) for there in others for team, n in there.items() if n), default=0)
    yield figure("meetings_of_one_pair", name, met[worst], least, " and ".join(sorted(worst)))
    own = sum(times for pair, times in met.items() if len({club[team] for team in pair}) == 1)
    fewest = sum(
        _least_own(
            Counter(club[team] for team in pool),
            tuple(heat for heat in heats if not set(pool).isdisjoint(heat.teams)),
            len(pool),
        )
        for pool in pools
    )
    yield figure("meetings_within_a_club", name, own, fewest)


def _least_repeats(meetings: Counter[str], others: dict[str, int]) -> int:
    beyond = sum(max(0, meetings[team] - others[team]) for team in others)
    return ceil(max(beyond, sum(meetings[team] - others[team] for team in others), 0) / 2)


def _least_own(clubs: Counter[str], heats: tuple[Heat, ...], teams: int) -> int:
    """A club's teams that stand in a round, shared out over its heats as evenly as these have room."""
    total = 0
    for number in {heat.round for heat in heats}:
        sizes = [len(heat.teams) for heat in heats if heat.round == number]
        away = teams - sum(sizes)
        for members in clubs.values():
            room, pairs = sorted(sizes), 0
            dealt = [0] * len(room)
            for _ in range(max(0, members - away)):
                at = min((n for n in range(len(room)) if dealt[n] < room[n]), key=lambda n: dealt[n])
                pairs += dealt[at]
                dealt[at] += 1
            total += pairs
    return total


def _rooms(plan: Plan, name: str, heats: tuple[Heat, ...]) -> Iterator[Line]:
    visits = {team: Counter(heat.room for heat in heats if team in heat.teams) for team in _teams(plan, name)}
    visits = {team: seen for team, seen in visits.items() if seen}
    rooms = len(plan.event.rooms)
    worst = min(visits, key=lambda team: (len(visits[team]), team))
    best = min(min(rooms, seen.total()) for seen in visits.values())
    fewest = len(visits[worst])
    yield Line("rooms_of_a_team", name, fewest, best, None, fewest >= best, rule=False, worst=worst)
    busiest = max(visits, key=lambda team: (max(visits[team].values()), team))
    again = max(ceil(seen.total() / rooms) for seen in visits.values())
    yield figure("visits_to_one_room", name, max(visits[busiest].values()), again, busiest)


def _judges(plan: Plan, name: str, heats: tuple[Heat, ...]) -> Iterator[Line]:
    met = Counter((team, judge) for heat in heats for team in heat.teams for judge in heat.judges)
    least = 0
    for team in _teams(plan, name):
        seats = sum(len(heat.judges) for heat in heats if team in heat.teams)
        children, club = set(plan.team[team].members), same_name(plan.team[team].club)
        able = sum(
            (not official.roles or "judge" in official.roles)
            and club not in map(same_name, official.clubs)
            and children.isdisjoint(official.people)
            for official in plan.officials
        )
        least = max(least, ceil(seats / able)) if able else least
    worst = max(met, key=lambda pair: (met[pair], pair))
    yield figure("one_judge_meets_one_team", name, met[worst], least, " and ".join(worst))
    yield figure("groups_of_judges_and_teams_apart", name, _groups(met), 1)


def _groups(met: Counter[tuple[str, str]]) -> int:
    """Connected parts: every team and judge carries the smallest name that it is connected to."""
    part: dict[str, str] = {}

    def root(key: str) -> str:
        while part.setdefault(key, key) != key:
            key = part[key]
        return key

    for team, judge in met:
        part[root(f"judge {judge}")] = root(f"team {team}")
    return len({root(key) for key in list(part)})


def _byes(plan: Plan, name: str) -> Line:
    had = Counter(dict.fromkeys(_teams(plan, name), 0))
    had.update(bye.team for bye in plan.byes if bye.division == name)
    shares = [(sum(had[team] for team in pool), len(pool)) for pool in _pools(plan, name)]
    even = max(ceil(byes / there) for byes, there in shares) - min(byes // there for byes, there in shares)
    return figure("byes_most_less_fewest", name, max(had.values()) - min(had.values()), even)


def _clock(plan: Plan) -> Iterator[Line]:
    if plan.waves:
        yield told("last_heat_ends", "all", f"{max(wave.end for wave in plan.waves):%H:%M}")
    waits: dict[str, int] = {}
    for team in plan.teams:
        waves = [plan.wave[heat.wave] for heat in plan.heats if team.id in heat.teams]
        if waves:
            span = max(wave.end for wave in waves) - min(wave.start for wave in waves)
            waits[team.id] = int(span.total_seconds() // 60) - sum(wave.minutes for wave in waves)
    if waits:
        worst = max(waits, key=lambda team: (waits[team], team))
        yield told("minutes_waiting_at_most", "all", waits[worst], worst)
