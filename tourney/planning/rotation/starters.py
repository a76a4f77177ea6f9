"""Base rounds that repeat no meeting when turned through their cycle.

Found by our own exact search over the differences that a base round covers; tests turn and count each of them.
"""

from dataclasses import dataclass

Round = tuple[tuple[int, ...], ...]


@dataclass(frozen=True, slots=True)
class Starter:
    """Seats 0..m-1, m..2m-1, ... each turn within their own cycle of length m; seats beyond the last whole cycle stay.

    rounds: base rounds, each turned m times. still: further rounds that are not turned.
    """

    seats: int
    cycle: int
    rounds: tuple[Round, ...]
    still: tuple[Round, ...] = ()

    def turned(self, seat: int, turn: int) -> int:
        """The seat that takes this one's place after `turn` steps."""
        orbit, place = divmod(seat, self.cycle)
        if (orbit + 1) * self.cycle > self.seats:
            return seat
        return orbit * self.cycle + (place + turn) % self.cycle


# (seats, size of a heat) -> starter
STARTERS: dict[tuple[int, int], Starter] = {
    (15, 3): Starter(15, 7, (((0, 8, 10), (1, 3, 4), (2, 7, 11), (5, 9, 14), (6, 12, 13)),)),
    (18, 3): Starter(
        18,
        4,
        (
            ((0, 7, 10), (1, 9, 17), (2, 4, 16), (3, 14, 15), (5, 6, 12), (8, 11, 13)),
            ((0, 4, 9), (1, 6, 8), (2, 3, 12), (5, 14, 17), (7, 11, 15), (10, 13, 16)),
        ),
    ),
    (21, 3): Starter(
        21,
        5,
        (
            ((0, 6, 17), (1, 14, 16), (2, 3, 12), (4, 8, 18), (5, 9, 10), (7, 15, 20), (11, 13, 19)),
            ((0, 3, 16), (1, 13, 20), (2, 5, 7), (4, 6, 10), (8, 15, 17), (9, 11, 12), (14, 18, 19)),
        ),
    ),
    (24, 3): Starter(
        24,
        11,
        (((0, 8, 14), (1, 19, 22), (2, 4, 9), (3, 12, 16), (5, 17, 23), (6, 7, 11), (10, 20, 21), (13, 15, 18)),),
    ),
    (27, 3): Starter(
        27,
        13,
        (
            (
                (0, 10, 11),
                (1, 7, 18),
                (2, 20, 23),
                (3, 8, 17),
                (4, 19, 26),
                (5, 9, 15),
                (6, 13, 22),
                (12, 24, 25),
                (14, 16, 21),
            ),
        ),
    ),
    (30, 3): Starter(
        30,
        14,
        (
            (
                (0, 1, 9),
                (2, 12, 20),
                (3, 26, 28),
                (4, 24, 29),
                (5, 18, 21),
                (6, 8, 23),
                (7, 10, 17),
                (11, 16, 22),
                (13, 25, 27),
                (14, 15, 19),
            ),
        ),
    ),
    (33, 3): Starter(
        33,
        15,
        (
            (
                (0, 8, 13),
                (1, 12, 23),
                (2, 11, 15),
                (3, 6, 26),
                (4, 5, 21),
                (7, 19, 31),
                (9, 27, 32),
                (10, 16, 30),
                (14, 28, 29),
                (17, 20, 25),
                (18, 22, 24),
            ),
        ),
    ),
    (36, 3): Starter(
        36,
        17,
        (
            (
                (0, 30, 34),
                (1, 15, 26),
                (2, 7, 8),
                (3, 5, 12),
                (4, 22, 27),
                (6, 10, 25),
                (9, 29, 35),
                (11, 21, 23),
                (13, 17, 20),
                (14, 19, 28),
                (16, 32, 33),
                (18, 24, 31),
            ),
        ),
    ),
    (24, 4): Starter(
        24, 7, (((0, 2, 3, 12), (1, 8, 20, 22), (4, 10, 18, 23), (5, 9, 16, 21), (6, 14, 15, 19), (7, 11, 13, 17)),)
    ),
    (28, 4): Starter(
        28,
        9,
        (
            (
                (0, 5, 18, 26),
                (1, 4, 20, 24),
                (2, 3, 9, 15),
                (6, 8, 16, 17),
                (7, 12, 22, 27),
                (10, 14, 21, 23),
                (11, 13, 19, 25),
            ),
        ),
    ),
    (40, 4): Starter(
        40,
        13,
        (
            (
                (0, 13, 26, 39),
                (1, 12, 17, 22),
                (3, 10, 14, 25),
                (4, 9, 16, 23),
                (2, 11, 29, 36),
                (6, 7, 30, 35),
                (5, 8, 27, 38),
                (15, 24, 32, 33),
                (19, 20, 31, 34),
                (18, 21, 28, 37),
            ),
        ),
    ),
    (30, 5): Starter(
        30,
        6,
        (
            (
                (0, 7, 15, 18, 27),
                (1, 5, 17, 22, 24),
                (2, 11, 21, 26, 28),
                (3, 9, 14, 16, 25),
                (4, 6, 8, 12, 20),
                (10, 13, 19, 23, 29),
            ),
        ),
    ),
}
