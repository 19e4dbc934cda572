"""Learnt weights: how much each term speaks for each article, learnt over the TF-IDF rows in two ways.

  - `learn_boundaries`: multinomial logistic regression, which knows the words that tell articles apart (that "coasting"
    decides between a freehub and a chain);
  - `learn_frequencies`: multinomial naive Bayes, which knows what riders with each fault talk about, and is steadier
  where
    an article has few examples.

Both are linear, so that `blend` makes one table of the two and a word's share in an answer can be told exactly.
Retrieval compares a complaint with texts one at a time and is kept beside them; `calibration` weighs all three.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.sparse import csr_matrix

__all__ = ["LearningSettings", "Weights", "blend", "learn_boundaries", "learn_frequencies"]


@dataclass(frozen=True, slots=True)
class LearningSettings:
    """What is fixed before learning."""

    inverse_penalty: float
    """scikit-learn's C of the logistic regression: the larger, the closer the weights follow the texts."""
    most_iterations: int
    smoothing: float
    """scikit-learn's alpha of naive Bayes: what every term counts under every article without having been seen."""


@dataclass(frozen=True, slots=True)
class Weights:
    """A linear model: one column of term weights an article."""

    matrix: NDArray[np.float32]
    """matrix[term, cause]; terms as in the index."""
    bias: NDArray[np.float32]
    """Shape (n_causes,)."""

    def logits(self, row: csr_matrix) -> NDArray[np.float64]:
        """Return the log odds of every cause (up to a common constant), shape (n_causes,)."""
        terms = self.matrix[row.indices].astype(np.float64)
        return np.asarray(row.data @ terms + self.bias, dtype=np.float64)


def learn_boundaries(rows: csr_matrix, labels: Sequence[int], n_causes: int, settings: LearningSettings) -> Weights:
    """Learn by logistic regression from rows of texts and the number of the cause of each.

    A cause without a text gets the lowest bias of all; where there is only one cause, there is nothing to learn.
    """
    if len(set(labels)) < 2:
        return Weights(np.zeros((rows.shape[1], n_causes), dtype=np.float32), np.zeros(n_causes, dtype=np.float32))
    from sklearn.linear_model import LogisticRegression  # noqa: PLC0415  only learning needs scikit-learn

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


def learn_frequencies(rows: csr_matrix, labels: Sequence[int], n_causes: int, settings: LearningSettings) -> Weights:
    """Learn by naive Bayes, every article as likely as any other beforehand.

    The weight of a term is its log frequency under the article less the mean of that over all articles, which
    changes no comparison between articles. A cause without a text gets the frequencies of all texts together.
    """
    from sklearn.naive_bayes import MultinomialNB  # noqa: PLC0415  only learning needs scikit-learn

    model = MultinomialNB(alpha=settings.smoothing, fit_prior=False)
    model.fit(rows, np.asarray(labels))
    totals = np.asarray(rows.sum(axis=0)).ravel() + settings.smoothing
    logs = np.tile(np.log(totals / totals.sum())[:, None], (1, n_causes))
    logs[:, model.classes_] = model.feature_log_prob_.T
    logs -= logs.mean(axis=1, keepdims=True)
    return Weights(logs.astype(np.float32), np.zeros(n_causes, dtype=np.float32))


def blend(parts: Sequence[tuple[float, Weights]]) -> Weights:
    """Return the weighted sum of several linear models."""
    matrix = np.stack([np.float32(share) * weights.matrix for share, weights in parts]).sum(axis=0)
    bias = np.stack([np.float32(share) * weights.bias for share, weights in parts]).sum(axis=0)
    return Weights(np.asarray(matrix, dtype=np.float32), np.asarray(bias, dtype=np.float32))
