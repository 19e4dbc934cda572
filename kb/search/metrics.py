"""Measures of one ranking and of one forecast; `evaluation` takes their means, `reliability` looks at many forecasts.

A ranking is a sequence of ids, best first; what isn't in `right` or `gains` counts as wrong, judged or not. Every
function is pure and returns a plain number.
"""

import math
from collections.abc import Collection, Hashable, Mapping, Sequence
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

__all__ = ["brier_score", "discounted_gain", "log_score", "normalised_gain", "reciprocal_rank", "success_at"]

Id = TypeVar("Id", bound=Hashable)

LEAST_PROBABILITY = float(np.finfo(np.float64).eps)
"""A right answer's probability is not taken to be lower, so that one text can't make a mean infinite."""


def success_at(ranked: Sequence[Id], right: Collection[Id], depth: int) -> float:
    """Return 1 where one of the first `depth` is right, else 0.

    Source: success@k of trec_eval (`success`); success@1 is also precision at 1.

    >>> success_at(["b", "a"], {"a"}, 1), success_at(["b", "a"], {"a"}, 3)
    (0.0, 1.0)
    """
    return float(any(id in right for id in ranked[:depth]))


def reciprocal_rank(ranked: Sequence[Id], right: Collection[Id], depth: int) -> float:
    """Return 1 over the place of the first right one among the first `depth`, 0 where there is none.

    Its mean over texts is MRR@depth. Source: Voorhees, The TREC-8 question answering track report, 1999.

    >>> reciprocal_rank(["b", "a", "c"], {"a", "c"}, 10)
    0.5
    """
    return next((1 / place for place, id in enumerate(ranked[:depth], 1) if id in right), 0.0)


def discounted_gain(gains: Sequence[float], depth: int) -> float:
    """Return the sum over places 1 to `depth` of gain / log2(place + 1).

    Source: Järvelin & Kekäläinen, Cumulated gain-based evaluation of IR techniques, ACM TOIS 20(4), 2002. We differ as
    trec_eval does: they leave places 1 and 2 undiscounted and divide by log2(place), we divide by log2(place + 1).

    >>> round(discounted_gain([3, 2, 3, 0, 1, 2], 6), 3)
    6.861
    """
    return sum(gain / math.log2(place + 1) for place, gain in enumerate(gains[:depth], 1))


def normalised_gain(ranked: Sequence[Id], gains: Mapping[Id, float], depth: int) -> float:
    """Return nDCG@depth: the discounted gain over that of the best possible ranking; 0 where nothing has a gain.

    The best possible ranking is made of all of `gains`, not only of what was ranked. Source: as `discounted_gain`;
    `ndcg_cut` of trec_eval.

    >>> normalised_gain(["b", "a"], {"a": 1.0}, 10) == 1 / math.log2(3)
    True
    """
    best = discounted_gain(sorted(gains.values(), reverse=True), depth)
    return discounted_gain([gains.get(id, 0.0) for id in ranked[:depth]], depth) / best if best > 0 else 0.0


def log_score(probabilities: NDArray[np.float64], right: Collection[int]) -> float:
    """Return minus the natural log of the probability given to the right answers together.

    Its mean over texts is the log loss. Source: Good, Rational decisions, JRSS B 14, 1952; clipped from below like
    scikit-learn's `log_loss`.

    >>> log_score(np.array([0.25, 0.25, 0.5]), {0, 1}) == math.log(2)
    True
    """
    return -math.log(max(float(probabilities[list(right)].sum()), LEAST_PROBABILITY))


def brier_score(probabilities: NDArray[np.float64], right: Collection[int]) -> float:
    """Return the squared error summed over the answers, from 0 to 2; several right ones count as one answer.

    Its mean over texts is the Brier score over all causes and "none of ours". Source: Brier, Verification of forecasts
    expressed in terms of probability, Monthly Weather Review 78, 1950 (his sum over classes, not half of it).

    >>> round(brier_score(np.array([0.8, 0.1, 0.1]), {0}), 3)
    0.06
    """
    numbers = list(right)
    missing = 1 - float(probabilities[numbers].sum())
    return missing**2 + float(np.square(np.delete(probabilities, numbers)).sum())
