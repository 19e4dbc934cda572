import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from kb.answer import Answerer


def first(answerer: Answerer, text: str) -> str:
    ranking = answerer.ranker.rank(answerer.analyser.analyse(text))
    return answerer.likelihoods.causes[int(np.argmax(ranking.probabilities[:-1]))]


@pytest.mark.parametrize(
    ("text", "cause"),
    [
        ("new chain slips on the old cogs", "cassette-worn"),
        ("the bar rotates in the stem", "bar-slip"),
        ("my seat squeaks", "saddle-creak"),
        ("the disk wobbles", "rotor-bent"),
    ],
)
def test_the_small_library_is_searched_through_synonyms(text: str, cause: str, small_answerer: Answerer) -> None:
    assert first(small_answerer, text) == cause


@given(text=st.text(max_size=200))
def test_probabilities_of_any_text_sum_to_one(small_answerer: Answerer, text: str) -> None:
    found = small_answerer.ranker.rank(small_answerer.analyser.analyse(text.replace("\x00", ""))).probabilities
    assert (found >= 0).all()
    assert found.sum() == pytest.approx(1)


def test_gains_of_the_terms_account_for_the_lead_by_the_learnt_weights(answerer: Answerer) -> None:
    """The learnt part of a cause's log odds over the average cause is exactly the sum over the text's terms."""
    ranking = answerer.ranker.rank(answerer.analyser.analyse("rotor rubs only when I sprint"))
    weights = answerer.ranker.weights
    logits = weights.logits(ranking.row) - weights.bias
    cause = answerer.ranker.index.causes.index("disc-flex-rub")
    learned = weights.matrix[ranking.row.indices].astype(float)
    parts = ranking.row.data * (learned[:, cause] - learned.mean(axis=1))
    assert parts.sum() == pytest.approx(logits[cause] - logits.mean(), abs=1e-6)
    assert (answerer.ranker.term_gains(ranking, cause) >= answerer.ranker.calibration.learned[0] * parts - 1e-9).all()


def test_the_words_that_earned_a_hit_stand_in_the_text(answerer: Answerer) -> None:
    text = "Rotor rubs only when I sprint out of the saddle"
    ranking = answerer.ranker.rank(answerer.analyser.analyse(text))
    words = answerer.ranker.why(ranking, "disc-flex-rub", 4)
    assert words
    assert all(word in text.lower() for word in words)
