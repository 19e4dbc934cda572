"""Whether one run is better than an earlier one on the same complaints, or only luckier.

The texts are drawn anew, with replacement, many times; each draw is scored for both runs, and the spread of the
differences is the interval. Both runs see the same draw (paired), so that hard texts don't blur the difference.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from kb.search.evaluation import Measure, score, value_of
from kb.search.judging import Judged
from kb.search.reliability import BINS, bin_of

__all__ = ["Comparison", "Difference", "compare"]

DRAWS = 2000
SEED = 20_240_229
_TAILS = (2.5, 97.5)


@dataclass(frozen=True, slots=True)
class Difference:
    """One measure in two runs."""

    measure: Measure
    before: float
    after: float
    low: float
    """2.5 % of the drawn differences after - before lie below."""
    high: float
    """2.5 % lie above."""

    @property
    def change(self) -> float:
        """After - before."""
        return self.after - self.before

    @property
    def is_clear(self) -> bool:
        """Whether the interval leaves out 0."""
        return self.low > 0 or self.high < 0


@dataclass(frozen=True, slots=True)
class Comparison:
    """Two runs over the complaints that both had."""

    texts: int
    only_before: int
    only_after: int
    differences: tuple[Difference, ...]


def compare(before: Sequence[Judged], after: Sequence[Judged], draws: int = DRAWS, seed: int = SEED) -> Comparison:
    """Compare two runs over the texts with the same label in both; 95 % percentile intervals.

    Source: Efron & Tibshirani, An Introduction to the Bootstrap, 1993, chapter 13; for retrieval Sakai, Evaluating
    evaluation metrics based on the bootstrap, SIGIR 2006.
    """
    older = {_key(item): item for item in before}
    newer = {_key(item): item for item in after}
    shared = [key for key in newer if key in older]
    old, new = [older[key] for key in shared], [newer[key] for key in shared]
    differences = _differences(old, new, draws, seed) if shared else ()
    return Comparison(len(shared), len(older) - len(shared), len(newer) - len(shared), differences)


def _differences(old: Sequence[Judged], new: Sequence[Judged], draws: int, seed: int) -> tuple[Difference, ...]:
    times = np.random.default_rng(seed).multinomial(len(old), np.full(len(old), 1 / len(old)), size=draws)
    counts = times.astype(np.float64)
    before, after = score(old).values, score(new).values
    found = []
    for measure in Measure:
        if measure in before and measure in after:
            drawn = _drawn(new, measure, counts) - _drawn(old, measure, counts)
            low, high = np.nanpercentile(drawn, _TAILS)
            found.append(Difference(measure, before[measure], after[measure], float(low), float(high)))
    return tuple(found)


def _drawn(judged: Sequence[Judged], measure: Measure, counts: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return the measure in every draw, shape (draws,); NaN where a draw holds no text that it is measured on.

    counts: counts[draw, text], how often the text was drawn.
    """
    if measure is Measure.CALIBRATION_ERROR:
        return _drawn_calibration_errors(judged, counts)
    values = [value_of(item, measure) for item in judged]
    has = np.array([value is not None for value in values])
    kept = np.array([value for value in values if value is not None])
    total = counts[:, has].sum(axis=1)
    return np.asarray(counts[:, has] @ kept / np.where(total > 0, total, np.nan))


def _drawn_calibration_errors(judged: Sequence[Judged], counts: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return the expected calibration error of every draw: the sums of confidence - correct, bin by bin."""
    confidence = np.array([item.confidence for item in judged])
    excess = confidence - np.array([float(item.correct) for item in judged])
    by_bin = np.zeros((len(judged), BINS))
    by_bin[np.arange(len(judged)), bin_of(confidence)] = excess
    return np.asarray(np.abs(counts @ by_bin).sum(axis=1) / counts.sum(axis=1))


def _key(judged: Judged) -> tuple[str, str | None]:
    return judged.text, judged.gold
