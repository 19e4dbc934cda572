"""From scores to probabilities: P(cause | text), "none of ours" included.

Two models, both fitted on labelled complaints that the scores had not been learnt from (cross-validation):
  - which of our causes: softmax of a weighted sum of the learnt models' log odds, retrieval score and log prevalence;
  - whether any of ours: logistic regression on how much of the text the library knows and how well the best article
  matches.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from kb.library.models import Prevalence
from kb.search.belonging import lead

__all__ = ["PREVALENCE_WEIGHT", "Calibration", "Evidence", "fit_calibration"]

PREVALENCE_WEIGHT = {Prevalence.COMMON: 4.0, Prevalence.OCCASIONAL: 2.0, Prevalence.RARE: 1.0}
"""How often the trade meets a fault of each class, relative to a rare one (our own judgement, no source)."""


@dataclass(frozen=True, slots=True)
class Evidence:
    """What search found out about one text."""

    learned: NDArray[np.float64]
    """Log odds of each cause up to a constant, by each of the learnt models, shape (n_models, n_causes)."""
    retrieved: NDArray[np.float64]
    """Retrieval score of each cause, shape (n_causes,)."""
    belongs: NDArray[np.float64]
    """What tells a text about a bicycle fault from any other, shape (n_features,); see `belonging.FEATURES`."""


@dataclass(frozen=True, slots=True)
class Calibration:
    """What was fitted."""

    learned: tuple[float, ...]
    """Weight of each learnt model."""
    retrieved: float
    prevalence: float
    belongs: tuple[float, ...]
    """Weights of the features of `Evidence.belongs`, of the lead of the best cause by the learnt models, and the
    constant."""

    def probabilities(self, evidence: Evidence, log_prevalence: NDArray[np.float64]) -> NDArray[np.float64]:
        """Return P(cause | text), shape (n_causes + 1,), summing to 1; the last is "none of ours"."""
        p_ours = self.p_ours(evidence)
        return np.concatenate([p_ours * self._shares(evidence, log_prevalence), [1 - p_ours]])

    def p_ours(self, evidence: Evidence) -> float:
        """Return the probability that an article of ours answers the text."""
        logit = float(np.dot(self.belongs[:-1], _belonging(evidence, self.learned))) + self.belongs[-1]
        return 1 / (1 + math.exp(-max(min(logit, 30.0), -30.0)))

    def _shares(self, evidence: Evidence, log_prevalence: NDArray[np.float64]) -> NDArray[np.float64]:
        logits = (
            np.asarray(self.learned) @ evidence.learned
            + self.retrieved * evidence.retrieved
            + self.prevalence * log_prevalence
        )
        shares = np.exp(logits - logits.max())
        return np.asarray(shares / shares.sum(), dtype=np.float64)


def fit_calibration(
    evidence: Sequence[Evidence],
    golds: Sequence[frozenset[int]],
    log_prevalence: NDArray[np.float64],
    start: Calibration,
) -> Calibration:
    """Fit both models on evidence for labelled texts.

    golds: for each text the numbers of the causes that answer it, empty where none does. A text with several right
    causes counts by their probability together. Without both kinds of texts, the part that cannot be fitted stays as
    in `start`.
    """
    ours = [number for number, gold in enumerate(golds) if gold]
    calibration = start
    if ours:
        calibration = _fit_shares([evidence[n] for n in ours], [golds[n] for n in ours], log_prevalence, start)
    if ours and len(ours) < len(golds):
        belongs = _fit_belongs(evidence, golds, calibration.learned)
        calibration = Calibration(calibration.learned, calibration.retrieved, calibration.prevalence, belongs)
    return calibration


def _fit_shares(
    evidence: Sequence[Evidence],
    golds: Sequence[frozenset[int]],
    log_prevalence: NDArray[np.float64],
    start: Calibration,
) -> Calibration:
    from scipy.optimize import minimize  # noqa: PLC0415  only fitting needs it

    learned = np.stack([item.learned for item in evidence])
    retrieved = np.stack([item.retrieved for item in evidence])
    right = np.zeros(retrieved.shape, dtype=bool)
    for row, gold in enumerate(golds):
        right[row, list(gold)] = True

    def loss(weights: NDArray[np.float64]) -> float:
        logits = np.einsum("m,tmc->tc", weights[:-2], learned)
        logits += weights[-2] * retrieved + weights[-1] * log_prevalence
        logits -= logits.max(axis=1, keepdims=True)
        shares = np.exp(logits)
        p_right = (shares * right).sum(axis=1) / shares.sum(axis=1)
        return float(-np.log(np.maximum(p_right, 1e-12)).mean())

    models = learned.shape[1]
    bounds = [(0.0, None)] * (models + 1) + [(0.0, 1.0)]
    first = np.array([*([1.0] * models), start.retrieved, start.prevalence])
    found = minimize(loss, first, method="L-BFGS-B", bounds=bounds)
    weights = [float(value) for value in found.x]
    return Calibration(tuple(weights[:-2]), weights[-2], weights[-1], start.belongs)


def _belonging(evidence: Evidence, learned: tuple[float, ...]) -> NDArray[np.float64]:
    """Return the features by which a text is told from those that no article answers."""
    return np.append(evidence.belongs, lead(np.asarray(learned) @ evidence.learned))


def _fit_belongs(
    evidence: Sequence[Evidence], golds: Sequence[frozenset[int]], learned: tuple[float, ...]
) -> tuple[float, ...]:
    from sklearn.linear_model import LogisticRegression  # noqa: PLC0415  only fitting needs it

    features = np.stack([_belonging(item, learned) for item in evidence])
    model = LogisticRegression(C=10.0, max_iter=2000, class_weight=None)
    model.fit(features, np.array([bool(gold) for gold in golds]))
    return (*(float(weight) for weight in model.coef_[0]), float(model.intercept_[0]))
