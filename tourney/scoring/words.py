"""Numbers and places as people read them: exact, never rounded."""

from fractions import Fraction


def number(value: Fraction | int) -> str:
    """A whole number, or with its fraction beside it: 1980, 1980 1/2, -1/3."""
    exact = Fraction(value)
    whole, rest = divmod(abs(exact), 1)
    parts = [str(whole)] if whole or not rest else []
    if rest:
        parts.append(f"{rest.numerator}/{rest.denominator}")
    return ("-" if exact < 0 else "") + " ".join(parts)


def ordinal(place: int) -> str:
    """1st, 2nd, 3rd, 4th, 11th, 21st."""
    ending = "th" if place % 100 in (11, 12, 13) else {1: "st", 2: "nd", 3: "rd"}.get(place % 10, "th")
    return f"{place}{ending}"


def listing(words: list[str]) -> str:
    """One; one and two; one, two and three."""
    return " and ".join([", ".join(words[:-1]), words[-1]] if len(words) > 1 else words)
