"""Numbers and places as people read them: exact, never rounded."""

from fractions import Fraction

# Parts that every common typeface can write in one sign.
SIGNS = {Fraction(1, 2): "½", Fraction(1, 3): "⅓", Fraction(2, 3): "⅔", Fraction(1, 4): "¼", Fraction(3, 4): "¾"}


def number(value: Fraction | int) -> str:
    """A whole number, or with its fraction beside it: 1980, 1980½, -⅓, 7 2/5."""
    exact = Fraction(value)
    whole, rest = divmod(abs(exact), 1)
    said = str(whole) if whole or not rest else ""
    if rest in SIGNS:
        said += SIGNS[rest]
    elif rest:
        said += f"{' ' if said else ''}{rest.numerator}/{rest.denominator}"
    return ("-" if exact < 0 else "") + said


def counted(many: int, what: str, whats: str = "") -> str:
    """So many of something: 1 sheet, 3 sheets. whats: more than one of it, where that is not `what` with an s."""
    return f"{many} {what if many == 1 else whats or f'{what}s'}"


def ordinal(place: int) -> str:
    """1st, 2nd, 3rd, 4th, 11th, 21st."""
    ending = "th" if place % 100 in (11, 12, 13) else {1: "st", 2: "nd", 3: "rd"}.get(place % 10, "th")
    return f"{place}{ending}"


def place_words(place: int, *, shared: bool) -> str:
    """A place as tables show it: 2, or 2= where it is shared."""
    return f"{place}{'=' if shared else ''}"


def place_range(best: int, worst: int) -> str:
    """The places still possible: 2, or 2 to 4."""
    return str(best) if best == worst else f"{best} to {worst}"


def listing(words: list[str]) -> str:
    """One; one and two; one, two and three."""
    return " and ".join([", ".join(words[:-1]), words[-1]] if len(words) > 1 else words)
