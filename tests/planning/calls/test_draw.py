"""Whole draws: every rule of a set, measured on what comes out."""

from collections.abc import Callable
from dataclasses import replace
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tourney.canon.syllabus import Syllabus, built_in
from tourney.draw import Draw
from tourney.errors import Refusal
from tourney.planning.calls.draw import draw_call_sets

BOOKS = built_in()
TWO_A_ROUND = (1, 1, 2, 2, 3, 3, 4, 4)
Measured = Any  # of conftest
Measure = Callable[..., Measured]

DAYS = [
    {"calls": 16},
    {"calls": 16, "no_repeat_gap": 1, "first_last": "leave_out"},
    {"calls": 20},
    {"calls": 16, "sections": "by_size", "no_repeat_gap": 2},
    {"calls": 18, "sections": {"law": 1, "history": 3, "minor_prophets": 2, "paul": 2.5, "gospels_acts": 0.6}},
]


@pytest.mark.parametrize("rules", DAYS)
def test_a_day_of_66_books_keeps_every_rule(measured: Measure, rules: dict[str, Any]) -> None:
    day = measured(BOOKS, TWO_A_ROUND, **rules)
    for found in day.sets:
        items = day.items(found)
        assert len(items) == len(set(items)) == (3 if found.use == "drill_off" else rules["calls"])
        assert [call.no for call in found.calls] == list(range(1, len(items) + 1))
        assert day.neighbours(found) == 0
        assert day.twice_running(found) == 0
    for round_ in {found.round for found in day.rotation}:
        assert len({str(day.sections(found)) for found in day.rotation if found.round == round_}) == 1
    assert day.use_spread() <= 1
    assert (day.least_gap() or 9) >= rules.get("no_repeat_gap", 0)
    assert day.spread_percent() <= 1
    assert all(line.ok for line in day.fairness.values()), [line for line in day.fairness.values() if not line.ok]


def test_weights_that_leave_little_room_still_give_equal_sets(measured: Measure) -> None:
    """Law and Gospels give two of their five books to nearly every set, with a set between two uses."""
    day = measured(BOOKS, TWO_A_ROUND, calls=12, sections={"law": 1, "history": 2, "paul": 2.5, "gospels_acts": 1.1})
    assert day.spread_percent() <= 1
    assert day.use_spread() <= 1
    assert day.least_gap() == 1


def test_equal_sections_after_each_round(measured: Measure) -> None:
    """20 calls over 8 sections in 4 rounds: least and most of a section after each round (worked out by hand)."""
    day = measured(BOOKS, (1, 2, 3, 4), calls=20)
    so_far = dict.fromkeys(BOOKS.sections, 0)
    met = []
    for found in day.rotation:
        so_far = {key: so_far[key] + calls for key, calls in day.sections(found).items()}
        met.append((min(so_far.values()), max(so_far.values())))
    assert met == [(2, 3), (5, 5), (7, 8), (10, 10)]
    assert day.fairness["sets_between_reuse"].measured == 1


def test_six_calls_meet_each_section_three_times_in_four_rounds(measured: Measure) -> None:
    day = measured(BOOKS, (1, 2, 3, 4), calls=6)
    assert {sum(day.sections(found)[key] for found in day.rotation) for key in BOOKS.sections} == {3}


def test_24_equal_calls_have_the_fewest_neighbours_that_counts_allow(measured: Measure) -> None:
    """Of five books the three that are no neighbours are always the same; Poetry's and Major Prophets' touch."""
    day = measured(BOOKS, (1, 1, 2, 2), calls=24)
    assert [day.neighbours(found) for found in day.rotation] == [1, 1, 1, 1]
    assert {tuple(sorted(set(day.items(found)) & {"GEN", "EXO", "LEV", "NUM", "DEU"})) for found in day.rotation} == {
        ("DEU", "GEN", "LEV")
    }
    assert all(day.close_neighbours(found) == 0 for found in day.sets)
    line = day.fairness["neighbours_in_one_set"]
    assert (line.measured, line.bound, line.ok) == (6, 6, False)  # four of the rotation, the final, the reserve
    assert day.fairness["sets_between_reuse"].measured == 0


def test_the_same_secret_gives_the_same_sets_and_another_gives_others(measured: Measure) -> None:
    first, again, other = (measured(BOOKS, (1, 2), secret, calls=16) for secret in ("a", "a", "b"))
    assert first.sets == again.sets
    assert all(one.calls != two.calls for one, two in zip(first.sets, other.sets, strict=True))


def test_nobody_finds_few_calls_by_trying_out_which_have_the_fingerprint(measured: Measure) -> None:
    """A drill-off set has so few calls that all could be tried: what is sealed with them comes from the secret."""
    first, other = (measured(BOOKS, (1, 2), secret, calls=16) for secret in ("a", "b"))
    salts = [found.salt for day in (first, other) for found in day.sets]
    assert len(set(salts)) == len(salts) and all(len(bytes.fromhex(salt)) == 16 for salt in salts)
    drill_off = next(found for found in first.sets if found.use == "drill_off")
    assert replace(drill_off, salt=salts[0]).fingerprint() != drill_off.fingerprint()


def test_sets_come_in_the_order_asked_with_their_own_particulars(measured: Measure, needs: Any) -> None:
    day = measured(BOOKS, (1, 2), calls=16, seconds=12)
    assert [(s.id, s.use, s.round, s.order) for s in day.sets] == [
        (n.id, n.use, n.round, n.order) for n in needs((1, 2))
    ]
    assert {found.seconds for found in day.sets} == {12}
    song = next(call for s in day.sets for call in (*s.calls, *s.reserves) if call.item == "SNG")
    assert (song.say, song.answer) == ("Song of Songs", ("Ecclesiastes", "Song of Songs", "Isaiah"))
    assert "Song of Solomon" in song.also


def test_other_sets_differ_from_all_and_keep_from_what_was_just_heard(measured: Measure) -> None:
    day = measured(BOOKS, (1, 2, 3, 4), calls=16, sections="by_size")
    by_id = {found.id: set(day.items(found)) for found in day.sets}
    assert len({frozenset(items) for items in by_id.values()}) == len(by_id)
    assert not by_id["J-FINAL-1"] & by_id["J-W04"]
    assert not by_id["J-DRILLOFF-1"] & (by_id["J-FINAL-1"] | by_id["J-W04"])
    assert not by_id["J-PRACTICE"] & by_id["J-W01"]


def test_reserve_calls_are_like_calls_of_the_set(measured: Measure) -> None:
    day = measured(BOOKS, TWO_A_ROUND, calls=16)
    for found in day.sets:
        spare = [call.item for call in found.reserves]
        assert [call.no for call in found.reserves] == [1, 2, 3]
        assert len(set(spare)) == 3
        assert not set(spare) & set(day.items(found))
        assert {call.section for call in found.reserves} <= {call.section for call in found.calls}
        assert len({call.section for call in found.reserves}) == 3


def test_a_reserve_set_of_a_round_has_the_sections_of_that_round(needs: Any, ruled: Any) -> None:
    asked = [replace(need, round=2) if need.use == "reserve" else need for need in needs((1, 2, 3))]
    drawn = draw_call_sets(ruled(calls=20), asked, BOOKS, Draw("words", "salt"))
    sections = {found.id: sorted(call.section for call in found.calls) for found in drawn.sets}
    assert sections["J-RESERVE-1"] == sections["J-W02"] != sections["J-W01"]


def test_the_ends_of_the_list_can_be_left_out(measured: Measure) -> None:
    day = measured(BOOKS, (1, 2, 3, 4, 5, 6, 7, 8), calls=16, first_last="leave_out")
    called = {call.item for found in day.sets for call in (*found.calls, *found.reserves)}
    assert called == set(BOOKS.rank) - {"GEN", "REV"}


def test_items_of_other_divisions_are_not_called(measured: Measure) -> None:
    items = tuple(replace(item, divisions=("Senior",) if n % 6 == 0 else ()) for n, item in enumerate(BOOKS.items))
    day = measured(Syllabus(items), TWO_A_ROUND, calls=16)
    called = {call.item for found in day.sets for call in (*found.calls, *found.reserves)}
    assert called.isdisjoint(item.id for item in items if item.divisions)
    # Neighbours stay those of the whole list.
    assert all(day.neighbours(found) == 0 for found in day.rotation)


@pytest.mark.parametrize("kind", ["reference", "story", "finish"])
def test_calls_of_other_kinds_are_drawn_alike(measured: Measure, listed: Any, kind: str) -> None:
    items = tuple(replace(item, kind=kind, say=f"cue {item.id}") for item in listed((9, 9, 9)).items)
    day = measured(Syllabus(items), (1, 2), calls=6)
    drawn = {(call.kind, call.say == f"cue {call.item}") for found in day.sets for call in found.calls}
    assert drawn == {(kind, True)}


@pytest.mark.parametrize(("calls", "rounds"), [(20, 12), (30, 8)])
def test_large_sets_have_as_many_hard_calls_as_each_other(measured: Measure, calls: int, rounds: int) -> None:
    """Where exchanges alone leave more than two calls of a third between two sets, and the sums are equal already."""
    for secret in range(4):
        sections = "by_size" if calls == 30 else "equal"
        day = measured(BOOKS, range(1, rounds + 1), secret=f"s{secret}", calls=calls, sections=sections)
        line = day.fairness["difficulty_thirds_of_list_spread_calls"]
        assert line.measured <= 2, secret


@pytest.mark.parametrize(("calls", "rounds"), [(6, 6), (6, 12), (8, 8), (10, 8)])
def test_in_short_sets_too_names_that_sound_alike_are_far_apart(measured: Measure, calls: int, rounds: int) -> None:
    """Whatever else is sought: equal thirds in short sets, calls that no round heard in a drill-off."""
    for secret in range(6):
        day = measured(BOOKS, [1 + 4 * n // rounds for n in range(rounds)], secret=f"s{secret}", calls=calls)
        line = day.fairness["sound_alikes_within_three_calls"]
        assert (line.measured, line.worst) == (0, ""), secret


def test_names_that_sound_alike_are_those_of_the_syllabus(measured: Measure, listed: Any) -> None:
    """A table that pairs every item with the one eight places on: none of a pair is near the other."""
    plain = listed((8, 8, 8, 8, 8))
    keys = [item.id for item in plain.items]
    day = measured(replace(plain, sound_alikes=tuple(zip(keys, keys[8:], strict=False))), (1, 2, 3), calls=10)
    place = {key: n for n, key in enumerate(keys)}
    for found in day.rotation:
        row = [place[key] for key in day.items(found)]
        assert not [1 for i, a in enumerate(row) for b in row[i + 1 : i + 4] if abs(a - b) == 8]
    assert day.fairness["sound_alikes_within_three_calls"].measured == 0


def test_a_division_without_a_rotation_has_its_other_sets(needs: Any, ruled: Any) -> None:
    asked = [need for need in needs(()) if need.use == "practice"]
    assert [len(found.calls) for found in draw_call_sets(ruled(), asked, BOOKS, Draw("w", "s")).sets] == [16]


sizes = st.lists(st.integers(1, 9), min_size=1, max_size=6)
rules = st.fixed_dictionaries(
    {
        "calls": st.integers(1, 12),
        "sections": st.sampled_from(["equal", "by_size", {"shelf0": 2, "shelf1": 1.5}]),
        "no_repeat_gap": st.sampled_from([None, 0, 1, 2]),
        "first_last": st.sampled_from(["call", "leave_out"]),
    }
)


@settings(max_examples=15, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(sizes, rules, st.sampled_from([(1,), (1, 2, 3), (1, 1, 2, 2), (1, 1, 1, 2, 2, 2)]), st.text(max_size=3))
def test_any_list_and_rules_give_sound_sets_or_a_refusal(
    measured: Measure, listed: Any, sizes: list[int], rules: dict[str, Any], rounds: tuple[int, ...], secret: str
) -> None:
    try:
        day = measured(listed(sizes), rounds, secret, **rules)
    except Refusal as refusal:
        assert refusal.message.endswith(".")
        return
    for found in day.sets:
        items = day.items(found)
        assert len(items) == len(set(items)) == (3 if found.use == "drill_off" else rules["calls"])
        assert day.close_neighbours(found) == 0
    for number in rounds:
        assert len({str(day.sections(found)) for found in day.rotation if found.round == number}) == 1
    if rules["sections"] == "equal":
        assert all(max(row.values()) - min(row.values()) <= 1 for row in map(day.sections, day.rotation))
    gap = day.least_gap()
    assert gap is None or gap >= (rules["no_repeat_gap"] or 0)
    assert day.fairness["neighbours_in_one_set"].measured == sum(
        day.neighbours(found) for found in day.sets if found.use != "practice"
    )
    assert day.fairness["neighbours_in_one_set"].measured >= day.fairness["neighbours_in_one_set"].bound
    assert day.use_spread() >= day.fairness["use_spread_in_a_section"].bound
