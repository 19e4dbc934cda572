"""Whether probabilities mean what they say: bins of like confidence, calibration error, parts of the Brier score.

A confidence is the probability given to the answer that was put first; `correct` tells whether it was right.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

__all__ = ["BINS", "BrierParts", "ConfidenceBin", "bin_of", "bins_of", "brier_parts", "calibration_error"]

BINS = 10
"""Bins of equal width; the usual number, kept so that figures can be compared with others'."""


@dataclass(frozen=True, slots=True)
class ConfidenceBin:
    """The answers whose confidence lies above `low` and not above `high`."""

    low: float
    high: float
    count: int
    confidence: float
    """Mean confidence."""
    correct: float
    """Share that was right."""


@dataclass(frozen=True, slots=True)
class BrierParts:
    """The parts of a two-class Brier score: reliability - resolution + uncertainty."""

    reliability: float
    """How far confidence and share of right answers lie apart; 0 is best."""
    resolution: float
    """How far the bins differ from each other in their share of right answers; more is better."""
    uncertainty: float
    """What the share of right answers alone leaves open."""

    @property
    def brier(self) -> float:
        """The Brier score, exact where all confidences of a bin are equal."""
        return self.reliability - self.resolution + self.uncertainty


def bin_of(confidence: NDArray[np.float64], n_bins: int = BINS) -> NDArray[np.int64]:
    """Return the number of the bin of each confidence; a value on a border belongs to the lower bin."""
    borders = np.linspace(0.0, 1.0, n_bins + 1)[1:-1]
    return np.searchsorted(borders, confidence).astype(np.int64)


def bins_of(confidence: Sequence[float], correct: Sequence[bool], n_bins: int = BINS) -> tuple[ConfidenceBin, ...]:
    """Return the bins that hold anything, from the lowest up.

    >>> [(b.count, b.confidence, b.correct) for b in bins_of([0.1, 0.1, 0.75], [True, False, True])]
    [(2, 0.1, 0.5), (1, 0.75, 1.0)]
    """
    values, hits = np.asarray(confidence, dtype=np.float64), np.asarray(correct, dtype=np.float64)
    numbers = bin_of(values, n_bins)
    return tuple(
        ConfidenceBin(
            low=number / n_bins,
            high=(number + 1) / n_bins,
            count=int((numbers == number).sum()),
            confidence=float(values[numbers == number].mean()),
            correct=float(hits[numbers == number].mean()),
        )
        for number in sorted(set(numbers.tolist()))
    )


def calibration_error(bins: Sequence[ConfidenceBin]) -> float:
    """Return the expected calibration error: the mean over answers of |confidence - share right| of their bin.

    0 where there is no bin. Source: Naeini, Cooper, Hauskrecht, Obtaining well calibrated probabilities using Bayesian
    binning, AAAI 2015; bins as in Guo et al., On calibration of modern neural networks, ICML 2017.
    """
    total = sum(item.count for item in bins)
    return sum(item.count * abs(item.confidence - item.correct) for item in bins) / total if total else 0.0


def brier_parts(bins: Sequence[ConfidenceBin]) -> BrierParts:
    """Return the parts of the Brier score of "the answer put first is right"; all 0 where there is no bin.

    Source: Murphy, A new vector partition of the probability score, J. Applied Meteorology 12, 1973. Exact where all
    confidences of a bin are equal, else short of the spread within bins.
    """
    total = sum(item.count for item in bins)
    if not total:
        return BrierParts(0.0, 0.0, 0.0)
    share = sum(item.count * item.correct for item in bins) / total
    return BrierParts(
        reliability=sum(item.count * (item.confidence - item.correct) ** 2 for item in bins) / total,
        resolution=sum(item.count * (item.correct - share) ** 2 for item in bins) / total,
        uncertainty=share * (1 - share),
    )
