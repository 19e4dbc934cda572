import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kb.answer import Answerer
from kb.library.models import CauseId, Library
from kb.search.synonyms import Heard, Proposal, log_odds, propose_synonyms


def heard(answerer: Answerer, text: str, gold: str, missed: bool = False) -> Heard:
    return Heard(answerer.analyser.analyse(text), CauseId(gold), missed)


def proposals(answerer: Answerer, *extra: Heard) -> tuple[Proposal, ...]:
    """Ask for proposals where riders with a bent rotor say "pizza tray", and with everything else "Tuesday"."""
    told = [
        heard(answerer, f"the pizza tray {what}", "rotor-bent", what in ("zings", "hums"))
        for what in ("zings", "hums", "wails", "sings", "moans")
    ]
    others = [heard(answerer, "since Tuesday it rolls forward over bumps", "bar-slip", n == 0) for n in range(5)]
    rest = [heard(answerer, "since Tuesday a squeak under me when seated", "saddle-creak") for _ in range(20)]
    return propose_synonyms([*told, *others, *rest, *extra], answerer.library)


def test_a_phrase_of_one_article_that_the_lexicon_lacks_is_proposed_with_its_part(small_answerer: Answerer) -> None:
    found = {item.article: item for item in proposals(small_answerer) if item.phrase == "pizza tray"}
    assert set(found) == {"rotor-bent"}
    item = found[CauseId("rotor-bent")]
    assert (item.concepts, item.texts, item.missed, item.elsewhere) == (("rotor",), 5, 2, 0)
    assert item.unnamed == 1
    assert "pizza tray" in item.example


def test_a_phrase_that_everyone_says_is_not_proposed(small_answerer: Answerer) -> None:
    assert not any(item.phrase == "tuesday" for item in proposals(small_answerer))


def test_a_word_of_the_lexicon_is_not_proposed(small_answerer: Answerer) -> None:
    named = [heard(small_answerer, "disc scrapes", "rotor-bent", missed=True) for _ in range(6)]
    assert not any("disc" in item.phrase for item in proposals(small_answerer, *named))


def test_a_word_that_means_a_concept_only_in_company_is_not_proposed_without_it(small_answerer: Answerer) -> None:
    library = small_answerer.library
    assert "stem" in library.lexicon["valve"].company  # type: ignore[index]
    named = [heard(small_answerer, "stem gurgles", "rotor-bent", missed=True) for _ in range(6)]
    assert "stem" not in {item.phrase for item in proposals(small_answerer, *named)}


def test_a_phrase_that_was_never_missed_is_not_proposed(small_answerer: Answerer) -> None:
    known = [heard(small_answerer, "a gurgling sprunge", "chain-worn") for _ in range(6)]
    assert not any("sprunge" in item.phrase for item in proposals(small_answerer, *known))


def test_phrases_within_a_proposed_phrase_are_not_proposed_again(small_answerer: Answerer) -> None:
    phrases = [item.phrase for item in proposals(small_answerer) if item.article == "rotor-bent"]
    assert sum("tray" in phrase for phrase in phrases) == 1


def test_the_part_that_other_articles_with_the_word_have_comes_first(small_answerer: Answerer) -> None:
    """Riders with a worn chain say it too, whose only part is the chain; of stem and handlebar neither is theirs."""
    library: Library = small_answerer.library
    assert library.articles[CauseId("cassette-worn")].parts == ("cassette", "sprocket")
    told = [heard(small_answerer, "the whirligig bites", "cassette-worn", missed=True) for _ in range(6)]
    (item,) = (item for item in proposals(small_answerer, *told) if "whirligig" in item.phrase)
    assert item.concepts == ("cassette", "sprocket")


def test_no_complaints_give_no_proposals(small_library: Library) -> None:
    assert propose_synonyms([], small_library) == ()


def test_no_more_are_proposed_than_asked_for(small_answerer: Answerer) -> None:
    told = [heard(small_answerer, f"gribble {word}", "chain-worn", missed=True) for word in ("foo", "bar", "baz") * 4]
    assert (
        len(propose_synonyms([*told, *[heard(small_answerer, "else", "bar-slip")] * 20], small_answerer.library, 1))
        == 1
    )


def test_log_odds_of_a_case_worked_by_hand() -> None:
    """8 of 10 against 2 of 90, prior 20 at the share of 0.1: (8 + 2) / (2 + 18) over (2 + 2) / (88 + 18)."""
    value, z = log_odds(8, 10, 2, 90, prior=20)
    assert value == pytest.approx(math.log(10 / 20) - math.log(4 / 106))
    assert z == pytest.approx(value / math.sqrt(1 / 10 + 1 / 4))


counts = st.tuples(st.integers(0, 20), st.integers(1, 50), st.integers(0, 20), st.integers(1, 50)).filter(
    lambda c: c[0] <= c[1] and c[2] <= c[3]
)


@given(counts)
def test_a_phrase_commoner_inside_has_positive_log_odds(count: tuple[int, int, int, int]) -> None:
    inside, n_inside, outside, n_outside = count
    value, z = log_odds(inside, n_inside, outside, n_outside)
    difference = inside / n_inside - outside / n_outside
    assert math.isfinite(z)
    assert value == 0 or (value > 0) == (difference > 0) or abs(difference) < 1e-9


@given(counts)
def test_inside_and_outside_exchanged_change_the_sign(count: tuple[int, int, int, int]) -> None:
    one, other = log_odds(*count), log_odds(count[2], count[3], count[0], count[1])
    assert one == pytest.approx((-other[0], -other[1]))
