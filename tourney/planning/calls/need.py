"""What the plan asks for, one call set each; and what was drawn for it."""

from dataclasses import dataclass

from tourney.model.calls import Use


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
