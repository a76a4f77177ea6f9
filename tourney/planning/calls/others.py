"""Sets that are not of the rotation: finals, drill-offs, whole reserve sets, practice."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from fractions import Fraction
from random import Random

from tourney.errors import Refusal
from tourney.model.calls import Use
from tourney.planning.calls.assembly import NoRoom
from tourney.planning.calls.need import Row, SetNeed
from tourney.planning.calls.pool import Counts, Pool
from tourney.planning.calls.profile import Profile
from tourney.planning.calls.quotas import draw_quotas
from tourney.planning.calls.single import draw_single
from tourney.planning.calls.terms import Terms

Stream = Callable[..., Random]  # names of a purpose -> its random stream
NAMES: dict[Use, str] = {"final": "finals", "drill_off": "drill-offs", "reserve": "reserve", "practice": "practice"}
DRILL_OFF = 3  # calls of a drill-off set
MEETINGS: tuple[Use, ...] = ("final", "drill_off")  # heard by contestants who have just drilled


def draw_others(
    pool: Pool, needed: Sequence[SetNeed], rotation: Sequence[Row], terms: Terms, profile: Profile, stream: Stream
) -> Iterator[Row]:
    """One set for each need, items in the order of the list, as hard as a rotation set.

    A set for finals or a drill-off keeps away from the last round and from the other sets of that kind, practice from
    the first round, a reserve set from nothing: it may stand in for any. None has all the items of another set.
    Refusal when the counts or the neighbours leave no such set.
    """
    counts = _counts(pool, needed, rotation, terms, stream)
    taken = [frozenset(row.items) for row in rotation]
    ends = (rotation[0].need.round, rotation[-1].need.round) if rotation else (None, None)
    first, last = (tuple(frozenset(row.items) for row in rotation if row.need.round == number) for number in ends)
    meetings: list[frozenset[int]] = []
    for need in needed:
        heard = (*last, *meetings) if need.use in MEETINGS else first if need.use == "practice" else ()
        wanted = counts[need.id]
        like = profile.scaled(Fraction(sum(wanted), terms.demand.calls))
        try:
            items = draw_single(pool, wanted, heard, taken, like, stream("one set", need.id))
        except NoRoom:
            raise Refusal(
                f"No calls were found for {need.id} that keep neighbours apart and differ from every other set.",
                cures=("Let the division hear more of the list.", "Ask for fewer calls in a set."),
                proven=False,
            ) from None
        taken.append(frozenset(items))
        if need.use in MEETINGS:
            meetings.append(frozenset(items))
        yield Row(need, items, heard)


def _counts(
    pool: Pool, needed: Sequence[SetNeed], rotation: Sequence[Row], terms: Terms, stream: Stream
) -> dict[str, Counts]:
    """Calls a section of each set: those of its round if it has one, else the sets of one use share as rounds do."""
    of_round = {row.need.round: pool.counts(row.items) for row in rotation}
    found = {need.id: of_round[need.round] for need in needed if need.round in of_round and need.round is not None}
    for use in dict.fromkeys(need.use for need in needed if need.id not in found):
        group = [need for need in needed if need.use == use and need.id not in found]
        calls = DRILL_OFF if use == "drill_off" else terms.demand.calls
        demand = replace(terms.demand, calls=calls, rounds=tuple(range(len(group))), gap=0)
        quotas = draw_quotas(demand, pool, stream("counts", use))
        if quotas is None:
            raise Refusal(
                f"The sections of the list can't give {calls} calls to each of {len(group)} sets for {NAMES[use]}.",
                cures=("Let the division hear more of the list.", 'Set sections = "by_size".'),
            )
        found |= {need.id: row for need, row in zip(group, quotas.rounds, strict=True)}
    return found
