"""Learnt weights: how much each term speaks for each article, by multinomial logistic regression over the TF-IDF rows.

Retrieval compares a complaint with texts one at a time; the learnt weights know which words tell articles apart
(that "coasting" decides between a freehub and a chain). Both are kept, and `calibration` weighs them.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.sparse import csr_matrix

__all__ = ["LearningSettings", "Weights", "learn_weights"]


@dataclass(frozen=True, slots=True)
class LearningSettings:
    """What is fixed before learning."""

    inverse_penalty: float
    """scikit-learn's C: the larger, the closer the weights follow the texts."""
    most_iterations: int


@dataclass(frozen=True, slots=True)
class Weights:
    """What was learnt."""

    matrix: NDArray[np.float32]
    """matrix[term, cause]; terms as in the index."""
    bias: NDArray[np.float32]
    """Shape (n_causes,)."""

    def logits(self, row: csr_matrix) -> NDArray[np.float64]:
        """Return the log odds of every cause (up to a common constant), shape (n_causes,)."""
        terms = self.matrix[row.indices].astype(np.float64)
        return np.asarray(row.data @ terms + self.bias, dtype=np.float64)


def learn_weights(rows: csr_matrix, labels: Sequence[int], n_causes: int, settings: LearningSettings) -> Weights:
    """Learn weights from rows of texts and the number of the cause of each.

    A cause without a text gets the lowest weight of all. Raises: ValueError from scikit-learn for fewer than two
    causes.
    """
    from sklearn.linear_model import LogisticRegression  # noqa: PLC0415  only learning needs it

    model = LogisticRegression(C=settings.inverse_penalty, max_iter=settings.most_iterations, tol=1e-3)
    model.fit(rows, np.asarray(labels))
    coefficients, bias = model.coef_, model.intercept_
    if len(model.classes_) == 2:  # scikit-learn keeps one row for two classes
        coefficients, bias = np.vstack([-coefficients, coefficients]) / 2, np.concatenate([-bias, bias]) / 2
    matrix = np.zeros((rows.shape[1], n_causes), dtype=np.float32)
    matrix[:, model.classes_] = coefficients.T
    whole_bias = np.full(n_causes, bias.min(), dtype=np.float32)
    whole_bias[model.classes_] = bias
    return Weights(matrix, whole_bias)
