import pytest
from hypothesis import given
from hypothesis import strategies as st

from kb.answer import Answerer
from kb.text.spelling import Speller
from kb.text.words import split_words

SPELLER = Speller({"derailleur": 5, "chain": 40, "cassette": 9, "brake": 30, "hanger": 4}, frozenset({"chin", "break", "anger"}))


@pytest.mark.parametrize(
    ("typed", "meant"),
    [("derialleur", "derailleur"), ("derailer", "derailleur"), ("chian", "chain"), ("casette", "cassette"), ("brkae", "brake")],
)
def test_one_or_two_errors_are_mended(typed: str, meant: str) -> None:
    assert SPELLER.repair(typed) == meant


@pytest.mark.parametrize("word", ["chin", "break", "anger", "chain", "xyzzy", "the", "t47", "11", "bb30"])
def test_known_short_coded_and_far_words_are_left_alone(word: str) -> None:
    assert SPELLER.repair(word) == word


@given(st.text("abcdefghijklmnopqrstuvwxyz", min_size=1, max_size=30))
def test_repair_gives_the_word_or_a_known_one_and_is_settled_at_once(word: str) -> None:
    repaired = SPELLER.repair(word)
    assert repaired == word or repaired in SPELLER.vocabulary
    assert SPELLER.repair(repaired) == repaired


def test_spans_still_quote_what_was_typed() -> None:
    text = "my derialleur slips"
    words = SPELLER.repair_all(split_words(text))
    assert [word.text for word in words] == ["my", "derailleur", "slips"]
    assert text[words[1].start : words[1].end] == "derialleur"


@pytest.mark.slow
def test_no_word_of_the_trade_is_altered(answerer: Answerer) -> None:
    """Every word of the lexicon's own phrases, misspellings aside, is left as it is."""
    speller = answerer.analyser.speller
    altered = {
        word.text
        for concept in answerer.library.lexicon.values()
        for phrase in (*concept.words, *concept.uk, *concept.us)
        for word in split_words(phrase)
        if speller.repair(word.text) != word.text
    }
    assert altered == set()
