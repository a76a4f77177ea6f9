"""Fewer calls for a whole round, the same in every heat of it: which ones are left out of each set."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import replace
from itertools import combinations

from tourney.errors import Refusal
from tourney.model.calls import Call, CallSet
from tourney.model.plan import LeftOut
from tourney.planning.replan.changes import Fewer
from tourney.planning.replan.draft import Draft

PASSES = 4  # times that each section's choice is made anew, given the others


def with_fewer_calls(draft: Draft, fewer: Fewer) -> Draft:
    """So many calls in that round of every division in which it has not begun. Refusal where there is none."""
    if fewer.calls < 1:
        raise Refusal("A heat needs at least one call.")
    changed = [
        division.name
        for division in draft.event.divisions
        if _whole_round_open(draft, division.name, fewer.round)
        and fewer.calls < draft.calls_in(division.name, fewer.round)
    ]
    if not changed:
        raise Refusal(
            f"No division can have {fewer.calls} calls in round {fewer.round}: the round has begun, there is none, "
            "or it has no more calls than that.",
            cures=("Choose a later round: all heats of a round must have the same number of calls.",),
        )
    short = {**dict(draft.short), **{(division, fewer.round): fewer.calls for division in changed}}
    return replace(draft, short=tuple(sorted(short.items())))


def _whole_round_open(draft: Draft, division: str, number: int) -> bool:
    heats = [heat for heat in draft.heats if (heat.division, heat.round) == (division, number)]
    return bool(heats) and all(heat.wave not in draft.held for heat in heats)


def left_out(draft: Draft) -> tuple[LeftOut, ...]:
    """What is left out of each set of the shortened rounds: the same sections in each, and as hard as the whole set.

    What was left out before stays so where its number is right.
    """
    known = {row.call_set: row for row in draft.left_out}
    rows = []
    for (division, number), calls in draft.short:
        for found in draft.sets:
            if (found.division, found.round, found.use) == (division, number, "rotation"):
                gone = known.get(found.id)
                if gone is None or len(found.calls) - len(gone.calls) != calls:
                    stay = _kept(found.calls, _counts(found, calls))
                    gone = LeftOut(found.id, tuple(sorted({call.no for call in found.calls} - stay)))
                rows.append(gone)
    return tuple(sorted(rows, key=lambda row: row.call_set))


def _counts(like: CallSet, calls: int) -> dict[str, int]:
    """Calls a section that stay: in proportion, the largest remainders first (Hamilton), then in the list's order."""
    have = Counter(call.section for call in like.calls)
    whole = len(like.calls)
    stay = {section: calls * number // whole for section, number in have.items()}
    remainders = sorted(stay, key=lambda section: (-(calls * have[section] % whole), section))
    for section in remainders[: calls - sum(stay.values())]:
        stay[section] += 1
    return stay


def _kept(calls: Sequence[Call], counts: dict[str, int]) -> set[int]:
    """Numbers of the calls that stay: those with which the mean difficulty is nearest to that of all."""
    aim = sum(call.difficulty for call in calls) / len(calls)
    mine = {section: [call for call in calls if call.section == section] for section in sorted(counts)}
    chosen = {section: tuple(row[: counts[section]]) for section, row in mine.items()}
    total = sum(counts.values())
    for _ in range(PASSES):
        for section, row in mine.items():
            rest = sum(call.difficulty for other, held in chosen.items() if other != section for call in held)
            options = list(combinations(row, counts[section]))[:1000]
            chosen[section] = min(
                options, key=lambda held: abs((rest + sum(call.difficulty for call in held)) / total - aim)
            )
    return {call.no for held in chosen.values() for call in held}
