"""Who reaches the finals: certain, possible or out."""

from bisect import bisect_left, bisect_right
from collections import Counter, defaultdict
from collections.abc import Mapping, Sequence
from fractions import Fraction

from tourney.model.standing import Advances
from tourney.scoring.ranges import Span


class Ahead:
    """How many of the finals' places the best n teams of an order take, with at most `per_club` of one club."""

    def __init__(self, order: Sequence[str], club: Mapping[str, str], per_club: int) -> None:
        counts: Counter[str] = Counter()
        self.taken = [0]
        self.of_club: dict[str, list[int]] = defaultdict(list)
        self.per_club, self.club = per_club, club
        for at, team in enumerate(order):
            counts[club[team]] += 1
            self.of_club[club[team]].append(at)
            self.taken.append(self.taken[-1] + (counts[club[team]] <= per_club))

    def places(self, n: int, team: str, *, without: bool) -> tuple[int, int]:
        """(places taken by the first n, teams of this team's club among them); without: as if it were not there."""
        own = bisect_left(self.of_club[self.club[team]], n)
        taken = self.taken[n]
        return (taken - (own <= self.per_club), own - 1) if without else (taken, own)


def advancing(spans: Mapping[str, Span], club: Mapping[str, str], advance: int, per_club: int) -> dict[str, Advances]:
    """Team -> certain, possible or out, when the best `advance` go on, at most `per_club` of one club.

    Certain: even behind all who can have as much there is a place. Out: those who surely have more leave none. Between
    level teams nothing is certain: a tie at the last place that advances is possible for all of them.
    """
    sure = sorted(spans, key=lambda team: -spans[team].least)
    can = sorted(spans, key=lambda team: -spans[team].most)
    surely, possibly = Ahead(sure, club, per_club), Ahead(can, club, per_club)
    least: list[Fraction] = [-spans[team].least for team in sure]
    most: list[Fraction] = [-spans[team].most for team in can]
    found: dict[str, Advances] = {}
    for team, span in spans.items():
        taken, own = surely.places(bisect_left(least, -span.most), team, without=False)
        if taken >= advance or own >= per_club:
            found[team] = "out"
            continue
        taken, own = possibly.places(bisect_right(most, -span.least), team, without=True)
        found[team] = "certain" if taken < advance and own < per_club else "possible"
    return found


def reaching(
    spans: Mapping[str, Span],
    parts: Mapping[str, Span],
    floor: Fraction,
    club: Mapping[str, str],
    advance: int,
    per_club: int,
) -> dict[str, Advances]:
    """As `advancing`, of those alone who have a part of the points available. parts: what each still can have of them.

    Who may fall short is never certain, and makes nobody else out; who surely does is out, and in nobody's way.
    """
    able = {team: span for team, span in spans.items() if parts[team].most >= floor}
    sure = {team: span for team, span in able.items() if parts[team].least >= floor}
    with_all, with_sure = (advancing(there, club, advance, per_club) for there in (able, sure))
    short: dict[str, Advances] = dict.fromkeys(spans, "out")
    return short | with_a_floor(with_all, with_sure)


def with_a_floor(with_all: Mapping[str, Advances], with_sure: Mapping[str, Advances]) -> dict[str, Advances]:
    """Who reaches the finals among those who may have enough: as if all of them had, and as if only who surely has."""

    def fate(team: str) -> Advances:
        if team in with_sure and with_all[team] == "certain":
            return "certain"
        return "out" if with_sure.get(team) == "out" else "possible"

    return {team: fate(team) for team in with_all}


def sharpened(
    found: Mapping[str, Advances],
    ranges: Mapping[str, tuple[int, int]],
    club: Mapping[str, str],
    advance: int,
    per_club: int,
) -> dict[str, Advances]:
    """What `advancing` found, and what is known of places beyond it, where no club has more teams than may go on."""
    if max(Counter(club[team] for team in found).values(), default=0) > per_club:
        return dict(found)
    told: dict[str, Advances] = {}
    for team, now in found.items():
        best, worst = ranges[team]
        told[team] = "certain" if worst <= advance else "out" if best > advance else now
    return told
