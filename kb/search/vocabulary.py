"""The words that spelling is repaired to, and the ordinary words that are left alone."""

from collections import Counter
from collections.abc import Iterator
from functools import lru_cache

from kb.library.models import Library
from kb.text.spelling import Speller
from kb.text.words import is_number, normalise, split_words, stem

__all__ = ["english_frequencies", "make_speller"]

_ORDINARY = 100
"""A word that stands so often in pyspellchecker's English word list counts as ordinary; rarer ones there are often
errors."""


def make_speller(library: Library) -> Speller:
    """Return a speller for the words of articles, checks and lexicon; misspellings that the lexicon lists are left
    to it.
    """
    counts = Counter(word.text for text in _texts(library) for word in split_words(text) if not is_number(word.text))
    for concept in library.lexicon.values():
        for phrase in concept.misspelt:  # known as such by the lexicon: neither repaired nor repaired to
            for word in split_words(phrase):
                counts.pop(word.text, None)
    misspelt = frozenset(
        word.text for concept in library.lexicon.values() for phrase in concept.misspelt for word in split_words(phrase)
    )
    return Speller(dict(counts), frozenset(word for word, count in _english().items() if count >= _ORDINARY) | misspelt)


def _texts(library: Library) -> Iterator[str]:
    for article in library.articles.values():
        yield from (article.title, article.body, *article.symptoms)
    for check in library.checks.values():
        yield from (
            check.what,
            check.ask,
            *check.named,
            *(phrase for phrases in check.said.values() for phrase in phrases),
        )
    for concept in library.lexicon.values():
        yield from (*concept.words, *concept.uk, *concept.us, *concept.lay)


def english_frequencies() -> dict[str, int]:
    """Return how often ordinary words stand in English, by stem."""
    counts: Counter[str] = Counter()
    for word, count in _english().items():
        if count >= _ORDINARY:
            counts[stem(normalise(word))] += count
    return dict(counts)


@lru_cache(maxsize=1)
def _english() -> dict[str, int]:
    from spellchecker import SpellChecker  # noqa: PLC0415  its word list takes 0.1 s to load

    return dict(SpellChecker(language="en").word_frequency.dictionary)
