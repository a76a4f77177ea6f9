"""Who moves on: outcomes in, brackets out."""

from collections.abc import Callable
from fractions import Fraction
from random import Random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tourney.finals.drawing import bracket_of
from tourney.finals.outcomes import Absence, Level, Outcome
from tourney.finals.playing import Played, final_places, play
from tourney.model.bracket import Bracket, BracketHeat
from tourney.model.plan import DrawnFinals
from tourney.scoring.drilled import SETS

Decide = Callable[[BracketHeat], tuple[str, ...]]


def bracket(kind: str, entries: int, size: int = 2) -> Bracket:
    teams = tuple(f"T{seed:03}" for seed in range(1, entries + 1))
    return bracket_of(DrawnFinals("Junior", "J", kind, size, teams, teams))


def outcome(order: tuple[str, ...]) -> Outcome:
    return Outcome(tuple(Level((team,)) for team in order), {team: Fraction(-at) for at, team in enumerate(order)})


def played_out(drawn: Bracket, decide: Decide, out: frozenset[str] = frozenset()) -> tuple[Played, dict[str, Outcome]]:
    """All heats, as `decide` puts their teams in order."""
    outcomes: dict[str, Outcome] = {}
    while True:
        found = play(drawn, outcomes, out)
        open_ = [heat for heat in found.bracket.heats if not heat.order and None not in heat.teams]
        if not open_:
            return found, outcomes
        outcomes |= {heat.id: outcome(decide(heat)) for heat in open_}


def better_seed(heat: BracketHeat) -> tuple[str, ...]:
    return tuple(sorted(team for team in heat.teams if team))


def by_chance(random: Random) -> Decide:
    return lambda heat: tuple(random.sample(better_seed(heat), len(heat.teams)))


@pytest.mark.parametrize("kind", ["line", "knockout", "placement", "last_out", "double_knockout"])
@pytest.mark.parametrize("entries", [2, 3, 6, 11, 16])
def test_without_surprises_seeds_keep_their_places(kind: str, entries: int) -> None:
    found, _ = played_out(bracket(kind, entries), better_seed)
    assert found.over
    places = {team: place for place, team in final_places(found.bracket)}
    assert len(places) == entries and places["T001"] == 1 and places["T002"] == 2
    assert [places[team] for team in sorted(places)] == sorted(places.values())


@given(st.sampled_from(["knockout", "placement", "last_out", "double_knockout"]), st.integers(2, 40), st.randoms())
def test_whatever_happens_everyone_gets_a_place(kind: str, entries: int, random: Random) -> None:
    found, outcomes = played_out(bracket(kind, entries), by_chance(random))
    places = [place for place, _ in final_places(found.bracket)]
    assert found.over and not found.ties and not found.stale
    assert len(places) == entries and all(place == 1 + sum(one < place for one in places) for place in places)
    if kind == "double_knockout":
        lost = [heat.order[1] for heat in found.bracket.heats if heat.needed]
        champion = final_places(found.bracket)[0][1]
        assert all(lost.count(team) == 2 for team in found.bracket.seeds if team != champion)
        assert len(outcomes) == 2 * entries - 2 + (champion in lost)
        assert found.bracket.heats[-1].needed == (champion in lost)


@given(st.integers(3, 40), st.integers(3, 6), st.randoms())
def test_lines_of_more_than_two(entries: int, size: int, random: Random) -> None:
    found, _ = played_out(bracket("knockout", entries, size), by_chance(random))
    assert found.over and len(final_places(found.bracket)) == entries


@given(st.sampled_from(["knockout", "placement", "double_knockout", "last_out"]), st.integers(2, 20), st.randoms())
def test_who_withdraws_is_never_waited_for(kind: str, entries: int, random: Random) -> None:
    drawn = bracket(kind, entries)
    out = frozenset(team for team in drawn.seeds if random.random() < 0.4)

    def others(heat: BracketHeat) -> tuple[str, ...]:
        return (
            by_chance(random)(heat)
            if out.isdisjoint(heat.teams)
            else tuple(t for t in better_seed(heat) if t not in out)
        )

    found, _ = played_out(drawn, others, out)
    assert found.over
    if len(out) < entries:
        assert final_places(found.bracket)[0][1] not in out


def test_an_outcome_of_others_counts_no_longer() -> None:
    drawn = bracket("knockout", 4)
    _, outcomes = played_out(drawn, better_seed)
    outcomes["J-F1-1"] = outcome(("T004", "T001"))
    found = play(drawn, outcomes)
    assert [stale.heat for stale in found.stale] == ["J-F2-1"]
    assert found.stale[0].belong == ("T004", "T002") and not found.over


def tied(levels: tuple[tuple[str, ...], ...], readings: int = 0) -> Outcome:
    return Outcome(tuple(Level(tuple(level), readings) for level in levels), {})


def test_a_tie_that_decides_who_moves_on_waits_for_a_drill_off() -> None:
    found = play(bracket("knockout", 4), {"J-F1-1": tied((("T001", "T004"),))})
    assert [(tie.heat, tie.teams, tie.readings) for tie in found.ties] == [("J-F1-1", ("T001", "T004"), 0)]
    assert found.bracket.heats[0].order == ()
    found = play(bracket("knockout", 4), {"J-F1-1": tied((("T001", "T004"),), SETS)})
    assert found.ties[0].readings == SETS  # somebody has to move on: they read on


def test_a_tie_that_matters_to_nobody_is_left_alone() -> None:
    """Both go on into the same heat, or share a place for which there is no award."""
    found = play(bracket("last_out", 4), {"J-F1-1": tied((("T002", "T001"), ("T003",), ("T004",)))})
    assert not found.ties and found.bracket.heats[0].order == ("T001", "T002", "T003", "T004")
    order = (("T001",), ("T002",), ("T003",), ("T005", "T004"))
    found = play(bracket("line", 5), {"J-F1-1": tied(order)})
    assert found.over and final_places(found.bracket)[3:] == ((4, "T004"), (4, "T005"))


def test_an_award_is_shared_after_the_last_set_of_the_drill_off() -> None:
    order = (("T002", "T001"), ("T003",))
    assert all(play(bracket("line", 3), {"J-F1-1": tied(order, readings)}).ties for readings in range(SETS))
    found = play(bracket("line", 3), {"J-F1-1": tied(order, SETS)})
    assert found.over and [place for place, _ in final_places(found.bracket)] == [1, 1, 3]


KINDS_PLAYED = st.sampled_from(["knockout", "placement", "double_knockout", "last_out", "line"])


@given(KINDS_PLAYED, st.integers(2, 16), st.randoms())
def test_who_does_not_come_stands_behind_all_who_do(kind: str, entries: int, random: Random) -> None:
    """At most one team stays away from a heat; what is still to be decided between the others is heard."""
    drawn = bracket(kind, entries)
    absent: dict[str, Absence] = {}
    outcomes: dict[str, Outcome] = {}
    while True:
        found = play(drawn, outcomes, (), absent)
        open_ = [heat for heat in found.bracket.heats if heat.needed and not heat.order and None not in heat.teams]
        if not open_:
            break
        heat = random.choice(open_)
        if heat.id in absent:
            came = tuple(team for team in by_chance(random)(heat) if team not in absent[heat.id].teams)
            outcomes[heat.id] = outcome(came)
        else:
            absent[heat.id] = Absence(better_seed(heat), tuple(random.sample(better_seed(heat), random.randint(0, 1))))
    assert found.over and not found.ties and not found.absent
    for heat in found.bracket.heats:
        if heat.needed:
            assert bool(heat.points) == (heat.id in outcomes)
            assert not absent[heat.id].teams or heat.order[-1:] == absent[heat.id].teams


def test_two_who_do_not_come_are_left_to_a_person() -> None:
    drawn = bracket("knockout", 4)
    both = ("T001", "T004")
    away = {"J-F1-1": Absence(both, both)}
    found = play(drawn, {}, (), away)
    assert [(one.heat, one.teams) for one in found.absent] == [("J-F1-1", both)] and not found.ties
    assert play(drawn, {}, {"T001"}, away).bracket.heats[0].order == ("T004", "T001")
    # who had won without a heat and leaves later takes nobody back who did not come
    assert play(drawn, {}, {"T001"}, {"J-F1-1": Absence(both, ("T004",))}).bracket.heats[0].order == both
    assert not play(drawn, {}, (), {"J-F1-1": Absence(("T001", "T003"), ("T001",))}).bracket.heats[0].order, "of others"
    four = bracket("line", 4)
    missing = {"J-F1-1": Absence(four.seeds, ("T001", "T002"))}
    shared = play(four, {"J-F1-1": outcome(("T003", "T004"))}, (), missing)
    assert final_places(shared.bracket) == ((1, "T003"), (2, "T004"), (3, "T001"), (3, "T002"))


def test_a_heat_keeps_its_outcome_when_more_of_it_leave() -> None:
    drawn = bracket("last_out", 4)
    heard = {"J-F1-1": outcome(("T002", "T003", "T004"))}
    assert not play(drawn, heard, {"T001"}).stale
    found = play(drawn, heard, {"T001", "T002"})
    assert not found.stale and found.bracket.heats[0].order == ("T002", "T003", "T004", "T001")
