"""What is known of each team heat by heat, and section by section."""

from collections import Counter
from collections.abc import Iterable, Iterator
from fractions import Fraction

from tourney.model.calls import CallBook
from tourney.model.standing import HeatStanding
from tourney.scoring.heats import HeatScore
from tourney.scoring.table import Meeting, Table

MISSED = frozenset("LW")
Sections = dict[str, tuple[int, int]]  # key -> found, heard


def heat_standings(scores: Iterable[HeatScore], table: Table) -> Iterator[HeatStanding]:
    """A row a team and heat, in the order of the scores. table: of the same heats."""
    for score in scores:
        for one in score.teams:
            made = one.made
            yield HeatStanding(
                score.heat.id,
                one.round,
                one.team,
                made.points,
                Fraction(one.available),
                made.clean_calls,
                made.late,
                made.wrong_place,
                made.spoken,
                made.handling,
                sum(table.earned(Meeting(one, other)) for other in score.teams if other is not one),
                one.counted,
                one.known,
            )


def sections_found(scores: Iterable[HeatScore], book: CallBook) -> dict[str, Sections]:
    """Team -> section -> how often its children found what was called from it, of the times they were there.

    Found: in time and in the right place, as the panel said. A call that is open, on which the panel agreed neither
    way, or that was made void, counts on neither side. Sections stand in the order in which they were first called.
    """
    found: dict[str, Counter[str]] = {}
    heard: dict[str, Counter[str]] = {}
    order: dict[str, None] = {}
    for score in scores:
        section = {call.no: call.section for call in book.set[score.heat.call_set].calls}
        order |= dict.fromkeys(section.values())
        team = {line: one.team for line, one in enumerate(score.contestants, 1)}
        for (line, call), said in score.calls.items():
            if said.settled and (said.letters or said.clean) and "N" not in said.letters:
                heard.setdefault(team[line], Counter())[section[call]] += 1
                found.setdefault(team[line], Counter())[section[call]] += not MISSED & set(said.letters)
    return {team: {key: (found[team][key], times[key]) for key in order if times[key]} for team, times in heard.items()}
