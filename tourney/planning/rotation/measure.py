"""What a rotation is worth, measured apart from how it was made, beside what counting proves possible."""

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations

Rounds = Sequence[Sequence[Sequence[str]]]


@dataclass(frozen=True, slots=True)
class Measures:
    """Counts over a whole rotation.

    repeats: meetings beyond the first of each pair. own_club: meetings of two teams of one club. unmet: pairs
    that never meet. faults: teams that drill twice in a round, or not at all.
    """

    repeats: int
    repeats_bound: int
    most_met: int
    most_met_pair: tuple[str, str] | None
    own_club: int
    own_club_bound: int
    unmet: int
    faults: tuple[str, ...] = ()

    @property
    def at_bound(self) -> bool:
        """Nothing can be better than this."""
        return self.repeats == self.repeats_bound and self.own_club == self.own_club_bound


def measure(rounds: Rounds, byes: Sequence[Sequence[str]], clubs: Mapping[str, str]) -> Measures:
    """Measure a rotation. clubs: team id -> club, one entry for every team."""
    met = Counter(pair for heats in rounds for heat in heats for pair in combinations(sorted(heat), 2))
    own = sum(times for (one, other), times in met.items() if clubs[one] == clubs[other])
    most = max(met.values(), default=0)
    pair = min((pair for pair, times in met.items() if times == most), default=None)
    return Measures(
        repeats=sum(times - 1 for times in met.values()),
        repeats_bound=repeats_bound(rounds, clubs, clubs_apart=own == 0),
        most_met=most,
        most_met_pair=pair,
        own_club=own,
        own_club_bound=own_club_bound([[len(heat) for heat in heats] for heats in rounds], clubs),
        unmet=len(clubs) * (len(clubs) - 1) // 2 - len(met),
        faults=tuple(_faults(rounds, byes, clubs)),
    )


def _faults(rounds: Rounds, byes: Sequence[Sequence[str]], clubs: Mapping[str, str]) -> Iterable[str]:
    for number, (heats, resting) in enumerate(zip(rounds, byes, strict=True), 1):
        times = Counter([*(team for heat in heats for team in heat), *resting])
        for team in sorted({*clubs, *times}):
            if times[team] != 1 or team not in clubs:
                yield f"round {number}: {team} x{times[team]}"


def repeats_bound(rounds: Rounds, clubs: Mapping[str, str], clubs_apart: bool) -> int:
    """Fewest repeats for heats of these sizes: meetings beyond a team's possible opponents, in all or team by team."""
    met = dict.fromkeys(clubs, 0)
    for heats in rounds:
        for heat in heats:
            for team in heat:
                met[team] += len(heat) - 1
    size = Counter(clubs.values())
    possible = {team: len(clubs) - (size[clubs[team]] if clubs_apart else 1) for team in clubs}
    in_all = sum(met.values()) - sum(possible.values())
    by_team = sum(max(0, met[team] - possible[team]) for team in clubs)
    return -(-max(0, in_all, by_team) // 2)


def own_club_bound(sizes: Sequence[Sequence[int]], clubs: Mapping[str, str]) -> int:
    """Fewest meetings within clubs: each club dealt over the heats of each round as evenly as their sizes allow.

    sizes: for each round the size of each heat. Teams with a bye are taken to be of whichever club helps most.
    """
    total = 0
    for heats in sizes:
        away = len(clubs) - sum(heats)
        for teams, times in Counter(Counter(clubs.values()).values()).items():
            total += times * _fewest_pairs(teams - away, heats)
    return total


def _fewest_pairs(teams: int, sizes: Sequence[int]) -> int:
    """Fewest pairs together when teams are dealt over heats, one to each heat with a place left, again and again."""
    pairs = layer = 0
    while teams > 0:
        places = sum(size > layer for size in sizes)
        pairs += min(teams, places) * layer
        teams -= places or teams
        layer += 1
    return pairs
