from hypothesis import given
from hypothesis import strategies as st

from kb.text.words import normalise, split_words, stem


@given(st.text(max_size=300))
def test_every_word_quotes_the_text_exactly(text: str) -> None:
    for word in split_words(text):
        assert normalise(text[word.start : word.end]) == word.text
        assert word.stem


@given(st.text(max_size=300))
def test_words_come_in_order_and_do_not_overlap(text: str) -> None:
    words = split_words(text)
    assert all(first.end <= second.start for first, second in zip(words, words[1:], strict=False))


def test_codes_numbers_and_apostrophes_stay_whole() -> None:
    assert [w.text for w in split_words("T47, M5 x 0.8; won’t 3/32 11-speed")] == [
        "t47", "m5", "x", "0.8", "won't", "3/32", "11", "speed",
    ]  # fmt: skip


def test_both_sides_of_the_ocean_share_a_stem() -> None:
    assert stem("tires") == stem("tyre")
    assert stem("centred") == stem("centering") == stem("center")
    assert stem("worn") == stem("wearing") == stem("wore")


def test_decimal_comma_and_point_are_one_number() -> None:
    assert stem("27,2") == stem("27.2")
