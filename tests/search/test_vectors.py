"""Rows of TF-IDF weights: made by hand they equal those learnt; channels count by their weights."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from kb.answer import Answerer
from kb.search.terms import Channel, TermMaker, Terms
from kb.search.vectors import VectorSettings, learn_vectors

WORDS = ["chain", "slips", "under", "load", "rotor", "rubs", "saddle", "creaks", "new", "old"]
SETTINGS = VectorSettings(dict.fromkeys(Channel, 1.0), dict.fromkeys(Channel, 1))
texts = st.lists(st.sampled_from(WORDS), min_size=1, max_size=12).map(" ".join)


def terms_of(answerer: Answerer, text: str) -> Terms:
    return TermMaker(answerer.library.lexicon, 0.4).terms(answerer.analyser.analyse(text))


@given(found=st.lists(texts, min_size=2, max_size=6))
def test_a_row_made_by_hand_equals_the_learnt_one(small_answerer: Answerer, found: list[str]) -> None:
    terms = [terms_of(small_answerer, text) for text in found]
    vectoriser, rows = learn_vectors(terms, SETTINGS)
    for number, item in enumerate(terms):
        np.testing.assert_allclose(vectoriser.row(item).toarray(), rows[number].toarray(), atol=1e-12)


@given(found=st.lists(texts, min_size=2, max_size=6))
def test_every_channel_of_a_row_has_unit_length_times_its_weight(small_answerer: Answerer, found: list[str]) -> None:
    terms = [terms_of(small_answerer, text) for text in found]
    settings = VectorSettings({**dict.fromkeys(Channel, 1.0), Channel.WORDS: 0.25}, dict.fromkeys(Channel, 1))
    vectoriser, rows = learn_vectors(terms, settings)
    words = vectoriser.vocabularies[Channel.WORDS]
    part = rows[:, words.first : words.first + len(words.columns)].toarray()
    assert np.linalg.norm(part, axis=1) == pytest.approx(0.5)


def test_unknown_words_leave_an_empty_row(small_answerer: Answerer) -> None:
    settings = VectorSettings({Channel.WORDS: 1.0}, {})
    vectoriser, _ = learn_vectors([terms_of(small_answerer, "chain slips")], settings)
    assert vectoriser.row(terms_of(small_answerer, "umbrella")).nnz == 0
