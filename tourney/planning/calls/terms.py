"""The quotas and the gap that a division's sets keep, or the exact reason why there are none."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from random import Random

from tourney.canon.syllabus import Syllabus
from tourney.errors import Refusal, Shortage
from tourney.model.event import Division
from tourney.planning.calls.pool import Counts, Pool, pool_of
from tourney.planning.calls.quotas import Demand, Quotas, draw_quotas, least_items
from tourney.planning.calls.shares import shares_of

DEFAULT_GAP = 1  # sets heard between two uses of an item, where the settings say nothing


@dataclass(frozen=True, slots=True)
class Terms:
    """demand: with the gap that is kept. quotas: calls a section, round by round."""

    demand: Demand
    quotas: Quotas


def settle(division: Division, pool: Pool, syllabus: Syllabus, rounds: Sequence[int], random: Random) -> Terms:
    """Quotas for these sets, and the gap: the one asked for, else 1, else none where counting allows no more.

    rounds: for each set in the order heard its round, from 0. Refusal when there are no such quotas.
    """
    demand = _demand(division, pool, rounds)
    quotas = draw_quotas(demand, pool, random)
    if quotas is None:
        raise refusal(division, pool, syllabus, demand)
    if division.no_repeat_gap is None:
        wider = replace(demand, gap=DEFAULT_GAP)
        spaced = draw_quotas(wider, pool, random, at_most=quotas.deviation)
        if spaced:
            return Terms(wider, spaced)
    return Terms(demand, quotas)


def _demand(division: Division, pool: Pool, rounds: Sequence[int]) -> Demand:
    return Demand(shares_of(division, pool), division.calls, tuple(rounds), division.no_repeat_gap or 0)


def refusal(division: Division, pool: Pool, syllabus: Syllabus, demand: Demand) -> Refusal:
    """Which sections are short, by how much and why. `cures` looks for changes that help."""
    shortages = [
        short for section in range(len(pool.sections)) if (short := _shortage(pool, syllabus, demand, section))
    ]
    if not shortages:
        once = "no item comes twice"
        if demand.gap:
            once += f" in {demand.gap + 1} sets heard one after another"
        why = f"{once}, and the sections together have no room for more near their shares"
        fewer = _most_calls(division, syllabus, demand)
        shortages = [Shortage("Calls that a set can have", fewer, demand.calls, why)]
    return Refusal(f"The calls of division {division.name} can't be drawn as its rules are.", tuple(shortages))


def sets_with(pool: Pool, syllabus: Syllabus, counts: Counts) -> str:
    """What is short where no set with these calls a section is left."""
    rows, calls = zip(pool.sections, counts, strict=True), sum(counts)
    of = ", ".join(f"{syllabus.section_name(section)} {each}" for section, each in rows if each)
    return f"Different sets of {calls} call{'s' * (calls != 1)} ({of})"


def _shortage(pool: Pool, syllabus: Syllabus, demand: Demand, section: int) -> Shortage | None:
    """What one section lacks, whatever the others do."""
    have, need = pool.size[section], least_items(demand, section)
    if need <= have:
        return None
    what = f"Items in {syllabus.section_name(pool.sections[section])}"
    if not demand.gap:
        return Shortage(what, have, need, f"a set has {need} calls of it and no item comes twice")
    why = f"{demand.gap + 1} sets heard one after another have {need} calls of it and no item may come twice in them"
    return Shortage(what, have, need, why)


def _most_calls(division: Division, syllabus: Syllabus, demand: Demand) -> int:
    """Most calls in a set of which the sections can give their shares, 0 when none."""
    for calls in range(demand.calls - 1, 0, -1):
        smaller = division.model_copy(update={"calls": calls})
        pool = pool_of(syllabus, smaller)
        if draw_quotas(_demand(smaller, pool, demand.rounds), pool, Random(0)):
            return calls
    return 0
