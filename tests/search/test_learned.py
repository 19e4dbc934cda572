import numpy as np
import pytest
from scipy.sparse import csr_matrix

from kb.search.learned import LearningSettings, blend, learn_boundaries, learn_frequencies

SETTINGS = LearningSettings(inverse_penalty=10.0, most_iterations=100, smoothing=0.1)
ROWS = csr_matrix(np.array([[1.0, 0, 0], [0.9, 0.1, 0], [0, 1.0, 0], [0, 0.9, 0.1]]))
LABELS = [0, 0, 2, 2]


@pytest.mark.parametrize("learn", [learn_boundaries, learn_frequencies])
def test_each_learner_puts_the_labelled_cause_first(learn) -> None:
    weights = learn(ROWS, LABELS, 3, SETTINGS)
    assert [int(np.argmax(weights.logits(ROWS[row]))) for row in range(4)] == LABELS


@pytest.mark.parametrize("learn", [learn_boundaries, learn_frequencies])
def test_a_cause_without_a_text_never_comes_first(learn) -> None:
    weights = learn(ROWS, LABELS, 3, SETTINGS)
    assert all(int(np.argmax(weights.logits(ROWS[row]))) != 1 for row in range(4))


def test_one_cause_alone_teaches_nothing() -> None:
    weights = learn_boundaries(ROWS[:2], [1, 1], 3, SETTINGS)
    assert not weights.matrix.any()


def test_a_blend_is_the_weighted_sum() -> None:
    first, second = (learn(ROWS, LABELS, 3, SETTINGS) for learn in (learn_boundaries, learn_frequencies))
    mixed = blend([(2.0, first), (0.5, second)])
    expected = 2.0 * first.logits(ROWS[1]) + 0.5 * second.logits(ROWS[1])
    np.testing.assert_allclose(mixed.logits(ROWS[1]), expected, rtol=1e-5)
