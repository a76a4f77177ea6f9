"""The scores call by call, as reviews need them."""

from collections.abc import Iterable, Iterator

from tourney.model.calls import CallBook
from tourney.model.decisions import NO_DECISIONS, Decisions
from tourney.model.heard import Heard, Word
from tourney.model.plan import Plan
from tourney.scoring.heats import HeatScore
from tourney.scoring.marks import points_of, reading_of
from tourney.scoring.panel import Joint


def heard_calls(
    plan: Plan, book: CallBook, scores: Iterable[HeatScore], decisions: Decisions = NO_DECISIONS
) -> tuple[Heard, ...]:
    """Every call of every contestant who stood in a line, in the order of scores, calls and lines.

    Void calls are not among them, nor heats that are known by totals alone.
    """
    return tuple(one for score in scores if not score.by_totals for one in _of_heat(plan, book, score, decisions))


def _of_heat(plan: Plan, book: CallBook, score: HeatScore, decisions: Decisions) -> Iterator[Heard]:
    heat, division = score.heat, plan.event.division(score.heat.division)
    calls = book.set[heat.call_set]
    speakers = dict(zip((call.no for call in calls.calls), book.speakers_of.get(heat.id, ()), strict=False))
    readings = [reading_of(sheet, decisions.corrected) for sheet in score.sheets]
    team_of = {one.contestant: one.team for one in score.contestants}
    for call in decisions.heard(heat.id, calls):
        for line, child in enumerate(heat.line, start=1):
            said = score.calls[line, call.no]
            marks = tuple(
                read(line, call.no) if division.watches(judge, line) else None
                for judge, read in enumerate(readings, start=1)
            )
            yield Heard(
                heat,
                line,
                child,
                team_of[child],
                call,
                speakers.get(call.no) == line,
                _word(said),
                said.points if said.settled else None,
                marks,
                tuple(None if mark is None else points_of(mark, division.points) for mark in marks),
            )


def _word(said: Joint) -> Word | None:
    """What the panel says; None while it is open, or where it is neither clean nor any one fault."""
    return said.letters if said.settled and (said.letters or said.clean) else None
