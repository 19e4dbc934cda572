import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from kb.likeness.weighting import MOST_WEIGHT, idf, make_query, posting_weights


def test_idf_is_that_of_the_formula() -> None:
    # Robertson and Zaragoza 2009 with 1 added inside: ln(1 + (N - n + 0.5) / (n + 0.5))
    assert idf(1000, 10) == pytest.approx(math.log(1 + 990.5 / 10.5))


def test_a_word_in_every_text_is_worth_a_little() -> None:
    assert 0 < idf(1_000_000, 1_000_000) < 1e-5


@given(st.integers(1, 10_000), st.integers(1, 10_000))
def test_weights_are_within_rounding_of_the_formula(count: int, length: int) -> None:
    length = max(count, length)
    exact = count / (count + 1.2 * (0.25 + 0.75 * length / 30))
    weight = int(posting_weights(np.array([count]), np.array([length]))[0])
    assert weight == max(round(MOST_WEIGHT * exact), 1)


@given(st.lists(st.sampled_from("abcdefgh"), max_size=7_000), st.integers(8, 1_000_000))
def test_no_score_can_exceed_32_bits_and_no_known_term_counts_nothing(terms: list[str], n_texts: int) -> None:
    query = make_query(terms, n_texts, lambda term: ord(term) - ord("a"))
    if query is None:
        assert set(terms) <= {"a"}
    else:
        assert sum(query.factors) * MOST_WEIGHT < 2**31
        assert min(query.factors) >= 1


@given(st.lists(st.sampled_from("abcdefgh"), min_size=1, max_size=50), st.randoms(use_true_random=False))
def test_the_order_of_words_is_irrelevant(terms: list[str], random: object) -> None:
    shuffled = list(terms)
    random.shuffle(shuffled)  # type: ignore[attr-defined]
    one, other = (make_query(said, 100, lambda term: ord(term) - 90) for said in (terms, shuffled))
    assert one == other
