"""How sure a part of few tries is."""

from math import sqrt

Z95 = 1.959963984540054  # the normal distribution's 97.5 % point


def wilson(hits: float, tries: int, z: float = Z95) -> tuple[float, float]:
    """The score interval of a part, 95 % unless z says otherwise; 0 to 1 when nothing was tried.

    Wilson, Journal of the American Statistical Association 22 (1927) 209-212; without correction for continuity.
    """
    if tries == 0:
        return 0.0, 1.0
    part, square = hits / tries, z * z
    middle = (part + square / (2 * tries)) / (1 + square / tries)
    reach = z / (1 + square / tries) * sqrt(part * (1 - part) / tries + square / (4 * tries * tries))
    low = 0.0 if hits == 0 else max(0.0, middle - reach)  # exact at both ends, where sums round
    return low, 1.0 if hits == tries else min(1.0, middle + reach)
