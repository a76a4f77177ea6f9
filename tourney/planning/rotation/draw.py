"""The draw of a rotation: known patterns first, then matchings, then a search, until the counting bound is met."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations
from random import Random
from typing import Literal

import numpy as np

from tourney.planning.rotation.found import found_rounds
from tourney.planning.rotation.matching import matched_rounds
from tourney.planning.rotation.measure import Measures, measure, own_club_bound
from tourney.planning.rotation.patterns import Pattern, known_patterns
from tourney.planning.rotation.round_robin import round_robin
from tourney.planning.rotation.search import Whole, Wishes, cost, improve
from tourney.planning.rotation.seating import seated

EFFORT = 30_000_000  # pair counts that a search may look at: about a second
Drawn = list[list[list[str]]]


@dataclass(frozen=True, slots=True)
class Rotation:
    """rounds -> heats -> team ids; byes: the teams that sit out, round by round.

    Where all pairs meet, the place of a heat in its round is the room in which it is best held.
    """

    rounds: tuple[tuple[tuple[str, ...], ...], ...]
    byes: tuple[tuple[str, ...], ...]


def draw_rotation(
    teams: Sequence[tuple[str, str]], rounds: int | Literal["all"], size: int, random: Random
) -> Rotation:
    """Draw who meets whom. teams: (id, club). rounds: how many, or "all": as few as let everyone meet everyone.

    Each team drills once a round, in heats of `size` or one less where numbers allow. With pairs and an odd number of
    teams one has a bye in each round, nobody twice before all had one. Wanted in this order: teams of one club apart,
    few repeated meetings, small heats shared out. With "all", teams of one club meet as all others do, and pairs come
    in the order of rooms that `round_robin` gives.
    """
    clubs = dict(teams)
    heats = -(-len(teams) // size)
    if heats <= 1 or size == 1:
        alone = [[team] for team in sorted(clubs)] if size == 1 else [sorted(clubs)]
        return _rotation([alone] * (1 if rounds == "all" else rounds), size)
    even = -(-len(teams) // heats)
    if rounds == "all" and even == 2:
        pattern = round_robin(len(clubs))
        random.shuffle(pattern)
        seats = random.sample(sorted(clubs), len(clubs))
        return _rotation([[[seats[seat] for seat in heat] for heat in heats] for heats in pattern], even)
    drawn = _all_meet(sorted(clubs), even, random) if rounds == "all" else _best(clubs, rounds, even, random)
    return _rotation([sorted(sorted(heat) for heat in heats) for heats in drawn], even)


def measured(rotation: Rotation, clubs: Mapping[str, str]) -> Measures:
    """The rotation's measures. clubs: team id -> club."""
    return measure(rotation.rounds, rotation.byes, clubs)


def _rotation(drawn: Drawn, size: int) -> Rotation:
    """Teams alone in a heat of two have a bye, unless there is nobody else."""
    resting = [[heat for heat in heats if size == 2 and len(heat) == 1 and len(heats) > 1] for heats in drawn]
    return Rotation(
        tuple(
            tuple(tuple(sorted(heat)) for heat in heats if heat not in away)
            for heats, away in zip(drawn, resting, strict=True)
        ),
        tuple(tuple(sorted(heat[0] for heat in away)) for away in resting),
    )


def _best(clubs: Mapping[str, str], rounds: int, size: int, random: Random) -> Drawn:
    """The first candidate at the bound, else the best one after a search from each of the two most promising."""
    tried: list[Drawn] = []
    for drawn in _candidates(clubs, rounds, size, random):
        if measure(drawn, [()] * rounds, clubs).at_bound:
            return drawn
        tried.append(drawn)
    problem = _Problem.of(clubs, rounds, size)
    met = [(cost(deals, problem.wishes), deals) for deals in map(problem.deals, tried)]
    steps = min(5000, EFFORT // (rounds * len(clubs) ** 2))
    starts = sorted(met, key=lambda row: row[0])[:2]
    found: list[tuple[int, Whole]] = []
    for _, deals in starts:
        better = improve(deals, problem.heats, problem.wishes, problem.target, steps, random)
        found.append((cost(better, problem.wishes), better))
        if found[-1][0] <= problem.target:
            break
    return problem.drawn(min(found, key=lambda row: row[0])[1])


def _candidates(clubs: Mapping[str, str], rounds: int, size: int, random: Random) -> Iterator[Drawn]:
    found = found_rounds(clubs, rounds, size, random)
    if found:
        yield found
    for pattern in known_patterns(len(clubs), size, rounds, random):
        random.shuffle(pattern)
        if size == 2 and len(clubs) % 2 and len(pattern) < min(rounds, len(clubs)):
            continue  # to begin again would give somebody a second bye before all had one
        yield seated(_stretched(pattern, rounds), clubs, -(-len(clubs) // size), random)
    teams = sorted(clubs)
    if size == 2:
        wishes = _Problem.of(clubs, rounds, size).wishes
        pairs = matched_rounds(len(teams), rounds, wishes.before, random)
        yield [[[teams[member] for member in heat] for heat in heats] for heats in pairs]
    else:
        yield [_any_round(teams, size, random) for _ in range(rounds)]


def _stretched(pattern: Pattern, rounds: int) -> Pattern:
    """As many rounds as wanted, from the beginning again where the pattern has fewer."""
    return [pattern[number % len(pattern)] for number in range(rounds)]


def _any_round(teams: Sequence[str], size: int, random: Random) -> list[list[str]]:
    mixed = random.sample(teams, len(teams))
    heats = -(-len(mixed) // size)
    return [mixed[number::heats] for number in range(heats)]


def _all_meet(teams: Sequence[str], size: int, random: Random) -> Drawn:
    """Rounds until everyone has met everyone: the fewest that counting allows, then one more at a time."""
    apart = {team: team for team in teams}
    drawn = _best(apart, -(-(len(teams) - 1) // (size - 1)), size, random)
    while missing := _unmet(drawn, teams):
        pair = missing[0]
        others = random.sample([team for team in teams if team not in pair], len(teams) - 2)
        heats = -(-len(teams) // size)
        order = [pair[0], *others[: heats - 1], pair[1], *others[heats - 1 :]]
        start = [*drawn, [order[number::heats] for number in range(heats)]]
        problem = _Problem.of(apart, len(start), size)
        steps = min(1000, EFFORT // (len(start) * len(teams) ** 2))
        better = problem.drawn(
            improve(problem.deals(start), problem.heats, problem.wishes, problem.target, steps, random)
        )
        drawn = min((better, start), key=lambda found: len(_unmet(found, teams)))
    return drawn


def _unmet(drawn: Drawn, teams: Sequence[str]) -> list[tuple[str, str]]:
    met = {tuple(sorted(pair)) for heats in drawn for heat in heats for pair in combinations(heat, 2)}
    return [pair for pair in combinations(sorted(teams), 2) if pair not in met]


@dataclass(frozen=True, slots=True)
class _Problem:
    """A rotation as the search sees it: members are teams, groups are heats, the small heats of a round come first."""

    teams: tuple[str, ...]
    heats: int
    wishes: Wishes
    target: int

    @staticmethod
    def of(clubs: Mapping[str, str], rounds: int, size: int) -> "_Problem":
        """Clubs that meet cost more than all repeats together; byes stay where they are."""
        teams = tuple(sorted(clubs))
        heats = -(-len(teams) // size)
        missing = heats * size - len(teams)
        club = np.array([clubs[team] for team in teams])
        same = (club[:, None] == club[None, :]).astype(np.int64)
        np.fill_diagonal(same, 0)
        dear = rounds * rounds * len(teams) * size
        sizes = [[size - 1] * missing + [size] * (heats - missing)] * rounds
        weight = len(teams) * rounds * rounds if missing and size > 2 else 1
        wishes = Wishes(same * dear, missing, fixed=size == 2, weight=weight)
        in_all = rounds * sum(count * (count - 1) // 2 for count in sizes[0])
        own = own_club_bound(sizes, clubs)
        strangers = len(teams) * (len(teams) - 1) // 2 - int(same.sum()) // 2
        target = weight * (dear * own + _evenly(in_all - own, strangers))
        if missing and size > 2:
            target += _evenly(rounds * missing * (size - 1), len(teams))
        return _Problem(teams, heats, wishes, target)

    def deals(self, drawn: Drawn) -> Whole:
        """(rounds, teams) heat numbers; small heats get the lowest."""
        place = {team: number for number, team in enumerate(self.teams)}
        deals = np.zeros((len(drawn), len(self.teams)), dtype=np.int64)
        for row, heats in zip(deals, drawn, strict=True):
            for number, heat in enumerate(sorted(heats, key=len)):
                row[[place[team] for team in heat]] = number
        return deals

    def drawn(self, deals: Whole) -> Drawn:
        """Rounds of heats of team ids."""
        return [
            [[self.teams[member] for member in np.flatnonzero(row == number)] for number in range(self.heats)]
            for row in deals
        ]


def _evenly(total: int, shares: int) -> int:
    """Least sum of c*(c-1)/2 when the total is dealt evenly over the shares."""
    if shares <= 0:
        return 0
    each, more = divmod(total, shares)
    return shares * each * (each - 1) // 2 + more * each
