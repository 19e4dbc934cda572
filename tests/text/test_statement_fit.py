"""The shared solver against scikit-learn, which solves each column by itself."""

import numpy as np
import pytest
from scipy.sparse import csr_matrix

from kb.text.statement_fit import fit_each


def problem(seed: int) -> tuple[csr_matrix, np.ndarray, np.ndarray]:
    dice = np.random.default_rng(seed)
    rows = csr_matrix(dice.random((120, 8)) * (dice.random((120, 8)) < 0.5), dtype=np.float32)
    targets = (dice.random((120, 3)) < 0.3).astype(np.float32)
    weights = dice.choice([0.0, 0.5, 1.0], size=(120, 3)).astype(np.float32)
    return rows, targets, weights


@pytest.mark.parametrize("seed", [1, 2, 3])
def test_each_column_is_a_logistic_regression_of_its_own(seed: int) -> None:
    from sklearn.linear_model import LogisticRegression

    rows, targets, weights = problem(seed)
    matrix, bias = fit_each(rows, targets, weights, penalty=0.5, iterations=200)
    for column in range(targets.shape[1]):
        kept = weights[:, column] > 0
        alone = LogisticRegression(C=1 / 0.5, tol=1e-8, max_iter=2000)
        alone.fit(rows[kept], targets[kept, column], sample_weight=weights[kept, column])
        np.testing.assert_allclose(matrix[:, column], alone.coef_[0], atol=2e-2)
        np.testing.assert_allclose(bias[column], alone.intercept_[0], atol=2e-2)


def test_entries_of_weight_0_change_nothing() -> None:
    rows, targets, weights = problem(4)
    turned = np.where(weights == 0, 1 - targets, targets).astype(np.float32)
    for one, other in zip(
        fit_each(rows, targets, weights, 0.5, 30), fit_each(rows, turned, weights, 0.5, 30), strict=True
    ):
        np.testing.assert_allclose(one, other, atol=1e-5)
