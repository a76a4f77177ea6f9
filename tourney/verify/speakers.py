"""Whether everyone is asked for the spoken answer equally often."""

from collections import Counter
from collections.abc import Iterator

from tourney.verify.division_sets import DivisionSets
from tourney.verify.line import Line, rule, told
from tourney.verify.plan import rotation


def speaker_lines(sets: DivisionSets) -> Iterator[Line]:
    """All of a division."""
    yield rule("speakers_in_turn", sets.name, _unfair(sets))
    yield _over_the_day(sets)


def _unfair(sets: DivisionSets) -> Iterator[str]:
    """In each heat turns differ by one at most, and nobody is asked who is not in line."""
    for heat in rotation(sets.plan, sets.name):
        lines = sets.book.speakers_of.get(heat.id, ())
        asked = Counter(lines)
        turns = [asked.pop(number, 0) for number in range(1, 1 + len(heat.line))]
        if len(lines) != len(sets.book.set[heat.call_set].calls):
            yield f"{heat.id}: {len(lines)} speakers"
        elif asked:
            yield f"{heat.id}: nobody has line number {min(asked)}"
        elif max(turns) - min(turns) > 1:
            yield f"{heat.id}: from {min(turns)} to {max(turns)} turns"


def _over_the_day(sets: DivisionSets) -> Line:
    """Turns beyond the equal ones of each heat: most of a child less fewest of a child."""
    extra: Counter[str] = Counter()
    for heat in rotation(sets.plan, sets.name):
        asked = Counter(sets.book.speakers_of.get(heat.id, ()))
        for number, child in enumerate(heat.line, 1):
            extra[child] += asked[number] - len(sets.book.set[heat.call_set].calls) // len(heat.line)
    spread = max(extra.values(), default=0) - min(extra.values(), default=0)
    return told("extra_turns_to_speak_over_the_day", sets.name, spread)
