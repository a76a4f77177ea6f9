"""Who has heard what: every call that a contestant heard on the day, so that nobody hears a set twice."""

from collections.abc import Collection, Iterable
from dataclasses import dataclass

from tourney.model.calls import CallBook
from tourney.model.decisions import NO_DECISIONS, Decisions
from tourney.model.plan import Heat


@dataclass(frozen=True, slots=True)
class SpentCall:
    """One item that one contestant has heard. no: of its call; reserve: it was heard in place of that call."""

    contestant: str
    team: str
    item: str
    call_set: str
    heat: str
    no: int
    reserve: bool = False


def spent_calls(
    heats: Iterable[Heat], book: CallBook, team_of: dict[str, str], decisions: Decisions = NO_DECISIONS
) -> tuple[SpentCall, ...]:
    """Every call of these heats, for each who stood in the line, in the order of heats, calls and lines.

    heats: those that were held. book: the calls as they are called (see `called`). team_of: contestant -> team. A call
    that was made void was heard all the same, and so was the reserve call in its place. Absent contestants heard none.
    """
    found = []
    for heat in map(decisions.as_stood, heats):
        calls = book.set[heat.call_set]
        spoken = [(call.item, call.no, False) for call in calls.calls]
        spoken += [
            (calls.reserves[ruling.reserve - 1].item, call.no, True)
            for call in calls.calls
            if (ruling := decisions.void.get((heat.id, call.no))) and ruling.reserve is not None
        ]
        line = [child for child in heat.line if (heat.id, child) not in decisions.absent]
        found += [
            SpentCall(child, team_of[child], item, calls.id, heat.id, no, reserve)
            for item, no, reserve in spoken
            for child in line
        ]
    return tuple(found)


def heard_before(call_set: str, line: Collection[str], spent: Iterable[SpentCall]) -> tuple[str, ...]:
    """Contestants of a line who have heard this set before: none, if a set is to be clean for them."""
    return tuple(sorted({one.contestant for one in spent if one.call_set == call_set and one.contestant in line}))


@dataclass(frozen=True, slots=True)
class LedgerLine:
    """All that one contestant has heard: ids of sets and of items, each once, in the order heard."""

    contestant: str
    team: str
    sets: tuple[str, ...]
    items: tuple[str, ...]


def ledger(spent: Iterable[SpentCall]) -> tuple[LedgerLine, ...]:
    """A line a contestant, by id."""
    heard: dict[tuple[str, str], list[SpentCall]] = {}
    for one in spent:
        heard.setdefault((one.contestant, one.team), []).append(one)
    return tuple(
        LedgerLine(
            contestant,
            team,
            tuple(dict.fromkeys(one.call_set for one in own)),
            tuple(dict.fromkeys(one.item for one in own)),
        )
        for (contestant, team), own in sorted(heard.items())
    )


def unheard(book: CallBook, spent: Iterable[SpentCall]) -> tuple[str, ...]:
    """Sets that nobody has heard: clean for a drill-off, a heat drilled anew, or finals, whoever stands in them.

    Once a division's finals have begun, a set of finals that is in no heat was heard before that heat was held anew.
    """
    heard = {one.call_set for one in spent}
    begun = {one.division for one in book.sets if one.use == "final" and one.id in heard}
    return tuple(
        one.id
        for one in book.sets
        if one.id not in heard and one.use != "practice" and not (one.use == "final" and one.division in begun)
    )


def heard_twice(spent: Iterable[SpentCall]) -> tuple[tuple[str, str], ...]:
    """(contestant, call set) of each who heard one set in more than one heat, in order: none on a clean day."""
    heats: dict[tuple[str, str], set[str]] = {}
    for one in spent:
        heats.setdefault((one.contestant, one.call_set), set()).add(one.heat)
    return tuple(sorted(pair for pair, held in heats.items() if len(held) > 1))
