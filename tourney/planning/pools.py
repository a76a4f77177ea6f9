"""The pools of a division: parts of its teams that drill among themselves."""

from collections import Counter, defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import replace

from tourney.draw import Draw
from tourney.errors import Refusal, Shortage
from tourney.model.event import Division, Event
from tourney.model.people import Roster, Team
from tourney.planning.ties import plain

FEWEST = 2  # teams of a pool


def in_pools(roster: Roster, event: Event) -> Roster:
    """The roster with each team of a parted division in a pool, drawn from the public words.

    Sizes differ by one at most, and so do the teams of one club that two pools hold: no draw can do better. Refusal
    where a pool would have one team alone.
    """
    pool = {
        team: name
        for division in event.divisions
        for team, name in _dealt(division, roster.teams, event.draw_words).items()
    }
    return replace(roster, teams=tuple(replace(team, pool=pool.get(team.id, "")) for team in roster.teams))


def pool_for_one_more(team: Team, teams: Sequence[Team], event: Event) -> str:
    """The pool of a team that comes after the draw: fewest teams, then fewest of its club, then first by name."""
    there = [other for other in teams if other.division == team.division]
    size = Counter(other.pool for other in there)
    own = Counter(other.pool for other in there if plain(other.club) == plain(team.club))
    names = event.division(team.division).pool_names
    return min(names, key=lambda name: (size[name], own[name], name), default="")


def by_pool(teams: Sequence[Team]) -> Mapping[str, Sequence[Team]]:
    """Pool -> its teams, by name of the pool; all under "" where there are none."""
    found: dict[str, list[Team]] = defaultdict(list)
    for team in sorted(teams, key=lambda team: team.pool):
        found[team.pool].append(team)
    return found


def _dealt(division: Division, teams: Sequence[Team], words: str) -> dict[str, str]:
    """Team -> pool: the teams, club after club, are dealt round the pools like cards."""
    clubs: dict[str, list[str]] = {}
    for team in teams:
        if team.division == division.name:
            clubs.setdefault(plain(team.club), []).append(team.id)
    entered, names = sum(map(len, clubs.values())), list(division.pool_names)
    if not (entered and names):
        return {}
    if entered < FEWEST * len(names):
        raise _too_many(division, entered)
    random = Draw(words).stream("pools", division.name)
    order = [sorted(own) for _, own in sorted(clubs.items())]
    random.shuffle(order)
    for own in order:
        random.shuffle(own)
    random.shuffle(names)
    return {team: names[at % len(names)] for at, team in enumerate(team for own in order for team in own)}


def _too_many(division: Division, entered: int) -> Refusal:
    need, fit = FEWEST * division.pools, entered // FEWEST
    fewer = f"Set pools = {fit} for {division.name} (now {division.pools})." if fit > 1 else "Leave pools out."
    return Refusal(
        f"{division.name} can't be drawn in {division.pools} pools: a pool has {FEWEST} teams at least.",
        shortages=(Shortage(f"Teams of {division.name}", entered, need),),
        cures=(fewer, f"Or enter {need - entered} more."),
        proven=True,
    )
