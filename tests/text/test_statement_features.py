from hypothesis import given
from hypothesis import strategies as st

from kb.answer import Answerer
from kb.text.statement_features import FeatureMaker, Window


def windows(answerer: Answerer, text: str) -> tuple[Window, ...]:
    return FeatureMaker(answerer.library.lexicon).windows(answerer.analyser.analyse(text))


def bag(answerer: Answerer, text: str) -> dict[str, float]:
    (window,) = windows(answerer, text)
    return dict(window.bag)


def test_a_negation_marks_the_words_it_governs(small_answerer: Answerer) -> None:
    found = bag(small_answerer, "cogs show no hooks")
    assert "n:hook" in found
    assert "n:cog" not in found


def test_a_quantity_is_one_feature_for_all_units_of_a_kind(small_answerer: Answerer) -> None:
    assert "w:#mm" in bag(small_answerer, "half an inch of slack")
    assert "w:#mm" in bag(small_answerer, "12 mm of slack")


def test_wider_concepts_count_half(small_answerer: Answerer) -> None:
    found = bag(small_answerer, "worn cog")
    assert (found["@sprocket"], found["@cassette"]) == (1.0, 0.5)


def test_words_before_are_remembered_for_it_and_they(small_answerer: Answerer) -> None:
    last = windows(small_answerer, "I looked at the cogs. They are hooked.")[-1]
    assert "c:@sprocket" in last.bag
    assert "w:cog" not in last.bag


def test_windows_do_not_cross_sentences(small_answerer: Answerer) -> None:
    text = "Cogs hooked and chain new. Rotor true and pads new."
    for window in windows(small_answerer, text):
        assert "." not in text[window.start : window.end]


@given(st.text(alphabet=st.characters(codec="utf-8", exclude_characters="\x00"), max_size=200))
def test_any_text_is_cut_without_an_error(small_answerer: Answerer, text: str) -> None:
    for window in windows(small_answerer, text):
        assert 0 <= window.start < window.end <= len(text)
