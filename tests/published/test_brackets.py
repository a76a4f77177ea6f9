"""Facts of knockouts, against published numbers and drawings."""

import pytest

from tourney.finals.deal import seed_order
from tourney.finals.drawing import skeleton
from tourney.model.bracket import BracketHeat

# Entries -> (byes, heats of the first stage, heats, stages). n = 13: formulas page of the course RECR 342, South Dakota
# State University. n = 19 likewise on a public study page. The others follow from the same formulas.
KNOCKOUTS = {
    5: (3, 1, 4, 3),
    6: (2, 2, 5, 3),
    7: (1, 3, 6, 3),
    11: (5, 3, 10, 4),
    12: (4, 4, 11, 4),
    13: (3, 5, 12, 4),
    19: (13, 3, 18, 5),
    20: (12, 4, 19, 5),
    24: (8, 8, 23, 5),
    33: (31, 1, 32, 6),
}

# The pairs of the first stage as a bracket of sixteen is printed each year in the college tournament of basketball in
# the United States (Chicago Sun-Times, 2019 bracket), and the groups of four that they lead into.
SIXTEEN = ((1, 16), (8, 9), (5, 12), (4, 13), (6, 11), (3, 14), (7, 10), (2, 15))

# Orders by doubling, in which the seeds of each new pair make the number of places and one; recomputed by hand.
ORDERS = {
    4: [1, 4, 2, 3],
    8: [1, 8, 4, 5, 2, 7, 3, 6],
    16: [1, 16, 8, 9, 4, 13, 5, 12, 2, 15, 7, 10, 3, 14, 6, 11],
    32: [
        1, 32, 16, 17, 8, 25, 9, 24, 4, 29, 13, 20, 5, 28, 12, 21,
        2, 31, 15, 18, 7, 26, 10, 23, 3, 30, 14, 19, 6, 27, 11, 22,
    ],
}  # fmt: skip


def seeds(heats: tuple[BracketHeat, ...], stage: int) -> list[set[int]]:
    return [{source.seed for source in heat.sources if source.seed} for heat in heats if heat.stage == stage]


@pytest.mark.parametrize(("entries", "facts"), KNOCKOUTS.items())
def test_byes_heats_and_stages(entries: int, facts: tuple[int, int, int, int]) -> None:
    heats = skeleton("knockout", entries, 2, "K")
    first = seeds(heats, 1)
    assert (entries - 2 * len(first), len(first), len(heats), heats[-1].stage) == facts
    assert set(range(1, facts[0] + 1)).isdisjoint(set().union(*first))  # byes are for the best seeds


@pytest.mark.parametrize("entries", range(2, 65))
def test_two_defeats_take_twice_as_many_heats_less_two_and_perhaps_one_more(entries: int) -> None:
    """Rosen, Discrete Mathematics and Its Applications, 8th ed., ch. 6, problem 73."""
    heats = skeleton("double_knockout", entries, 2, "K")
    assert len(heats) == 2 * entries - 1 and heats[-1].name == "Deciding heat"


@pytest.mark.parametrize("entries", range(2, 257))
def test_one_heat_for_each_defeat(entries: int) -> None:
    for kind in ("knockout", "last_out"):
        assert len(skeleton(kind, entries, 2, "K")) == entries - 1


@pytest.mark.parametrize(("places", "order"), ORDERS.items())
def test_the_order_of_seeds(places: int, order: list[int]) -> None:
    assert seed_order(places) == order


def test_the_printed_bracket_of_sixteen_is_the_same_nest_of_sets() -> None:
    def nest(row: list[int]) -> frozenset[object]:
        if len(row) == 2:
            return frozenset(row)
        half = len(row) // 2
        return frozenset((nest(row[:half]), nest(row[half:])))

    assert nest(seed_order(16)) == nest([seed for pair in SIXTEEN for seed in pair])


@pytest.mark.parametrize("places", [4, 8, 16, 32, 64])
def test_the_better_seeds_meet_as_late_as_can_be(places: int) -> None:
    """If the better seed always wins, each stage is heard by the best there are, first against last."""
    for stage, left in enumerate((places >> n for n in range(places.bit_length() - 1)), 1):
        row = [seed for seed in seed_order(places) if seed <= left]
        assert all(one + other == left + 1 for one, other in zip(row[::2], row[1::2], strict=True)), stage
