"""Whether everyone is asked for the spoken answer equally often."""

from collections import Counter
from collections.abc import Iterator, Sequence

from tourney.model.plan import Heat
from tourney.verify.division_sets import DivisionSets
from tourney.verify.line import Line, rule, told
from tourney.verify.plan import rotation

OVER_THE_DAY = "turns_to_speak_over_the_day"


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
    """Most turns less fewest over all rounds: as few as can be, unless someone could pass a turn on."""
    heats = [heat for heat in rotation(sets.plan, sets.name) if heat.line]
    turns = [Counter(heat.line[number - 1] for number in _asked(sets, heat)) for heat in heats]
    total = Counter({child: 0 for heat in heats for child in heat.line})
    for row in turns:
        total.update(row)
    spread = max(total.values(), default=0) - min(total.values(), default=0)
    if sets.moved or sets.division.draw == "by_standing":
        return told(OVER_THE_DAY, sets.name, spread)
    relieved = [child for child in total if _relieved(child, heats, turns, total)]
    bound = None if relieved else spread
    where = f"{relieved[0]} could give a turn to someone with two fewer" if relieved else ""
    return Line(OVER_THE_DAY, sets.name, spread, bound, None, not relieved, False, where)


def _asked(sets: DivisionSets, heat: Heat) -> list[int]:
    """Line numbers that there are, of those that are asked."""
    return [number for number in sets.book.speakers_of.get(heat.id, ()) if 0 < number <= len(heat.line)]


def _relieved(child: str, heats: Sequence[Heat], turns: Sequence[Counter[str]], total: Counter[str]) -> bool:
    """Whether a child could give a turn to one with two fewer: in one heat, or from hand to hand over several.

    Who has more turns in a heat than someone else can give that one a turn there, and turns still differ by one.
    """
    reached, hands = {child}, [child]
    while hands:
        giver = hands.pop()
        for heat, row in zip(heats, turns, strict=True):
            if giver in heat.line:
                takers = {taker for taker in heat.line if row[taker] < row[giver]} - reached
                if any(total[taker] <= total[child] - 2 for taker in takers):
                    return True
                reached |= takers
                hands += sorted(takers)
    return False
