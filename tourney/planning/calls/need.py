"""What the plan asks for: one call set each."""

from dataclasses import dataclass

from tourney.model.calls import Use


@dataclass(frozen=True, slots=True)
class SetNeed:
    """A call set to be drawn. round, order: of a rotation set, both from 1; None for every other use."""

    id: str
    use: Use
    round: int | None
    order: int | None
