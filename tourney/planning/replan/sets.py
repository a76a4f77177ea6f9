"""Call sets that step in: for heats whose own set was heard before they can be held, and for sets that leaked."""

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import count

from tourney.canon.syllabus import Syllabus
from tourney.draw import Draw
from tourney.errors import Refusal
from tourney.model.calls import CallSet
from tourney.planning.calls.further import Sealed, Wanted, stepping_in
from tourney.planning.calls.need import SetNeed
from tourney.planning.replan.draft import NO_SET, Draft


@dataclass(frozen=True, slots=True)
class Source:
    """What fresh sets are made from. draw: with the folder's secret, and not the one that any sealed set came from."""

    syllabus: Syllabus
    draw: Draw


def with_fresh_sets(draft: Draft, leaked: Sequence[str], source: Source) -> Draft:
    """A set in the place of each that leaked, and one for every wave and division whose heats have none yet.

    A sealed set that nobody has heard steps in where it fits, else further ones are drawn. Refusal when one that
    leaked has been heard already.
    """
    wanted: list[Wanted] = []
    for wave in draft.open_waves:
        for division in sorted({heat.division for heat in draft.in_wave[wave.id] if heat.call_set == NO_SET}):
            draft, one = _named(draft, wave.id, division, wanted)
            wanted.append(one)
    for key in leaked:
        draft, one = _without_leaked(draft, key)
        wanted.append(one)
    for division in dict.fromkeys(one.like.division for one in wanted):
        draft = _filled(draft, division, [one for one in wanted if one.like.division == division], source)
    return draft


def _without_leaked(draft: Draft, leaked: str) -> tuple[Draft, Wanted]:
    """The day without a set that leaked, and the one that its heats are to hear instead."""
    known = draft.set[leaked]
    if any(heat.call_set == leaked and heat.wave in draft.held for heat in draft.heats):
        raise Refusal(f"{leaked} has been heard already, so nothing can step in for it.")
    need = SetNeed(_next_id(draft, leaked), known.use, known.round, known.order)
    heats = [replace(heat, call_set=need.id) for heat in draft.open_heats if heat.call_set == leaked]
    others = tuple(found for found in draft.sets if found.id != leaked)
    return replace(draft.with_heats(heats), sets=others, spent=(*draft.spent, known)), Wanted(need, known)


def _named(draft: Draft, wave: str, division: str, before: Sequence[Wanted]) -> tuple[Draft, Wanted]:
    """A name and a place, in the order in which sets are heard, for the set of a wave whose heats have none.

    Sets that are heard later get a number more, and so another fingerprint.
    """
    heats = [heat for heat in draft.in_wave[wave] if heat.division == division]
    mine = [found for found in (*draft.sets, *draft.spent) if (found.division, found.use) == (division, "rotation")]
    orders = [found.order for found in mine] + [one.need.order for one in before if one.like.division == division]
    heard_later = {heat.call_set for heat in draft.heats
                   if heat.division == division and draft.place[heat.wave] > draft.place[wave]}  # fmt: skip
    later = [found.order or 0 for found in mine if found.id in heard_later]
    order = min(later, default=1 + max(order or 0 for order in orders))
    moved = [replace(f, order=1 + (f.order or 0)) if f in mine and (f.order or 0) >= order else f for f in draft.sets]
    key = f"{draft.prefix[division]}-{wave}"
    name = _next_id(draft, key) if _was_used(draft, key) else key
    need = SetNeed(name, "rotation", heats[0].round, order)
    like = next(found for found in mine if found.round == heats[0].round)
    draft = replace(draft, sets=tuple(moved))
    return draft.with_heats(replace(heat, call_set=name) for heat in heats), Wanted(need, like)


def _filled(draft: Draft, division: str, wanted: Sequence[Wanted], source: Source) -> Draft:
    """The wanted sets of a division, stepped in or drawn."""
    to_draw: list[Wanted] = []
    for number, one in enumerate(wanted):
        sealed, still = _sealed(draft, division, source), [*to_draw, *wanted[number:]]
        ready = next((set_ for set_ in _ready(draft, one) if sealed.fits(set_, one, still)), None)
        if ready is None:
            to_draw.append(one)
        else:
            others = tuple(found for found in draft.sets if found.id != ready.id)
            draft = replace(draft, sets=(*others, stepping_in(ready, one.need)), spent=(*draft.spent, ready))
    if to_draw:
        drawn = _sealed(draft, division, source).further(to_draw, source.draw)
        draft = replace(draft, sets=(*draft.sets, *drawn))
    return draft


def _sealed(draft: Draft, division: str, source: Source) -> Sealed:
    mine = tuple(found for found in draft.sets if found.division == division)
    stepped_in = {found.calls for found in mine}
    leaked = tuple(found for found in draft.spent if found.division == division and found.calls not in stepped_in)
    return Sealed(draft.event.division(division), source.syllabus, mine, leaked)


def _ready(draft: Draft, one: Wanted) -> Iterator[CallSet]:
    """Sealed sets that may step in: of the same round and no longer heard by anybody, then the division's reserves."""
    if one.need.use != "rotation":
        return
    heard = {heat.call_set for heat in draft.heats}
    mine = [found for found in draft.sets if found.division == one.like.division]
    yield from (
        found for found in mine if found.use == "rotation" and found.round == one.need.round and found.id not in heard
    )
    yield from (found for found in mine if found.use == "reserve")


def _was_used(draft: Draft, key: str) -> bool:
    return key in {found.id for found in (*draft.sets, *draft.spent)} | {heat.call_set for heat in draft.heats}


def _next_id(draft: Draft, key: str) -> str:
    """The id of the set that comes after one: J-W05-2 after J-W05, J-FINAL-2 after J-FINAL-1."""
    counted = re.fullmatch(r"(.+)-(\d+)", key)
    stem, number = (counted[1], int(counted[2])) if counted else (key, 1)
    return next(f"{stem}-{n}" for n in count(number + 1) if not _was_used(draft, f"{stem}-{n}"))
