"""One heat: what every contestant and every team made in it."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction

from tourney.model.calls import CallBook, CallSet
from tourney.model.event import Division
from tourney.model.plan import Heat, Plan
from tourney.model.sheet import FilledSheet
from tourney.scoring.marks import reading_of
from tourney.scoring.panel import Joint, joint
from tourney.scoring.tally import OWN, Tally, total


@dataclass(frozen=True, slots=True)
class ContestantHeat:
    """One contestant in one heat. least, most: what the points can still become. available: points of all calls."""

    contestant: str
    team: str
    made: Tally
    least: Fraction
    most: Fraction
    available: int


@dataclass(frozen=True, slots=True)
class TeamHeat:
    """One team in one heat. made: of its counting members alone. available: as if all counting places were filled."""

    team: str
    round: int
    made: Tally
    least: Fraction
    most: Fraction
    available: int


@dataclass(frozen=True, slots=True)
class HeatScore:
    """All of one heat. sheets: one a judge, None while missing. calls: (line, call) -> what the panel says."""

    heat: Heat
    sheets: tuple[FilledSheet | None, ...]
    calls: dict[tuple[int, int], Joint]
    contestants: tuple[ContestantHeat, ...]
    teams: tuple[TeamHeat, ...]

    @property
    def settled(self) -> bool:
        """Whether no judge still to be heard can change anything."""
        return all(call.settled for call in self.calls.values())


def score_heats(plan: Plan, book: CallBook, sheets: Iterable[FilledSheet]) -> tuple[HeatScore, ...]:
    """Every rotation heat of the plan, in the plan's order, with what is known of it.

    sheets: at most one a judge and heat. ValueError for two, and for a sheet of a heat or judge not in the plan.
    """
    filed = _by_seat(plan, sheets)
    team_of = {member: team.id for team in plan.teams for member in team.members}
    divisions = {division.name: division for division in plan.event.divisions}
    return tuple(
        score_heat(heat, divisions[heat.division], book.set[heat.call_set], team_of, filed)
        for heat in plan.heats
        if book.set[heat.call_set].use == "rotation"
    )


def _by_seat(plan: Plan, sheets: Iterable[FilledSheet]) -> dict[tuple[str, int], FilledSheet]:
    filed: dict[tuple[str, int], FilledSheet] = {}
    for sheet in sheets:
        seat = sheet.heat, sheet.judge
        if sheet.heat not in plan.heat or not 1 <= sheet.judge <= len(plan.heat[sheet.heat].judges):
            raise ValueError(f"sheet {sheet.code} belongs to no judge and heat of the plan")
        if seat in filed:
            raise ValueError(f"two sheets of judge {sheet.judge} for heat {sheet.heat}")
        filed[seat] = sheet
    return filed


def score_heat(
    heat: Heat,
    division: Division,
    calls: CallSet,
    team_of: dict[str, str],
    filed: dict[tuple[str, int], FilledSheet],
) -> HeatScore:
    """One heat's score. team_of: contestant id -> team id. filed: (heat, judge) -> sheet."""
    sheets = tuple(filed.get((heat.id, judge)) for judge in range(1, len(heat.judges) + 1))
    readings = [reading_of(sheet) for sheet in sheets]
    said = {
        (line, call.no): joint(tuple(read(line, call.no) for read in readings), division.panel, division.points)
        for line in range(1, len(heat.line) + 1)
        for call in calls.calls
    }
    hard, available = hardest_third(calls), len(calls.calls) * division.points.call
    contestants = []
    for line, child in enumerate(heat.line, start=1):
        own = [(call.no in hard, said[line, call.no]) for call in calls.calls]
        least, most = sum((call.least for _, call in own), Fraction()), sum((call.most for _, call in own), Fraction())
        contestants.append(ContestantHeat(child, team_of[child], _tally(own), least, most, available))
    teams = tuple(
        _team_heat(team, heat.round, [child for child in contestants if child.team == team], division, available)
        for team in heat.teams
    )
    return HeatScore(heat, sheets, said, tuple(contestants), teams)


def hardest_third(calls: CallSet) -> frozenset[int]:
    """Numbers of the hardest third of a set's calls, rounded down but one at least; equally hard: the earlier one."""
    ranked = sorted(calls.calls, key=lambda call: (-call.difficulty, call.no))
    return frozenset(call.no for call in ranked[: max(1, len(ranked) // 3)])


def _tally(own: Sequence[tuple[bool, Joint]]) -> Tally:
    letters = [letter for _, call in own for letter in call.letters]
    return Tally(
        points=sum((call.points for _, call in own), Fraction()),
        hardest=sum((call.points for hard, call in own if hard), Fraction()),
        clean_calls=sum(call.clean for _, call in own),
        wrong_place=letters.count("W"),
        late=letters.count("L"),
        spoken=letters.count("S"),
        handling=letters.count("H"),
    )


def _team_heat(
    team: str, round_: int, members: Sequence[ContestantHeat], division: Division, available: int
) -> TeamHeat:
    """The best `counting` members; a place that nobody fills scores 0.

    Of members level on points those count who help the team most by its own tie-breaks: such a choice has the best
    sum too, because sums compared in a fixed order of criteria keep that order.
    """
    wanted = ("points", *(name for name in division.tie_breaks if name in OWN))
    best = sorted(members, key=lambda child: ([-OWN[name](child.made) for name in wanted], child.contestant))
    places = division.counting
    return TeamHeat(
        team,
        round_,
        total([child.made for child in best[:places]]),
        least=sum(sorted((child.least for child in members), reverse=True)[:places], Fraction()),
        most=sum(sorted((child.most for child in members), reverse=True)[:places], Fraction()),
        available=places * available,
    )
