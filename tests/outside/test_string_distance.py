"""Typing errors: the distance that the speller counts in, against published values, and the speller's use of it.

The speller counts in optimal string alignment (OSA): insertions, deletions, substitutions and swaps of neighbours cost
1, and no part is edited twice. Sources: Levenshtein values of kitten, Saturday and rosettacode in common use (from
memory); intention to execution 5 from Jurafsky & Martin, Speech and Language Processing (from memory); CA to ABC, 3 by
OSA where unrestricted Damerau-Levenshtein gives 2, the standard example of their difference (from memory).
"""

import pytest
from rapidfuzz.distance import OSA, DamerauLevenshtein, Levenshtein

from kb.text.spelling import Speller

WORDS = ("brake", "chain", "cable", "derailleur", "chainring", "saddle")
SPELLER = Speller(dict.fromkeys(WORDS, 5), frozenset())


@pytest.mark.parametrize(
    ("one", "other", "published"),
    [
        ("kitten", "sitting", 3),
        ("saturday", "sunday", 3),
        ("rosettacode", "raisethysword", 8),
        ("intention", "execution", 5),
        ("CA", "ABC", 3),
        ("teh", "the", 1),
    ],
)
def test_the_distance_in_use_has_the_published_values(one: str, other: str, published: int) -> None:
    assert OSA.distance(one, other) == published
    assert OSA.distance(other, one) == published


def test_the_neighbouring_distances_differ_from_it_as_published() -> None:
    assert (Levenshtein.distance("teh", "the"), Levenshtein.distance("CA", "ABC")) == (2, 3)
    assert DamerauLevenshtein.distance("CA", "ABC") == 2
    assert Levenshtein.distance("intention", "execution", weights=(1, 1, 2)) == 8


@pytest.mark.parametrize(
    ("typed", "meant"), [("barke", "brake"), ("chian", "chain"), ("calbe", "cable"), ("sadlde", "saddle")]
)
def test_a_swap_of_neighbours_is_one_error_to_the_speller(typed: str, meant: str) -> None:
    """Words under eight letters are mended from one error only; by plain Levenshtein a swap is two."""
    assert Levenshtein.distance(typed, meant) == 2
    assert SPELLER.repair(typed) == meant


@pytest.mark.parametrize("typed", ["brkex", "hcani", "acbel"])
def test_two_errors_in_a_short_word_are_left_alone(typed: str) -> None:
    assert min(OSA.distance(typed, word) for word in WORDS) == 2
    assert SPELLER.repair(typed) == typed


def test_a_swap_with_a_letter_typed_into_it_is_three_errors_to_the_speller() -> None:
    """As CA and ABC: 2 by unrestricted Damerau-Levenshtein, 3 by OSA, and a long word is mended from two errors."""
    typed = "deaxrilleur"
    assert (DamerauLevenshtein.distance(typed, "derailleur"), OSA.distance(typed, "derailleur")) == (2, 3)
    assert SPELLER.repair(typed) == typed
    assert SPELLER.repair("dearilleurx") == "derailleur"
