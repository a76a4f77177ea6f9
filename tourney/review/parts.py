"""So many out of so many."""

from collections.abc import Iterable
from dataclasses import dataclass

from tourney.review.intervals import wilson

FEW = 6  # calls below which a part is shown as a count alone: a percentage would say more than is known


@dataclass(frozen=True, slots=True)
class Part:
    """hits of calls."""

    hits: int
    calls: int

    @staticmethod
    def of(outcomes: Iterable[bool | None]) -> "Part":
        """Hits among the outcomes that are known."""
        known = [outcome for outcome in outcomes if outcome is not None]
        return Part(sum(known), len(known))

    @property
    def share(self) -> float | None:
        """0 to 1, None for no calls."""
        return self.hits / self.calls if self.calls else None

    @property
    def enough(self) -> bool:
        """Whether a percentage may be shown."""
        return self.calls >= FEW

    @property
    def interval(self) -> tuple[float, float]:
        """Wilson's 95 % interval of the share."""
        return wilson(self.hits, self.calls)

    def toward(self, share: float, weight: float) -> float:
        """The share drawn to another one, as if that had been seen on so many further calls."""
        return (self.hits + weight * share) / (self.calls + weight)
