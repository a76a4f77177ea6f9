"""Agreement of judges, and intervals of parts, against published data and a library that is not ours."""

from collections import Counter
from collections.abc import Sequence
from math import isclose

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import binomtest

from tourney.review.agreement import cohen_kappa, fleiss_kappa, interval, krippendorff_alpha, nominal
from tourney.review.intervals import wilson

# Ten units, fourteen judges, five categories: the worked example of the encyclopaedia article on Fleiss' kappa, as
# repeated in the manuals of several statistics packages.
FOURTEEN = """0 0 0 0 14/0 2 6 4 2/0 0 3 5 6/0 3 9 2 0/2 2 8 1 1/7 7 0 0 0/3 2 6 3 0/2 5 3 2 2/6 5 2 1 0/0 2 2 3 7"""
# Thirty patients, six psychiatrists, five diagnoses: Fleiss, Psychological Bulletin 76 (1971) 378-382, table 1, as the
# R package irr carries it (diagnoses). Published kappa 0.430 (from memory); the longer value worked out from the table.
DIAGNOSES = """00060 03003 01401 00006 03030 20400 00402 20310 20040 00006 10050 11040 03300 10050 02031
00501 30012 51000 02040 10203 00006 01050 02013 20040 10041 05010 40002 02040 10500 00006"""
# Four coders, twelve units, missing as ".": Krippendorff's own example, as the R packages irr and DescTools carry it.
FOUR_CODERS = "11.1 2232 3333 3333 2222 1234 4444 1121 2222 .555 ..11 ..3."
# Three coders, fifteen units: the example of the encyclopaedia article on the coefficient (data from memory).
THREE_CODERS = (". . . . . 3 4 1 2 1 1 3 3 . 3", "1 . 2 1 3 3 4 3 . . . . . . .", ". . 2 1 3 4 4 . 2 1 1 3 3 . 4")


def spread_out(counts: Sequence[int]) -> tuple[int, ...]:
    return tuple(category for category, count in enumerate(counts) for _ in range(count))


def test_fleiss_of_fourteen_judges() -> None:
    units = [spread_out([int(count) for count in row.split()]) for row in FOURTEEN.split("/")]
    assert fleiss_kappa(Counter(units)) == pytest.approx(0.209931, abs=5e-7)


def test_fleiss_of_his_own_table() -> None:
    units = [spread_out([int(count) for count in row]) for row in DIAGNOSES.split()]
    assert len(units) == 30 and fleiss_kappa(Counter(units)) == pytest.approx(0.430245, abs=5e-7)


@pytest.mark.parametrize(
    ("table", "kappa"),
    [(((20, 5), (10, 15)), 0.4), (((45, 15), (25, 15)), 0.1304), (((25, 35), (5, 35)), 0.2593)],
)
def test_cohen(table: tuple[tuple[int, int], ...], kappa: float) -> None:
    """Tables from memory of the encyclopaedia article; values confirmed with statsmodels and scikit-learn."""
    pairs = {(one, other): table[one][other] for one in (0, 1) for other in (0, 1)}
    assert cohen_kappa(pairs) == pytest.approx(kappa, abs=5e-5)


def test_krippendorff_with_missing_values() -> None:
    """Values confirmed with the package krippendorff 0.9.0; the last unit has one value, and must be left out."""
    four = Counter(tuple(float(value) for value in unit if value != ".") for unit in FOUR_CODERS.split())
    assert krippendorff_alpha(four, nominal) == pytest.approx(0.743421, abs=5e-7)
    assert krippendorff_alpha(four, interval) == pytest.approx(0.849107, abs=5e-7)
    coders = [row.split() for row in THREE_CODERS]
    three = Counter(tuple(float(value) for value in unit if value != ".") for unit in zip(*coders, strict=True))
    assert krippendorff_alpha(three, nominal) == pytest.approx(0.691358, abs=5e-7)
    assert krippendorff_alpha(three, interval) == pytest.approx(0.810845, abs=5e-7)


@pytest.mark.parametrize(
    ("hits", "tries", "low", "high"),
    [
        # Newcombe, Statistics in Medicine 17 (1998) 857-872, his test cases; four places as printed (from memory).
        (81, 263, 0.2553, 0.3662), (15, 148, 0.0624, 0.1605), (0, 20, 0.0, 0.1611), (1, 29, 0.0061, 0.1718),
        # The calculator of vassarstats.net/prop1, and values of scipy 1.17.1.
        (23, 60, 0.2709, 0.5098), (5, 10, 0.2366, 0.7634), (10, 10, 0.7225, 1.0),
    ],
)  # fmt: skip
def test_wilson(hits: int, tries: int, low: float, high: float) -> None:
    assert list(wilson(hits, tries)) == pytest.approx([low, high], abs=6e-5)


@given(st.integers(1, 400).flatmap(lambda tries: st.tuples(st.integers(0, tries), st.just(tries))))
def test_wilson_beside_scipy(case: tuple[int, int]) -> None:
    theirs = binomtest(*case).proportion_ci(method="wilson")
    ours = wilson(*case)
    assert isclose(ours[0], theirs.low, abs_tol=1e-9) and isclose(ours[1], theirs.high, abs_tol=1e-9)


def test_what_nobody_can_tell() -> None:
    assert wilson(0, 0) == (0.0, 1.0)
    assert fleiss_kappa({("a", "a"): 2}) is None and cohen_kappa({("a", "a"): 1}) is None
    assert krippendorff_alpha({(1.0, 1.0): 1, (2.0,): 1}) is None and krippendorff_alpha({}) is None
    with pytest.raises(ValueError, match="same number"):
        fleiss_kappa({("a", "b"): 1, ("a", "b", "c"): 1})
    with pytest.raises(ValueError, match="at least one"):
        cohen_kappa({})


@given(st.lists(st.tuples(st.integers(0, 3), st.integers(0, 3)), min_size=2, max_size=40))
def test_two_judges_alpha_and_fleiss_nearly_agree(pairs: list[tuple[int, int]]) -> None:
    """With no value missing, 1 - alpha is (1 - kappa) (n - 1) / n for n values: a known identity of both formulas."""
    kappa = fleiss_kappa(Counter(pairs))
    alpha = krippendorff_alpha(Counter(pairs))
    assert (kappa is None) == (alpha is None)
    if kappa is not None and alpha is not None:
        values = 2 * len(pairs)
        assert 1 - alpha == pytest.approx((1 - kappa) * (values - 1) / values, abs=1e-9)
