"""Whether children did better or worse in one room than in their other rooms."""

from collections import defaultdict
from collections.abc import Iterable
from statistics import fmean

from tourney.model.event import Event
from tourney.model.heard import Heard
from tourney.review.additive import Effect, Row, effects


def room_effects(heard: Iterable[Heard], event: Event) -> tuple[Effect, ...]:
    """Points of 100 made in each room beyond what the same children make elsewhere; rooms in the order of their names.

    A room's panels and the waves in which it was used are part of its effect: it names a room to look at, no cause.
    """
    made: dict[tuple[str, str, str], list[float]] = defaultdict(list)
    worth = {division.name: division.points.call for division in event.divisions}
    for one in heard:
        if one.there and one.points is not None:
            made[one.contestant, one.heat.id, one.heat.room].append(100 * float(one.points) / worth[one.heat.division])
    return effects([Row(child, room, fmean(values)) for (child, _, room), values in made.items()])
