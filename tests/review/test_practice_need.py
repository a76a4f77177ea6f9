"""What to practise: rates drawn toward the division's."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import beta

from tourney.canon.syllabus import built_in
from tourney.review.practice_need import PRIOR_CALLS, Needs, Try, needs, shrunk

ITEMS = built_in().items
KEYS = [item.id for item in ITEMS]
SECTION = {item.id: item.section for item in ITEMS}


def rate(found: Needs, section: str) -> float:
    return next(row.rate for row in found.sections if row.section == section)


def confusion(found: Needs, first: str) -> float:
    return next(row.rate for row in found.pairs if row.first == first)


@given(st.integers(0, 40), st.integers(0, 40), st.floats(0.01, 0.99), st.floats(0.5, 50))
def test_a_rate_is_the_mean_of_the_beta_distribution_after_the_calls(
    hits: int, others: int, prior: float, strength: float
) -> None:
    """Beta(a, b) becomes beta(a + y, b + n - y): Gelman and others, Bayesian Data Analysis, 2.4 (from memory)."""
    expected = beta(strength * prior + hits, strength * (1 - prior) + others).mean()
    assert shrunk(hits, hits + others, prior, strength) == pytest.approx(float(expected))


@given(st.integers(0, 30), st.integers(0, 30), st.floats(0.01, 0.99))
def test_a_rate_lies_between_what_was_seen_and_the_prior(hits: int, others: int, prior: float) -> None:
    seen = hits / (hits + others) if hits + others else prior
    low, high = sorted((seen, prior))
    assert low - 1e-12 <= shrunk(hits, hits + others, prior) <= high + 1e-12


def test_few_calls_stay_near_the_division_and_many_leave_it() -> None:
    division = [Try("JOL", number < 10, False) for number in range(100)]
    few = needs(ITEMS, [Try("JOL", True, False)] * 2, division)
    many = needs(ITEMS, [Try("JOL", True, False)] * 200, division)
    usual = next(row.division_rate for row in few.sections if row.section == "minor_prophets")
    assert usual == pytest.approx(0.1, abs=0.02)
    assert rate(few, "minor_prophets") < 0.25 and rate(many, "minor_prophets") > 0.9


def test_without_any_call_all_is_weighed_alike() -> None:
    found = needs(ITEMS, [], [])
    assert set(found.weight) == set(KEYS) and len(set(found.weight.values())) == 1 and found.calls == 0


def test_what_is_missed_most_comes_first_and_weighs_most() -> None:
    own = [Try(key, SECTION[key] == "paul", False) for key in KEYS for _ in range(4)]
    found = needs(ITEMS, own, own)
    assert found.sections[0].section == "paul"
    assert min(found.weight[key] for key in KEYS if SECTION[key] == "paul") > found.weight["GEN"]


def test_a_confused_item_weighs_on_both_of_its_neighbours() -> None:
    own = [Try(key, key == "NAM", key == "NAM") for key in KEYS for _ in range(6)]
    found = needs(ITEMS, own, own)
    assert {(pair.first, pair.second) for pair in found.pairs[:2]} == {("MIC", "NAM"), ("NAM", "HAB")}
    assert found.weight["MIC"] == pytest.approx(found.weight["HAB"]) and found.weight["MIC"] > found.weight["HOS"]


def test_late_is_a_miss_but_no_confusion() -> None:
    late = [Try("NAM", True, False)] * 12
    assert confusion(needs(ITEMS, late, late), "NAM") < confusion(needs(ITEMS, [], []), "NAM")


def test_items_that_are_not_in_the_list_are_passed_over() -> None:
    assert needs(ITEMS[:5], [Try("REV", True, True)], []) == needs(ITEMS[:5], [], [])


def test_the_prior_weighs_as_it_says() -> None:
    assert shrunk(int(PRIOR_CALLS), int(PRIOR_CALLS), 0.0) == 0.5
