import pytest
from hypothesis import given
from hypothesis import strategies as st

from kb.answer import Answerer
from kb.errors import BadInput
from kb.text.analysis import LONGEST_TEXT


@given(text=st.text(max_size=400))
def test_any_text_is_taken_apart(small_answerer: Answerer, text: str) -> None:
    if "\x00" in text:
        with pytest.raises(BadInput):
            small_answerer.analyser.analyse(text)
        return
    analysis = small_answerer.analyser.analyse(text)
    assert len(analysis.clause_of) == len(analysis.words)
    for word, clause in zip(analysis.words, analysis.clause_of, strict=True):
        assert analysis.clauses[clause].start <= word.start


def test_too_long_a_text_is_refused_with_the_limit(small_answerer: Answerer) -> None:
    with pytest.raises(BadInput, match="20000"):
        small_answerer.analyser.analyse("chain " * LONGEST_TEXT)
