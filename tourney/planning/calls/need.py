"""What the plan asks for, one call set each; and what was drawn for it."""

from collections.abc import Mapping
from dataclasses import dataclass

from tourney.model.calls import Use
from tourney.model.event import Division

DRILL_OFFS = 3  # sets for drill-offs of a division


@dataclass(frozen=True, slots=True)
class SetNeed:
    """A call set to be drawn. round, order: of a rotation set, both from 1; None for every other use."""

    id: str
    use: Use
    round: int | None
    order: int | None


@dataclass(frozen=True, slots=True)
class Row:
    """A drawn set: items of a pool in calling order. heard: sets that its contestants have just heard."""

    need: SetNeed
    items: tuple[int, ...]
    heard: tuple[frozenset[int], ...] = ()


def needs_of(division: Division, prefix: str, heard: Mapping[str, int]) -> list[SetNeed]:
    """The sets of a division: one a wave that it drills in, then those that are kept ready.

    heard: those of the rotation in the order heard, with their rounds. prefix: with which ids of the others begin.
    """
    return [
        *(SetNeed(key, "rotation", number, order) for order, (key, number) in enumerate(heard.items(), 1)),
        SetNeed(f"{prefix}-FINAL-1", "final", None, None),
        *(SetNeed(f"{prefix}-DRILLOFF-{number}", "drill_off", None, None) for number in range(1, DRILL_OFFS + 1)),
        *(
            SetNeed(f"{prefix}-RESERVE-{number}", "reserve", None, None)
            for number in range(1, division.reserve_sets + 1)
        ),
        SetNeed(f"{prefix}-PRACTICE", "practice", None, None),
    ]
