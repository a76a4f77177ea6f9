"""Heats, byes and seats of every kind of finals."""

from collections import Counter
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tourney.finals.deal import groups
from tourney.finals.drawing import skeleton
from tourney.finals.kinds import KINDS
from tourney.model.bracket import BracketHeat

PAIRS = ("knockout", "double_knockout", "placement")
entries_of_finals = st.integers(2, 256)


def heats_of(kind: str, entries: int, size: int = 2) -> tuple[BracketHeat, ...]:
    return skeleton(kind, entries, size, "J")


@given(st.sampled_from(sorted(KINDS)), entries_of_finals, st.integers(2, 8))
def test_every_seat_is_filled_once_and_from_an_earlier_stage(kind: str, entries: int, size: int) -> None:
    heats = heats_of(kind, entries, size)
    assert len({heat.id for heat in heats}) == len({heat.name for heat in heats}) == len(heats)
    stages = [heat.stage for heat in heats]
    assert stages == sorted(stages) and set(stages) == set(range(1, stages[-1] + 1))
    seats = Counter(source for heat in heats for source in heat.sources)
    assert set(seats.values()) == {1}
    assert sorted(source.seed for source in seats if source.seed is not None) == list(range(1, entries + 1))
    stage_of = {heat.id: heat.stage for heat in heats}
    for heat in heats:
        assert all(stage_of[source.heat] < heat.stage for source in heat.sources if source.heat)
        assert len(heat.sources) >= 2 and len(heat.places) == len(heat.sources)


@given(st.sampled_from(sorted(KINDS)), entries_of_finals, st.integers(2, 8))
def test_everyone_gets_one_place_and_places_are_shared_as_1_2_2_4(kind: str, entries: int, size: int) -> None:
    heats = heats_of(kind, entries, size)
    given_twice = {heats[-2].id} if heats[-1].name == "Deciding heat" else set()
    places = sorted(place for heat in heats if heat.id not in given_twice for place in heat.places if place)
    assert places[0] == 1 and len(places) == entries
    assert all(place == 1 + sum(other < place for other in places) for place in places)


@pytest.mark.parametrize("entries", [2, 3, 5, 8, 13])
def test_placement_heats_leave_no_place_shared(entries: int) -> None:
    places = sorted(place for heat in heats_of("placement", entries) for place in heat.places if place)
    assert places == list(range(1, entries + 1))


def test_the_lowest_leaves_heat_after_heat() -> None:
    heats = heats_of("last_out", 5)
    assert [len(heat.sources) for heat in heats] == [5, 4, 3, 2]
    assert [heat.places[-1] for heat in heats] == [5, 4, 3, 2]
    assert heats[-1].places == (1, 2)


@given(entries_of_finals, st.integers(3, 8))
def test_heats_of_more_than_two_are_even_and_their_better_half_goes_on(entries: int, size: int) -> None:
    heats = heats_of("knockout", entries, size)
    for stage in range(1, heats[-1].stage + 1):
        lines = [len(heat.sources) for heat in heats if heat.stage == stage]
        assert max(lines) <= size and max(lines) - min(lines) <= 1
    for heat in heats[:-1]:
        on = sum(place is None for place in heat.places)
        assert on == heat.moves_on == (len(heat.sources) + 1) // 2


@given(entries_of_finals, st.integers(3, 8))
def test_the_best_seeds_meet_in_no_first_heat(entries: int, size: int) -> None:
    dealt = groups(entries, size)
    assert [heat[0] for heat in dealt] == list(range(1, len(dealt) + 1))
    assert sorted(seed for heat in dealt for seed in heat) == list(range(1, entries + 1))
    assert all(len(one) <= len(other) for one, other in pairwise(dealt))


def test_nobody_meets_again_at_once_in_the_second_half() -> None:
    heats = {heat.id: heat for heat in heats_of("double_knockout", 16)}

    def seeds(key: str) -> set[int]:
        return {
            seed
            for source in heats[key].sources
            for seed in ([source.seed] if source.seed is not None else seeds(source.heat))
            if seed is not None
        }

    for heat in heats.values():
        if heat.side == "second" and any(heats[source.heat].side == "main" for source in heat.sources):
            winner, loser = (source.heat for source in heat.sources)
            if heat.stage == 3:
                assert seeds(winner).isdisjoint(seeds(loser))


def test_a_heat_alone_of_its_stage_is_named_after_the_stage() -> None:
    assert [heat.name for heat in heats_of("knockout", 9)][:2] == ["Last 16", "Quarter-final 1"]
    assert [heat.name for heat in heats_of("knockout", 10)][:2] == ["Last 16, heat 1", "Last 16, heat 2"]
    assert [heat.name for heat in heats_of("knockout", 5)][:2] == ["Quarter-final", "Semi-final 1"]


@pytest.mark.parametrize(("entries", "size"), [(6, 3), (9, 3), (12, 3), (24, 3), (27, 3), (8, 4), (16, 4), (40, 4)])
def test_who_has_just_met_in_a_line_does_not_meet_again_at_once(entries: int, size: int) -> None:
    for heat in heats_of("knockout", entries, size):
        before = [source.heat for source in heat.sources]
        assert heat.stage != 2 or heat.name == "Final" or len(set(before)) == len(before)
