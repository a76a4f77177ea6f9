"""Rules that every call set keeps, then what is true of the sets of each division."""

from collections import Counter
from collections.abc import Iterator

from tourney.model.calls import Call, CallBook
from tourney.model.plan import Plan
from tourney.verify.clues import clue_lines
from tourney.verify.coverage import coverage_lines
from tourney.verify.difficulty import difficulty_lines
from tourney.verify.division_sets import DivisionSets
from tourney.verify.line import Line, rule, told
from tourney.verify.plan import divisions
from tourney.verify.speakers import speaker_lines
from tourney.verify.syllabus import Listing, Row, names_of, plain

DIGIT = 0.001  # last digit of a difficulty, in bits
NONE = "none"  # the answer where an item has no neighbour


def call_lines(plan: Plan, book: CallBook, listing: Listing) -> Iterator[Line]:
    """Every property of the call sets: all sets, then division by division."""
    yield rule("items_known", "all", _unknown(plan, book, listing))
    if any(call.item not in listing.place for found in book.sets for call in (*found.calls, *found.reserves)):
        return  # nothing else can be looked up
    yield rule("item_once_in_a_set", "all", _twice(book))
    yield rule("answers_true", "all", _untrue(book, listing))
    yield rule("said_and_rated_as_listed", "all", _unlisted(book, listing))
    yield rule("seconds_as_set", "all", _other_seconds(plan, book))
    yield rule("finals_not_of_the_rotation", "all", _not_apart(plan, book))
    yield _heard_again(book)
    for name in divisions(plan):
        sets = DivisionSets(plan, book, listing, plan.event.division(name))
        for part in (coverage_lines, clue_lines, speaker_lines, difficulty_lines):
            yield from part(sets)


def _unknown(plan: Plan, book: CallBook, listing: Listing) -> Iterator[str]:
    for found in book.sets:
        division = plan.event.division(found.division)
        allowed = {row.id: row for row in listing.callable(division.name, division.first_last)}
        for call in (*found.calls, *found.reserves):
            row = allowed.get(call.item)
            if row is None:
                yield f"{found.id} call {call.no}: {call.item} is not to be called"
            elif (call.section, call.kind) != (row.section, row.kind):
                yield f"{found.id} call {call.no}: {call.item} is not {call.kind} of {call.section}"


def _twice(book: CallBook) -> Iterator[str]:
    for found in book.sets:
        items = Counter(call.item for call in (*found.calls, *found.reserves))
        yield from (f"{found.id}: {key} is there {times} times" for key, times in items.items() if times > 1)


def _untrue(book: CallBook, listing: Listing) -> Iterator[str]:
    for found in book.sets:
        for call in (*found.calls, *found.reserves):
            if not _right(call, listing):
                yield f"{found.id} call {call.no}: {call.item} is answered {', '.join(call.answer)}"


def _right(call: Call, listing: Listing) -> bool:
    """book: before, item, after. reference, story: the item. finish: the end of the text, then the item.

    What else counts as right is a name of the item too.
    """
    row = listing.row[call.item]
    if not all(_names(row, word) for word in call.also):
        return False
    if call.kind == "book":
        before, after = listing.beside(call.item)
        return len(call.answer) == 3 and all(map(_names, (before, row, after), call.answer))
    ending = (row.ending,) if call.kind == "finish" else ()
    return call.answer[:-1] == ending and _names(row, call.answer[-1])


def _names(row: Row | None, word: str) -> bool:
    return plain(word) == NONE if row is None else plain(word) in names_of([row])


def _unlisted(book: CallBook, listing: Listing) -> Iterator[str]:
    """A call is said in the words of the list, and as hard as it says, to the last digit of calls.json."""
    for found in book.sets:
        for call in (*found.calls, *found.reserves):
            row = listing.row[call.item]
            if call.say != row.say:
                yield f"{found.id} call {call.no}: {call.item} is said as “{call.say}”"
            elif abs(call.difficulty - row.bits) > DIGIT:
                yield f"{found.id} call {call.no}: {call.item} is rated {call.difficulty}, in the list {row.bits:.3f}"


def _other_seconds(plan: Plan, book: CallBook) -> Iterator[str]:
    for found in book.sets:
        wanted = plan.event.division(found.division).seconds
        if found.seconds != wanted:
            yield f"{found.id} gives {found.seconds} seconds, not {wanted}"


def _not_apart(plan: Plan, book: CallBook) -> Iterator[str]:
    """A set for finals or a drill-off has calls of its own, and is heard in no round."""
    heard = {(s.division, frozenset(call.item for call in s.calls)): s.id for s in book.sets if s.use == "rotation"}
    for found in book.sets:
        key = (found.division, frozenset(call.item for call in found.calls))
        if found.use in ("final", "drill_off") and key in heard:
            yield f"{found.id} has the calls of {heard[key]}"
    use = {row.id: row.use for row in plan.call_sets}
    for found in book.sets:
        if use.get(found.id, found.use) != found.use:
            yield f"{found.id} is for two uses"


def _heard_again(book: CallBook) -> Line:
    """Calls of finals and drill-offs that some set of the rounds has too: a list may be too short for none."""
    drawn = {(s.division, call.item) for s in book.sets if s.use == "rotation" for call in s.calls}
    again = {
        found.id: sum((found.division, call.item) in drawn for call in found.calls)
        for found in book.sets
        if found.use in ("final", "drill_off")
    }
    worst = max(again, key=lambda key: again[key], default="")
    return told("calls_of_finals_heard_in_the_rounds", "all", sum(again.values()), worst)
