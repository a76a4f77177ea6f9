"""The only reader of the time."""

from datetime import UTC, datetime
from time import perf_counter


def now() -> datetime:
    """The present, aware, in UTC."""
    return datetime.now(UTC)


def ticks() -> float:
    """Seconds on a clock that only serves to measure how long something took."""
    return perf_counter()
