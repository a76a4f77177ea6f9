"""The award that a contestant reached, and by how much the next higher one was missed: compared exactly."""

from collections.abc import Sequence
from fractions import Fraction

from tourney.model.event import Band
from tourney.scoring.words import number


def band_of(place: int, points: Fraction, available: Fraction, upwards: Sequence[Band]) -> str | None:
    """The highest award reached: 863 of 960 is not nine tenths. None below all. upwards: the lowest first."""
    reached = [band.label for band in upwards if _reached(band, place, points, available)]
    return reached[-1] if reached else None


def next_band(place: int, points: Fraction, available: Fraction, upwards: Sequence[Band]) -> str:
    """The next higher award in words: "A from 864, 9/10 of 960: 1 short". Empty for who reached the highest.

    So a part that rounds to what an award asks is seen to be below it.
    """
    reached = [_reached(band, place, points, available) for band in upwards]
    above = upwards[len(reached) - reached[::-1].index(True) :] if True in reached else upwards
    if not above or not available:
        return ""
    band = above[0]
    if band.place is not None:
        return f"{band.label} down to place {band.place}"
    needed = _limit(band) * available
    return f"{band.label} from {number(needed)}, {_limit(band)} of {number(available)}: {number(needed - points)} short"


def _reached(band: Band, place: int, points: Fraction, available: Fraction) -> bool:
    if band.place is not None:
        return place <= band.place
    return available > 0 and points >= _limit(band) * available


def _limit(band: Band) -> Fraction:
    """What the settings say, as the decimal that was written there: 0.9 is 9/10."""
    return Fraction(str(band.from_))
