import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays

from kb.search.belonging import FEATURES
from kb.search.calibration import Calibration, Evidence, fit_calibration

N = 4
PREVALENCE = np.log(np.full(N, 1 / N))
START = Calibration((1.0,), 1.0, 0.0, (*([0.0] * len(FEATURES)), 0.0, 2.0))
numbers = st.floats(-30, 30, allow_nan=False)


@given(arrays(float, (1, N), elements=numbers), arrays(float, N, elements=st.floats(0, 3)), arrays(float, len(FEATURES), elements=numbers))
def test_probabilities_are_not_negative_and_sum_to_one(learned, retrieved, belongs) -> None:
    found = START.probabilities(Evidence(learned, retrieved, belongs), PREVALENCE)
    assert found.shape == (N + 1,)
    assert (found >= 0).all()
    assert found.sum() == pytest.approx(1)


def evidence_for(cause: int | None, rng: np.random.Generator) -> Evidence:
    learned = rng.normal(0, 1, (1, N))
    belongs = np.zeros(len(FEATURES))
    if cause is not None:
        learned[0, cause] += 2.5
        belongs[0] = 1.0
    return Evidence(learned, np.zeros(N), belongs)


def test_fitting_makes_the_labels_likelier_and_tells_strangers_apart() -> None:
    rng = np.random.default_rng(7)
    labels: list[int | None] = [int(rng.integers(N)) if rng.random() < 0.7 else None for _ in range(600)]
    evidence = [evidence_for(label, rng) for label in labels]
    golds = [frozenset([label]) if label is not None else frozenset() for label in labels]
    fitted = fit_calibration(evidence, golds, PREVALENCE, START)

    def loss(calibration: Calibration) -> float:
        shares = [calibration.probabilities(item, PREVALENCE) for item in evidence]
        return -float(np.mean([np.log(p[N if label is None else label]) for p, label in zip(shares, labels, strict=True)]))

    assert loss(fitted) < 0.7 * loss(START)


def test_without_labelled_texts_nothing_changes() -> None:
    assert fit_calibration([], [], PREVALENCE, START) == START
