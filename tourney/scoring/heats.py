"""One heat: what every contestant and every team made in it."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction

from tourney.model.calls import Call, CallBook, CallSet
from tourney.model.decisions import NO_DECISIONS, Decisions
from tourney.model.event import Division
from tourney.model.plan import Heat, Plan
from tourney.model.sheet import FilledSheet
from tourney.model.sheet_layout import sheet_code
from tourney.model.totals import HeatTotal
from tourney.scoring.marks import Mark, reading_of
from tourney.scoring.panel import Joint, joint, ruled
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
    """One team in one heat. made: of its counting members alone.

    available, hardest: points of all calls, and of the hardest third, as if all counting places were filled.
    counted: False where the points alone are known, and nothing of single calls.
    """

    team: str
    round: int
    made: Tally
    least: Fraction
    most: Fraction
    available: int
    hardest: int
    counted: bool = True

    @property
    def known(self) -> bool:
        """Whether anything is known of what it made here."""
        return self.least == self.most or self.made != Tally()


@dataclass(frozen=True, slots=True)
class HeatScore:
    """All of one heat, as it was really held: see Decisions.

    sheets: one a judge, None while missing. calls: (line, call) -> what the panel says; no call that was made void.
    totals: what the room added up, for all teams or none.
    """

    heat: Heat
    sheets: tuple[FilledSheet | None, ...]
    calls: dict[tuple[int, int], Joint]
    contestants: tuple[ContestantHeat, ...]
    teams: tuple[TeamHeat, ...]
    totals: tuple[HeatTotal, ...] = ()

    @property
    def by_totals(self) -> bool:
        """Whether nothing but the room's totals is known."""
        return bool(self.totals) and not any(self.sheets)

    @property
    def settled(self) -> bool:
        """Whether no judge still to be heard can change anything."""
        return all(call.settled for call in self.calls.values())


def score_heats(
    plan: Plan, book: CallBook, sheets: Iterable[FilledSheet], decisions: Decisions = NO_DECISIONS
) -> tuple[HeatScore, ...]:
    """Every rotation heat of the plan, in the plan's order, with what is known of it.

    sheets: at most one a judge and heat. ValueError for two, and for a sheet of a heat or judge not in the plan.
    """
    filed = _by_seat(plan, sheets)
    team_of = {member: team.id for team in plan.teams for member in team.members}
    divisions = {division.name: division for division in plan.event.divisions}
    return tuple(
        score_heat(heat, divisions[heat.division], book.set[heat.call_set], team_of, filed, decisions)
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
    planned: Heat,
    division: Division,
    calls: CallSet,
    team_of: dict[str, str],
    filed: dict[tuple[str, int], FilledSheet],
    decisions: Decisions,
) -> HeatScore:
    """One heat's score. team_of: contestant id -> team id. filed: (heat, judge) -> sheet."""
    heat, heard = decisions.as_stood(planned), decisions.heard(planned.id, calls)
    sheets = tuple(filed.get((heat.id, judge)) for judge in range(1, len(heat.judges) + 1))
    readings = [
        (judge, reading_of(sheet, decisions.corrected))
        for judge, sheet in enumerate(sheets, start=1)
        if sheet is not None or sheet_code(heat.id, judge) not in decisions.lost
    ]
    line = list(enumerate(heat.line, start=1))
    watching = {number: [read for judge, read in readings if division.watches(judge, number)] for number, _ in line}

    def panel(line: int, child: str, call: int) -> Joint:
        word = _ruled_word(decisions, heat.id, line, child, call)
        if word is not None:
            return ruled(word, division.points)
        return joint(tuple(read(line, call) for read in watching[line]), division.panel, division.points)

    said = {(number, call.no): panel(number, child, call.no) for number, child in line for call in heard}
    hard, worth = hardest_third(heard), division.points.call
    contestants = []
    for number, child in line:
        team = team_of[child]
        own = [(call.no in hard, said[number, call.no]) for call in heard if child not in decisions.disqualified]
        least, most = sum((call.least for _, call in own), Fraction()), sum((call.most for _, call in own), Fraction())
        contestants.append(ContestantHeat(child, team, _tally(own), least, most, len(heard) * worth))
    available, hardest = len(heard) * worth, len(hard) * worth
    teams = tuple(
        _team_heat(team, heat.round, [one for one in contestants if one.team == team], division, available, hardest)
        for team in heat.teams
    )
    return HeatScore(heat, sheets, said, tuple(contestants), teams)


def _ruled_word(decisions: Decisions, heat: str, line: int, child: str, call: int) -> Mark | None:
    """What a ruling says of a cell, None where the judges decide."""
    absent: Mark | None = ("N",) if (heat, child) in decisions.absent else None
    return decisions.settled.get((heat, line, call), absent)


def hardest_third(calls: Sequence[Call]) -> frozenset[int]:
    """Numbers of the hardest third of these calls, rounded down but one at least; equally hard: the earlier one."""
    ranked = sorted(calls, key=lambda call: (-call.difficulty, call.no))
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
    team: str, round_: int, members: Sequence[ContestantHeat], division: Division, available: int, hardest: int
) -> TeamHeat:
    """The best `counting` members; a place that nobody fills scores 0."""
    best, places = best_first(members, division), division.counting
    return TeamHeat(
        team,
        round_,
        total([child.made for child in best[:places]]),
        least=sum(sorted((child.least for child in members), reverse=True)[:places], Fraction()),
        most=sum(sorted((child.most for child in members), reverse=True)[:places], Fraction()),
        available=places * available,
        hardest=places * hardest,
    )


def best_first(members: Sequence[ContestantHeat], division: Division) -> list[ContestantHeat]:
    """Members of a team, those first who count for it.

    Of members level on points those count who help the team most by its own tie-breaks: such a choice has the best
    sum too, because sums compared in a fixed order of criteria keep that order.
    """
    wanted = ("points", *(name for name in division.tie_breaks if name in OWN))
    return sorted(members, key=lambda child: ([-OWN[name](child.made) for name in wanted], child.contestant))
