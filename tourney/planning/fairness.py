"""The fairness page: what a plan is worth, each figure beside what counting proves possible.

Measured from the finished heats alone. A line with a limit is fine up to it; one without only reports.
"""

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from datetime import datetime, timedelta
from itertools import pairwise
from math import ceil

import networkx as nx

from tourney.model.event import Division, Event
from tourney.model.people import Official, Roster, Team
from tourney.model.plan import Bye, FairnessLine, Heat, Wave
from tourney.planning.early_late import early_late
from tourney.planning.pools import by_pool
from tourney.planning.rotation.measure import Measures, measure
from tourney.planning.ties import Ties, plain

ALL = "all"


class Fairness:
    """All lines of a plan's schedule and officials. finish_bound: the moment before which no timetable can end."""

    def __init__(
        self,
        event: Event,
        roster: Roster,
        waves: Sequence[Wave],
        heats: Sequence[Heat],
        byes: Sequence[Bye],
        finish_bound: datetime,
    ) -> None:
        self.event, self.roster, self.heats, self.byes = event, roster, heats, byes
        self.finish_bound = finish_bound
        self.wave = {wave.id: wave for wave in waves}
        self.mine: dict[str, list[Heat]] = {team.id: [] for team in roster.teams}
        for heat in sorted(heats, key=lambda heat: self.wave[heat.wave].start):
            for team in heat.teams:
                self.mine[team].append(heat)

    def lines(self) -> tuple[FairnessLine, ...]:
        """Division by division, then the whole day."""
        found: list[FairnessLine] = []
        for division in self.event.divisions:
            teams = [team for team in self.roster.teams if team.division == division.name]
            if teams:
                found += self._division(division, teams)
        return (*found, *self._day())

    def _division(self, division: Division, teams: Sequence[Team]) -> Iterator[FairnessLine]:
        name = division.name
        yield from self._meetings(name, teams)
        yield from self._rooms(name, teams)
        yield self._sides(name, teams)
        yield self._early_late(name)
        yield from self._judges(name, teams)
        waits = {team.id: self._waiting(team.id) for team in teams if self.mine[team.id]}
        if waits:
            least, most = _ends(waits)
            yield FairnessLine("least_minutes_waiting", name, waits[least], None, None, True, least)
            yield FairnessLine("most_minutes_waiting", name, waits[most], None, None, True, most)

    def _meetings(self, division: str, teams: Sequence[Team]) -> Iterator[FairnessLine]:
        found = [self._measured(division, own) for own in by_pool(teams).values()]
        repeats, least = sum(one.repeats for one in found), sum(one.repeats_bound for one in found)
        most = max(found, key=lambda one: one.most_met)
        pair = "-".join(most.most_met_pair) if most.most_met_pair and most.most_met > 1 else ""
        # Counting proves that no plan has fewer, not that one with so few exists: above the bound there is no limit.
        yield FairnessLine(
            "repeated_meetings", division, repeats, least if repeats == least else None, least, True, pair
        )
        own_club, fewest = sum(one.own_club for one in found), sum(one.own_club_bound for one in found)
        where = [heat.id for heat in self.heats if heat.division == division and self._own_club(heat)]
        yield _line("same_club_meetings", division, own_club, fewest, " ".join(where[:3]))
        yield self._byes(division, teams)
        if len(found) > 1:
            yield _clubs_over_pools(division, teams)

    def _measured(self, division: str, teams: Sequence[Team]) -> Measures:
        """The heats among these teams: all of a division, or of a pool."""
        clubs = {team.id: team.club for team in teams}
        own = [heat for heat in self.heats if heat.division == division and not clubs.keys().isdisjoint(heat.teams)]
        order = sorted({heat.round for heat in own})
        rounds = [[heat.teams for heat in own if heat.round == number] for number in order]
        away = [
            [bye.team for bye in self.byes if (bye.division, bye.round) == (division, number) and bye.team in clubs]
            for number in order
        ]
        return measure(rounds, away, clubs)

    def _byes(self, division: str, teams: Sequence[Team]) -> FairnessLine:
        """Bound: the byes of each pool shared out among its own teams."""
        resting = Counter({team.id: 0 for team in teams})
        resting.update(bye.team for bye in self.byes if bye.division == division)
        shared = [(sum(resting[team.id] for team in own), len(own)) for own in by_pool(teams).values()]
        uneven = max(ceil(byes / there) for byes, there in shared) - min(byes // there for byes, there in shared)
        least, most = _ends(resting)
        worst = most if self.byes else ""
        return _line("byes_most_less_fewest", division, resting[most] - resting[least], uneven, worst)

    def _own_club(self, heat: Heat) -> bool:
        clubs = [self.roster.team[team].club for team in heat.teams]
        return len(set(clubs)) < len(clubs)

    def _rooms(self, division: str, teams: Sequence[Team]) -> Iterator[FairnessLine]:
        visits = {team.id: Counter(heat.room for heat in self.mine[team.id]) for team in teams if self.mine[team.id]}
        if visits:
            there = len(self.event.rooms)
            fewest, _ = _ends({team: len(seen) for team, seen in visits.items()})
            bound = min(min(seen.total(), there) for seen in visits.values())
            yield FairnessLine("fewest_rooms_of_a_team", division, len(visits[fewest]), None, bound, True, fewest)
            most = {team: max(seen.values()) for team, seen in visits.items()}
            _, busiest = _ends(most)
            again = max(ceil(seen.total() / there) for seen in visits.values())
            yield FairnessLine("most_visits_to_one_room", division, most[busiest], None, again, True, busiest)

    def _sides(self, division: str, teams: Sequence[Team]) -> FairnessLine:
        """Left end of the line less right end, for the team where they differ most."""
        tilt = {
            team.id: sum((heat.teams[0] == team.id) - (heat.teams[-1] == team.id) for heat in self.mine[team.id])
            for team in teams
        }
        worst = _ends({team: abs(off) for team, off in tilt.items()})[1]
        odd = any(sum(len(heat.teams) > 1 for heat in self.mine[team.id]) % 2 for team in teams)
        return FairnessLine("sides_of_the_line", division, abs(tilt[worst]), 1, int(odd), abs(tilt[worst]) <= 1, worst)

    def _early_late(self, division: str) -> FairnessLine:
        heats = [heat for heat in self.heats if heat.division == division]
        found = early_late(heats, self.wave, self.event.day.rest)
        worst = _ends({team: abs(off) for team, off in found.tilt.items()})[1] if heats else ""
        measured = abs(found.tilt[worst]) if heats else 0
        return FairnessLine("late_less_early_heats", division, measured, None, found.bound, True, worst)

    def _judges(self, division: str, teams: Sequence[Team]) -> Iterator[FairnessLine]:
        met = Counter(
            (team, judge)
            for heat in self.heats
            if heat.division == division
            for team in heat.teams
            for judge in heat.judges
        )
        if not met:
            return
        able = [official for official in self.roster.officials if _may_judge(official)]
        ties = Ties(able)
        free = {team.id: len(able) - len(ties.to([team])) for team in teams}
        seats = {team.id: sum(len(heat.judges) for heat in self.mine[team.id]) for team in teams}
        bound = max(ceil(seats[team] / free[team]) for team in seats if free[team])
        worst = min(met, key=lambda pair: (-met[pair], pair))
        yield FairnessLine(
            "one_judge_meets_one_team", division, met[worst], bound + 1, bound, met[worst] <= bound + 1, "-".join(worst)
        )
        graph: nx.Graph[tuple[str, str]] = nx.Graph()  # a team and an official may have the same id
        graph.add_edges_from((("team", team), ("judge", judge)) for team, judge in met)
        parts = nx.number_connected_components(graph)
        apart = "" if parts == 1 else "strict and lenient judges can't be told from strong and weak teams"
        yield _line("parts_of_the_team_judge_graph", division, parts, 1, apart)

    def _waiting(self, team: str) -> int:
        waves = [self.wave[heat.wave] for heat in self.mine[team]]
        idle = waves[-1].end - waves[0].start - sum((timedelta(minutes=wave.minutes) for wave in waves), timedelta())
        return int(idle.total_seconds() // 60)

    def _day(self) -> Iterator[FairnessLine]:
        rests = {
            f"{team} {before.id} {after.id}": int(
                (self.wave[after.wave].start - self.wave[before.wave].end).total_seconds() // 60
            )
            for team, heats in self.mine.items()
            for before, after in pairwise(heats)
        }
        if rests:
            least, _ = _ends(rests)
            limit = self.event.day.rest
            yield FairnessLine("least_minutes_of_rest", ALL, rests[least], limit, None, rests[least] >= limit, least)
        work = Counter({official.id: 0 for official in self.roster.officials if official.cleared})
        work.update(person for heat in self.heats for _, person in heat.seats if person)
        if work:
            idle, busy = _ends(work)
            yield FairnessLine(
                "most_heats_of_an_official", ALL, work[busy], None, ceil(work.total() / len(work)), True, busy
            )
            yield FairnessLine(
                "fewest_heats_of_an_official", ALL, work[idle], None, work.total() // len(work), True, idle
            )
            yield self._row_of_waves(len(work))
        if self.wave:
            finish = max(wave.end for wave in self.wave.values())
            bound = f"{self.finish_bound:%H:%M}"
            yield FairnessLine("finish", ALL, f"{finish:%H:%M}", None, bound, True, "")

    def _row_of_waves(self, people: int) -> FairnessLine:
        """Waves that somebody serves in a row; a pause of the hall ends a row. people: who may serve at all.

        Bound: of one wave more than that, nobody serves in all, so that people must be enough for its seats.
        """
        at_work: dict[str, list[str]] = {wave: [] for wave in sorted(self.wave, key=lambda key: self.wave[key].start)}
        for heat in self.heats:
            at_work[heat.wave] += [person for _, person in heat.seats if person]
        pauses = {pause.after_wave for pause in self.event.day.pauses}
        stretches: list[list[list[str]]] = [[]]
        for number, serving in enumerate(at_work.values(), 1):
            stretches[-1].append(serving)
            if number in pauses:
                stretches.append([])
        row: Counter[str] = Counter()
        for stretch in stretches:
            running: Counter[str] = Counter()
            for serving in stretch:
                running = Counter({person: running[person] + 1 for person in serving})
                row |= running
        worst = _ends(row)[1] if row else ""
        seats = [[len(serving) for serving in stretch] for stretch in stretches]
        bound = max(least_in_a_row(counts, people) for counts in seats)
        return FairnessLine("most_waves_in_a_row_of_an_official", ALL, row[worst], None, bound, True, worst)


def least_in_a_row(seats: Sequence[int], people: int) -> int:
    """Seats of waves one after the other: fewest waves that somebody must serve in a row."""
    least = int(any(seats))
    while any(sum(seats[at : at + least + 1]) > least * people for at in range(len(seats) - least)):
        least += 1
    return least


def _clubs_over_pools(division: str, teams: Sequence[Team]) -> FairnessLine:
    """How unevenly a club's teams are dealt over the pools, the most uneven club."""
    pools = by_pool(teams)
    held = {
        team.club: Counter(other.pool for other in teams if plain(other.club) == plain(team.club)) for team in teams
    }
    spread = {club: max(held[club][pool] for pool in pools) - min(held[club][pool] for pool in pools) for club in held}
    bound = max(int(there.total() % len(pools) > 0) for there in held.values())
    worst = _ends(spread)[1]
    return _line("club_teams_in_one_pool_most_less_fewest", division, spread[worst], bound, worst)


def _may_judge(official: Official) -> bool:
    return official.cleared and (not official.roles or "judge" in official.roles)


def _line(name: str, scope: str, measured: int, bound: int, worst: str) -> FairnessLine:
    """A line whose limit is its bound."""
    return FairnessLine(name, scope, measured, bound, bound, measured <= bound, worst)


def _ends(values: Mapping[str, float]) -> tuple[str, str]:
    """Whoever has least, and whoever has most; by id where level."""
    return min(values, key=lambda key: (values[key], key)), min(values, key=lambda key: (-values[key], key))
