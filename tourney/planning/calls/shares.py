"""Each section's share of the calls, exactly as the settings say."""

from collections.abc import Sequence
from fractions import Fraction

from tourney.errors import Refusal
from tourney.model.event import Division
from tourney.planning.calls.pool import Pool

Shares = tuple[Fraction, ...]  # of each section of a pool; they sum to 1


def shares_of(division: Division, pool: Pool) -> Shares:
    """Equal, by the number of items, or by the weights given; a section without a weight gets none.

    Refusal: nothing may be called, a weight for a section that is not in the list, or no weight above 0.
    """
    rule = division.sections
    if not pool.items:
        raise _nothing(division)
    if rule == "equal":
        return even(len(pool.sections))
    if rule == "by_size":
        return proportional(pool.size, division)
    unknown = sorted(set(rule) - set(pool.sections))
    if unknown:
        raise Refusal(
            f"Division {division.name} gives calls to sections that are not in the list of what may be called: "
            f"{', '.join(unknown)}.",
            cures=(f"Use these section names: {', '.join(pool.sections)}.",),
        )
    # As written, not as stored in binary: 0.1 is one tenth.
    return proportional([Fraction(str(rule.get(key, 0))).limit_denominator(10**6) for key in pool.sections], division)


def even(sections: int) -> Shares:
    """The same share for each."""
    return (Fraction(1, sections),) * sections


def proportional(weights: Sequence[Fraction | int], division: Division) -> Shares:
    """Shares in proportion to weights. Refusal when all are 0."""
    whole = Fraction(sum(weights))
    if not whole:
        raise _nothing(division)
    return tuple(Fraction(weight) / whole for weight in weights)


def _nothing(division: Division) -> Refusal:
    return Refusal(
        f"Division {division.name} has nothing to call: no section has both items and a weight above 0.",
        cures=("Give at least one section a weight above 0, or let the division hear more of the list.",),
    )
