"""Who reaches the finals from several pools: certain, possible or out.

The best `first` of each pool go on, in the order of their places in the pools; then the best others, until `places` are
taken; of one club no more than `per_club`. A pool's place that a full club can't take goes to the next of that pool.
"""

from collections import Counter, defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import chain, permutations, product
from math import factorial, prod

from tourney.model.standing import Advances
from tourney.scoring.ranges import Span, place_ranges

MOST_ORDERS = 720  # of level teams, which are tried one by one where a club has more teams than may go on


@dataclass(frozen=True, slots=True)
class Contender:
    """A team that may go on. own: its worth within its pool. across: its worth beside teams of other pools."""

    team: str
    pool: str
    club: str
    own: Span
    across: Span

    def surely_behind(self, other: "Contender") -> bool:
        """Whether the other one is ahead, whatever comes."""
        return other.own.least > self.own.most if self.pool == other.pool else other.across.least > self.across.most

    def perhaps_behind(self, other: "Contender") -> bool:
        """Whether the other one can come to be ahead, or level."""
        return other.own.most >= self.own.least if self.pool == other.pool else other.across.most >= self.across.least


@dataclass(frozen=True, slots=True)
class Quota:
    """How many go on: first of each pool, places in all, per_club of one club."""

    first: int
    places: int
    per_club: int


def from_pools(
    there: Sequence[Contender], quota: Quota, ranges: Mapping[str, tuple[int, int]] | None = None
) -> dict[str, Advances]:
    """Team -> certain, possible or out; exact without crowded clubs, else never falsely certain and never falsely out.

    Crowded is a club with more teams there than may go on. Where all is settled, and few are level, it is exact too.
    ranges: best and worst places in the pools, where more is known of them than the spans tell.
    """
    if not there:
        return {}
    size = Counter(one.club for one in there)
    crowded = {club for club, teams in size.items() if teams > quota.per_club}
    orders = _orders(there) if crowded else None
    if orders is not None:
        goers = [_walked(order, quota) for order in orders]
        sure, ever = set.intersection(*goers), set.union(*goers)
        return {one.team: _fate(one.team in sure, one.team not in ever) for one in there}
    race = _Race(there, quota, ranges)
    uncrowded = [one for one in there if one.club not in crowded]
    found: dict[str, Advances] = {}
    for one in there:
        # Without those whose club may have no place left it goes on more easily: out there, it is out.
        alone = race if not crowded else _Race([*uncrowded, *([one] if one.club in crowded else [])], quota)
        rivals = [other for other in there if other.club == one.club and other is not one]
        free = sum(not (other.pool == one.pool and other.surely_behind(one)) for other in rivals) < quota.per_club
        found[one.team] = _fate(free and race.certain(one), alone.out(one))
    return found


def _fate(certain: bool, out: bool) -> Advances:
    return "certain" if certain else "out" if out else "possible"


class _Race:
    """Who is among the first of each pool, and how many others can be ahead: whatever clubs they are of."""

    def __init__(
        self, there: Sequence[Contender], quota: Quota, ranges: Mapping[str, tuple[int, int]] | None = None
    ) -> None:
        self.first, self.pools = quota.first, defaultdict[str, list[Contender]](list)
        for one in there:
            self.pools[one.pool].append(one)
        self.places = {team: ends for own in self.pools.values() for team, ends in place_ranges(_own(own)).items()} | {
            team: ends for team, ends in (ranges or {}).items() if team in {one.team for one in there}
        }
        self.sure = {team for team, (_, worst) in self.places.items() if worst <= self.first}
        self.never = {team for team, (best, _) in self.places.items() if best > self.first}
        self.free = {  # places of each pool that nobody has for certain
            pool: min(self.first, len(own)) - sum(one.team in self.sure for one in own)
            for pool, own in self.pools.items()
        }
        self.left = quota.places - sum(min(self.first, len(own)) for own in self.pools.values())

    def certain(self, one: Contender) -> bool:
        """Whether it has a place even behind all who can be ahead of it."""
        return one.team in self.sure or self._most_ahead(one) < self.left

    def out(self, one: Contender) -> bool:
        """Whether those who are ahead of it for certain leave no place."""
        return one.team in self.never and self._fewest_ahead(one) >= self.left

    def _fewest_ahead(self, one: Contender) -> int:
        """Others, not among the first of their pools, who are ahead of it in any case."""
        ahead = 0
        for pool, open_ in self._open(one):
            surely = [other for other in open_ if one.surely_behind(other)]
            among_first = sum(other.team not in self.never for other in surely)
            ahead += len(surely) - min(self.free[pool], among_first)
        return ahead

    def _most_ahead(self, one: Contender) -> int:
        """Others who can be ahead of it, given that it is not among the first of its own pool."""
        ahead = 0
        for pool, open_ in self._open(one):
            perhaps = [other for other in open_ if one.perhaps_behind(other)]
            elsewhere = sum(other.team not in self.never for other in open_) - sum(
                other.team not in self.never for other in perhaps
            )
            ahead += len(perhaps) - max(0, self.free[pool] - elsewhere)
        return ahead

    def _open(self, one: Contender) -> Iterator[tuple[str, list[Contender]]]:
        """Pool -> all but those who are among its first for certain, and but this one."""
        for pool, own in self.pools.items():
            yield pool, [other for other in own if other.team not in self.sure and other is not one]


def _own(teams: Sequence[Contender]) -> dict[str, Span]:
    return {one.team: one.own for one in teams}


def _orders(there: Sequence[Contender]) -> list[tuple[Contender, ...]] | None:
    """Every order, best first, that level teams can come to; None while sheets are missing, or where there are many."""
    if any(one.own.least < one.own.most or one.across.least < one.across.most for one in there):
        return None
    level: dict[Fraction, list[Contender]] = defaultdict(list)
    for one in there:
        level[-one.across.most].append(one)
    own = {(one.pool, one.own.most): one.across for one in there}
    if any(own[one.pool, one.own.most] != one.across for one in there):
        return None  # level in their pool alone
    groups = [level[worth] for worth in sorted(level)]
    if prod(factorial(len(group)) for group in groups) > MOST_ORDERS:
        return None
    ways = [[order for order in permutations(group) if _as_in_pools(order)] for group in groups]
    return [tuple(chain.from_iterable(order)) for order in product(*ways)]


def _as_in_pools(order: Sequence[Contender]) -> bool:
    last: dict[str, Span] = {}
    for one in order:
        if one.pool in last and one.own.most > last[one.pool].most:
            return False
        last[one.pool] = one.own
    return True


def _walked(order: Sequence[Contender], quota: Quota) -> set[str]:
    """Who goes on by one order of all."""
    place: dict[str, int] = {}
    seen: Counter[str] = Counter()
    for one in order:
        seen[one.pool] += 1
        place[one.team] = seen[one.pool]
    of_pool, of_club = Counter[str](), Counter[str]()
    going: set[str] = set()
    for one in sorted(order, key=lambda one: place[one.team]):  # stable: of one place in the order of all
        if of_pool[one.pool] < quota.first and of_club[one.club] < quota.per_club and len(going) < quota.places:
            of_pool[one.pool] += 1
            of_club[one.club] += 1
            going.add(one.team)
    for one in order:
        if one.team not in going and of_club[one.club] < quota.per_club and len(going) < quota.places:
            of_club[one.club] += 1
            going.add(one.team)
    return going
