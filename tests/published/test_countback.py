"""The countback of vertical jumps, as a chain of the test's own criteria through our chain function.

Rule: World Athletics Technical Rule 26.8 (formerly 181.8): fewest failures at the last height cleared, then fewest
failures up to and with it; who is still level shares the place. Text as quoted on polevaultpower.com and primidi.com.
"""

from fractions import Fraction

from tourney.scoring.chain import Criterion, Finding, Group, Level, separate
from tourney.scoring.places import places_of

Card = dict[str, list[str]]

# primidi.com, "High jump: declaring the winner": heights 1.91 1.93 1.95 1.97 1.99 2.01.
HIGH_JUMP: Card = {
    "A": ["-", "-", "XO", "XO", "XO", "XXX"],
    "B": ["O", "-", "O", "O", "XXX", ""],
    "C": ["O", "-", "XO", "XO", "X--", "XX"],
    "D": ["-", "XO", "O", "XXO", "XXO", "XXX"],
    "E": ["-", "-", "-", "XXX", "", ""],
}

# From memory of the rule book's own example, heights 1.75 1.80 1.84 1.88 1.91 1.94 1.97: level until the jump-off.
RULE_BOOK: Card = {
    "A": ["O", "XO", "O", "XO", "X-", "XX", ""],
    "B": ["-", "XO", "-", "XO", "-", "-", "XXX"],
    "C": ["-", "O", "XO", "XO", "-", "XXX", ""],
    "D": ["-", "XO", "XO", "XO", "XXX", "", ""],
}


def last_cleared(tries: list[str]) -> int:
    """Number of the best height cleared, from 1; 0 for none."""
    return max((at for at, text in enumerate(tries, start=1) if "O" in text), default=0)


def chain(card: Card) -> list[Criterion]:
    def best(group: Group) -> Finding:
        return Finding("best height", {name: (last_cleared(card[name]),) for name in group})

    def at_best(group: Group) -> Finding:
        return Finding(
            "failures at it", {name: (-card[name][last_cleared(card[name]) - 1].count("X"),) for name in group}
        )

    def so_far(group: Group) -> Finding:
        sums = {name: sum(text.count("X") for text in card[name][: last_cleared(card[name])]) for name in group}
        return Finding("failures up to it", {name: (-value,) for name, value in sums.items()})

    return [Criterion("best", best), Criterion("at best", at_best), Criterion("so far", so_far)]


def order(levels: tuple[Level, ...]) -> list[str]:
    return ["".join(level.teams) for level in levels]


def test_a_published_card() -> None:
    levels = separate(tuple(HIGH_JUMP), chain(HIGH_JUMP))
    assert order(levels) == ["A", "D", "B", "C", "E"]
    assert [level.decided.name for level in levels if level.decided] == [
        "failures at it", "best height", "failures at it", "best height",
    ]  # fmt: skip


def test_three_share_first_until_a_jump_off() -> None:
    assert order(separate(tuple(RULE_BOOK), chain(RULE_BOOK))) == ["ABC", "D"]


def test_places_of_a_published_final_with_gaps() -> None:
    """Men's final, Rio 2016: olympedia.org, result 358684. Letters for the athletes; who was level is the page's."""
    levels = ["A", "B", "C", "D E", "F", "G H I", "J"]
    worth = {name: Fraction(-at) for at, level in enumerate(levels) for name in level.split()}
    assert list(places_of(worth).values()) == [1, 2, 3, 4, 4, 6, 7, 7, 7, 10]
