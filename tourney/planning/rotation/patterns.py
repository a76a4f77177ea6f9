"""Rounds over numbered seats, known to repeat no meeting. Which team takes which seat is decided elsewhere.

A pattern for n seats: rounds -> heats -> seats 0..n-1, in heats of `size` and one less. A heat of one is a bye when
size is 2. Where n does not fill the last heats, a larger pattern is taken and its last seats are left out.
"""

from collections.abc import Callable, Iterator
from itertools import combinations, count
from random import Random

from tourney.planning.rotation.fields import is_field_order, multiply, subtract
from tourney.planning.rotation.starters import STARTERS, Starter

Pattern = list[list[list[int]]]


def circle(seats: int) -> Pattern:
    """Every two seats meet once: all pairs, in n-1 rounds, or n rounds with a bye each when n is odd.

    The circle method (Kirkman 1847), in the form r - k against r + k whose tables are named after Berger.
    """
    turning = seats - 1 if seats % 2 == 0 else seats
    rounds = []
    for turn in range(turning):
        still = [turn, seats - 1] if seats % 2 == 0 else [turn]
        pairs = [[(turn - step) % turning, (turn + step) % turning] for step in range(1, (turning + 1) // 2)]
        rounds.append([still, *pairs])
    return rounds


def grid(seats: int, size: int, rounds: int, random: Random) -> Pattern:
    """Columns whose seats never meet, slid past each other: seat (column, row) drills in heat row - shift.

    Seats are numbered column by column. Shifts are products in a field where there is one of that order, else multiples
    modulo the number of heats, else differences found by search (a partial difference matrix; Colbourn & Dinitz,
    Handbook of Combinatorial Designs, VI.17). As many rounds without repeats as these give, at most `rounds`.
    """
    heats = -(-seats // size)
    if heats >= size and is_field_order(heats):
        span = min(rounds, heats)
        return _slid(seats, heats, lambda c, row, turn: subtract(row, multiply(c, turn, heats), heats), span)
    turns = next(turn for turn in count(1) if any(step * turn % heats == 0 for step in range(1, size)))
    if turns >= rounds:
        return _slid(seats, heats, lambda c, row, turn: (row - c * turn) % heats, rounds)
    shifts = _differences(size, heats, rounds, random)
    return _slid(seats, heats, lambda c, row, turn: (row - shifts[turn][c]) % heats, len(shifts))


def _slid(seats: int, heats: int, heat_of: Callable[[int, int, int], int], rounds: int) -> Pattern:
    pattern = []
    for turn in range(rounds):
        drawn: list[list[int]] = [[] for _ in range(heats)]
        for seat in range(seats):
            column, row = divmod(seat, heats)
            drawn[heat_of(column, row, turn)].append(seat)
        pattern.append(drawn)
    return pattern


def _differences(size: int, heats: int, rounds: int, random: Random) -> list[list[int]]:
    """Shifts of each column in each round: the difference of two columns is never the same in two rounds."""
    best: list[list[int]] = []
    for _ in range(20):
        found: list[list[int]] = []
        seen: set[tuple[int, int, int]] = set()
        for _ in range(400):
            row = [0, *(random.randrange(heats) for _ in range(size - 1))]
            fresh = {(one, other, (row[one] - row[other]) % heats) for one, other in combinations(range(size), 2)}
            if not fresh & seen:
                found.append(row)
                seen |= fresh
                if len(found) == rounds:
                    return found
        best = max(best, found, key=len)
    return best


def grid_with_columns(seats: int, size: int, rounds: int, random: Random) -> Pattern | None:
    """A field's grid and one more round, in which the seats of each column meet: affine planes are of this kind.

    None when columns can't be cut into heats of that size.
    """
    heats = -(-seats // size)
    missing = heats * size - seats
    if heats % size or not is_field_order(heats) or missing > heats // size:
        return None
    across = heats // size  # heats cut from one column
    drawn: dict[tuple[int, int], list[int]] = {}
    for seat in range(seats):
        column, row = divmod(seat, heats)
        drawn.setdefault((column, row % across), []).append(seat)
    return [list(drawn.values()), *grid(seats, size, rounds - 1, random)]


def developed(starter: Starter, missing: int) -> Pattern | None:
    """Rounds of a starter turned through its whole cycle, its last seats left out. None when two of those ever meet."""
    kept = starter.seats - missing
    pattern = [
        [[starter.turned(seat, turn) for seat in heat] for heat in base]
        for base in starter.rounds
        for turn in range(starter.cycle)
    ]
    pattern += [[list(heat) for heat in still] for still in starter.still]
    if any(sum(seat >= kept for seat in heat) > 1 for heats in pattern for heat in heats):
        return None
    return [[[seat for seat in heat if seat < kept] for heat in heats] for heats in pattern]


def known_patterns(seats: int, size: int, rounds: int, random: Random) -> Iterator[Pattern]:
    """Patterns for these numbers, simplest first. size: the largest heat when sizes are as even as possible."""
    if size == 2 and seats > 2:
        yield circle(seats)
    if seats > size:
        yield grid(seats, size, rounds, random)
        with_columns = grid_with_columns(seats, size, rounds, random)
        if with_columns:
            yield with_columns
        heats = -(-seats // size)
        starter = STARTERS.get((heats * size, size))
        turned = developed(starter, heats * size - seats) if starter else None
        if turned:
            yield turned
