import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from kb.answer import Answerer
from kb.diagnosis.beliefs import entropy_bits, make_likelihoods, update
from kb.errors import ImpossibleReading
from kb.library.models import Library


def distributions(n: int) -> st.SearchStrategy[np.ndarray]:
    return st.lists(st.floats(0.01, 1), min_size=n, max_size=n).map(lambda values: np.array(values) / sum(values))


@given(distributions(5), st.lists(st.floats(0.01, 1), min_size=5, max_size=5), st.lists(st.floats(0.01, 1), min_size=5, max_size=5))
def test_the_order_of_readings_does_not_matter(prior, first, second) -> None:
    one = update(update(prior, np.array(first)), np.array(second))
    other = update(update(prior, np.array(second)), np.array(first))
    np.testing.assert_allclose(one, other, atol=1e-12)


@given(distributions(5), st.floats(0.01, 1))
def test_a_reading_that_tells_nothing_changes_nothing(prior, value) -> None:
    np.testing.assert_allclose(update(prior, np.full(5, value)), prior, atol=1e-12)


@given(distributions(4), st.lists(distributions(3), min_size=4, max_size=4))
def test_the_expected_posterior_is_the_prior(prior, shows) -> None:
    likelihood = np.array(shows).T  # likelihood[outcome, cause]
    expected = sum((likelihood[o] @ prior) * update(prior, likelihood[o]) for o in range(3))
    np.testing.assert_allclose(expected, prior, atol=1e-12)


def test_an_impossible_reading_is_refused() -> None:
    with pytest.raises(ImpossibleReading):
        update(np.array([0.5, 0.5]), np.array([0.0, 0.0]))


def test_entropy_of_even_chances_is_the_logarithm_of_their_number() -> None:
    assert entropy_bits(np.full(8, 1 / 8)) == pytest.approx(3.0)


def test_checks_an_article_does_not_speak_of_show_what_is_usual(small_library: Library) -> None:
    likelihoods = make_likelihoods(small_library)
    column = likelihoods.causes.index("cassette-worn")
    assert likelihoods.of("teeth")[:, column].tolist() == pytest.approx([0.05, 0.95])
    assert likelihoods.of("teeth")[:, -1].tolist() == pytest.approx([0.9, 0.1])


def test_every_column_of_the_shipped_table_is_a_distribution(answerer: Answerer) -> None:
    sums = answerer.likelihoods.table.sum(axis=1)
    np.testing.assert_allclose(sums, 1.0, atol=1e-6)
