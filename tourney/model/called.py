"""What is really called: the sealed sets less the calls that a shortened round leaves out."""

from dataclasses import replace

from tourney.model.calls import CallBook
from tourney.model.plan import Plan


def called(plan: Plan, book: CallBook) -> CallBook:
    """The book without the calls that the plan leaves out; those that stay keep their numbers, sets their ids."""
    gone = {row.call_set: frozenset(row.calls) for row in plan.left_out}
    sets = tuple(
        replace(found, calls=tuple(call for call in found.calls if call.no not in gone[found.id]))
        if found.id in gone
        else found
        for found in book.sets
    )
    set_of = {heat.id: heat.call_set for heat in plan.heats}
    speakers = tuple(
        replace(row, lines=tuple(line for no, line in enumerate(row.lines, 1) if no not in gone[set_of[row.heat]]))
        if set_of.get(row.heat) in gone
        else row
        for row in book.speakers
    )
    return CallBook(sets, speakers)
