"""Who reaches the finals from several pools: certain, possible or out.

The best `first` of each pool go on, in the order of their places in the pools; then the best others, until `places` are
taken; of one club no more than `per_club`. A pool's place that a full club can't take goes to the next of that pool.
"""

from bisect import bisect_left, bisect_right
from collections import Counter, defaultdict
from collections.abc import Iterable, Mapping, Sequence
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
    # Without those whose club may have no place left a team goes on more easily: who is out there, is out.
    uncrowded = _Race([one for one in there if one.club not in crowded], quota) if crowded else race
    found: dict[str, Advances] = {}
    for one in there:
        behind = sum(other.club == one.club and other.own.most < one.own.least for other in race.pools[one.pool].teams)
        free = size[one.club] - 1 - behind < quota.per_club
        found[one.team] = _fate(free and race.certain(one), uncrowded.out(one))
    return found


def _fate(certain: bool, out: bool) -> Advances:
    return "certain" if certain else "out" if out else "possible"


class _Ends:
    """Worths of some teams: how many of them are ahead of one, surely or perhaps."""

    def __init__(self, spans: Iterable[Span]) -> None:
        spans = tuple(spans)
        self.least = sorted(span.least for span in spans)
        self.most = sorted(span.most for span in spans)

    def surely(self, one: Span) -> int:
        """Those who have more, whatever comes."""
        return len(self.least) - bisect_right(self.least, one.most)

    def perhaps(self, one: Span) -> int:
        """Those who can come to have more, or as much."""
        return len(self.most) - bisect_left(self.most, one.least)


class _Pool:
    """One pool: who is among its first, and how the others compare.

    sure: among the first for certain. free: places that nobody has for certain. open: who is not sure. able: who of
    these can still be among the first.
    """

    def __init__(
        self, teams: Sequence[Contender], first: int, ranges: Mapping[str, tuple[int, int]] | None = None
    ) -> None:
        self.teams, self.first = teams, min(first, len(teams))
        places = place_ranges({one.team: one.own for one in teams})
        places |= {one.team: ranges[one.team] for one in teams if ranges and one.team in ranges}
        self.sure = {team for team, (_, worst) in places.items() if worst <= first}
        self.free = self.first - len(self.sure)
        self.open = {one.team for one in teams} - self.sure
        self.able = {team for team in self.open if places[team][0] <= first}
        self.own = _Ends(one.own for one in teams)
        open_ = [one for one in teams if one.team in self.open]
        able = [one for one in teams if one.team in self.able]
        self.ends = {
            True: (_Ends(one.own for one in open_), _Ends(one.own for one in able)),
            False: (_Ends(one.across for one in open_), _Ends(one.across for one in able)),
        }

    def fewest_ahead(self, one: Contender, *, inside: bool) -> int:
        """Others than its first who are ahead of a team in any case. inside: it is of this pool."""
        every, able = self.ends[inside]
        span = one.own if inside else one.across
        return every.surely(span) - min(self.free, able.surely(span))

    def most_ahead(self, one: Contender, *, inside: bool) -> int:
        """Others than its first who can be ahead of a team, which is not among the first itself."""
        every, able = self.ends[inside]
        span = one.own if inside else one.across
        elsewhere = len(self.able) - able.perhaps(span)  # the team itself is in both, or in neither
        return every.perhaps(span) - (one.team in self.open) - max(0, self.free - elsewhere)


class _Race:
    """Who is among the first of each pool, and how many others can be ahead: whatever clubs they are of."""

    def __init__(
        self, there: Sequence[Contender], quota: Quota, ranges: Mapping[str, tuple[int, int]] | None = None
    ) -> None:
        teams: dict[str, list[Contender]] = defaultdict(list)
        for one in there:
            teams[one.pool].append(one)
        self.first = quota.first
        self.pools = {name: _Pool(own, quota.first, ranges) for name, own in teams.items()}
        self.left = quota.places - sum(pool.first for pool in self.pools.values())

    def certain(self, one: Contender) -> bool:
        """Whether it has a place even behind all who can be ahead of it."""
        if one.team in self.pools[one.pool].sure:
            return True
        return sum(pool.most_ahead(one, inside=name == one.pool) for name, pool in self.pools.items()) < self.left

    def out(self, one: Contender) -> bool:
        """Whether those who are ahead of it for certain leave no place; it need not be one of those in this race.

        That it is there or not changes nothing for the others: as many as are among the first of its pool are ahead.
        """
        own = self.pools.get(one.pool)
        if own is None or one.team in own.sure | own.able:
            return False
        if one.team not in own.open and own.own.surely(one.own) < self.first:
            return False
        return sum(pool.fewest_ahead(one, inside=name == one.pool) for name, pool in self.pools.items()) >= self.left


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
