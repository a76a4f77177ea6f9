"""The item model on the Knox Cube Test: Wright and Stone, Best Test Design (1979), p. 31, table 2.3.1.

35 persons by 18 items, as the R packages pairwise (KCT) and rpf (kct) carry them, cell by cell alike. Items 1 to 3 that
all passed, item 18 that nobody passed and the last person, with none of the rest, are left out.
"""

import numpy as np
import pytest

from tourney.review.rasch import Fit, fit_rasch

PASSED = """111111100000000000 111111111100000000 111111111001000000 111100101000000000 111111111100000000
111111111100000000 111111111111101000 111111111100000000 111111111100000000 111111111110000000 111011111000000000
111110101100000000 111110011111000000 111111111110000000 111111111111100000 111111111010000000 111101111100000000
111111111100100000 111111111000000000 111111111100100000 111111111110100000 111111111111000000 111111111100110000
111111111110100110 111011000000000000 111111111100000000 111111100000000000 111111111010000000 111111001110010000
111111111000000000 111111111100000000 111111111110000000 111100100100000000 111111111101010000"""
# Winsteps 3.73, carried by rpf: it stops early, and its own column of displacements goes up to .04.
PRINTED = (-4.40, -3.83, -3.38, -3.83, -2.35, -3.38, -1.57, 0.79, 2.24, 1.95, 3.37, 4.80, 4.80, 4.80)
# Joint maximum likelihood carried to its end, worked out by two programs that are not this one.
CONVERGED = (
    -4.552, -3.969, -3.505, -3.969, -2.439, -3.505, -1.629, 0.828, 2.327, 2.028, 3.500, 4.962, 4.962, 4.962,
)  # fmt: skip
# Conditional maximum likelihood, which is free of the bias of the joint one; with statsmodels' ConditionalLogit.
CONDITIONAL = (
    -3.879, -3.365, -2.956, -3.365, -2.004, -2.956, -1.281, 0.638, 1.913, 1.658, 2.946, 4.216, 4.216, 4.216,
)  # fmt: skip
PERSONS = {5: -4.32, 6: -3.61, 7: -2.94, 8: -2.23, 9: -1.37, 10: -0.26, 11: 0.92, 12: 1.94, 13: 2.85, 14: 3.73}


@pytest.fixture(scope="module")
def passed() -> np.ndarray[tuple[int, int], np.dtype[np.float64]]:
    return np.array([[float(mark) for mark in row[3:17]] for row in PASSED.split()])


def fitted(passed: np.ndarray[tuple[int, int], np.dtype[np.float64]], prior_sd: float, ability_sd: float) -> Fit:
    fit = fit_rasch(np.ones_like(passed), passed, np.zeros(passed.shape[1]), prior_sd, ability_sd)
    middle = fit.difficulty.mean()
    return Fit(fit.ability - middle, fit.difficulty - middle, fit.ability_se, fit.difficulty_se)


def test_without_priors_it_is_joint_maximum_likelihood(
    passed: np.ndarray[tuple[int, int], np.dtype[np.float64]],
) -> None:
    fit = fitted(passed, 300, 300)
    assert fit.difficulty == pytest.approx(np.array(CONVERGED), abs=0.003)
    assert fit.difficulty == pytest.approx(np.array(PRINTED), abs=0.17)
    by_score = dict(zip((passed.sum(axis=1) + 3).astype(int).tolist(), fit.ability.tolist(), strict=True))
    assert by_score == {score: pytest.approx(value, abs=0.17) for score, value in PERSONS.items()}


def test_raw_scores_are_kept(passed: np.ndarray[tuple[int, int], np.dtype[np.float64]]) -> None:
    """At the mode without priors, expected scores are those that were made: the score equations of the model."""
    fit = fitted(passed, 300, 300)
    expected = 1 / (1 + np.exp(fit.difficulty[None, :] - fit.ability[:, None]))
    assert expected.sum(axis=0) == pytest.approx(passed.sum(axis=0), abs=0.01)
    assert expected.sum(axis=1) == pytest.approx(passed.sum(axis=1), abs=0.01)


def test_a_spread_of_persons_takes_most_of_the_joint_bias_away(
    passed: np.ndarray[tuple[int, int], np.dtype[np.float64]],
) -> None:
    """The spread of persons is their published estimates' own, 1.9 logits, less what their errors add."""
    joint, held = fitted(passed, 300, 300), fitted(passed, 300, 1.7)
    far = np.abs(joint.difficulty - CONDITIONAL).mean()
    assert np.abs(held.difficulty - CONDITIONAL).mean() < 0.6 * far
