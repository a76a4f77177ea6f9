"""Arithmetic of the finite fields that rotation grids use.

An element of GF(p^m) is a number whose base-p digits are the coefficients of its polynomial, lowest first.
"""

from functools import cache

# Monic irreducible polynomials, lowest coefficient first; facts of algebra, checked by tests.
MODULI: dict[int, tuple[int, ...]] = {
    4: (1, 1, 1),
    8: (1, 1, 0, 1),
    9: (1, 0, 1),
    16: (1, 1, 0, 0, 1),
    25: (2, 0, 1),
    27: (1, 2, 0, 1),
    32: (1, 0, 1, 0, 0, 1),
    49: (1, 0, 1),
}
CHARACTERISTIC = {4: 2, 8: 2, 9: 3, 16: 2, 25: 5, 27: 3, 32: 2, 49: 7}


def is_field_order(order: int) -> bool:
    """Is there a field of this order that this module knows."""
    return order in MODULI or (order > 1 and all(order % factor for factor in range(2, int(order**0.5) + 1)))


def _digits(element: int, base: int, length: int) -> list[int]:
    return [element // base**place % base for place in range(length)]


def _number(digits: list[int], base: int) -> int:
    return sum(digit % base * base**place for place, digit in enumerate(digits))


def subtract(one: int, other: int, order: int) -> int:
    """The difference one - other in the field of that order."""
    if order not in MODULI:
        return (one - other) % order
    base, length = CHARACTERISTIC[order], len(MODULI[order]) - 1
    pairs = zip(_digits(one, base, length), _digits(other, base, length), strict=True)
    return _number([a - b for a, b in pairs], base)


@cache
def multiply(one: int, other: int, order: int) -> int:
    """The product one * other in the field of that order."""
    if order not in MODULI:
        return one * other % order
    base, modulus = CHARACTERISTIC[order], MODULI[order]
    length = len(modulus) - 1
    product = [0] * (2 * length - 1)
    for i, a in enumerate(_digits(one, base, length)):
        for j, b in enumerate(_digits(other, base, length)):
            product[i + j] += a * b
    for high in range(len(product) - 1, length - 1, -1):  # the modulus is monic: cancel the leading terms
        lead = product[high]
        for place, coefficient in enumerate(modulus):
            product[high - length + place] -= lead * coefficient
    return _number(product[:length], base)
