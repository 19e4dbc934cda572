"""Finds the lexicon's concepts in a text: the longest phrase that stands at each word, told apart by company.

Phrases match on stems, so that one entry serves all inflected forms; "a", "the", "my" and the like between the words
of a phrase don't hinder it. A word of several meanings counts for a concept only where one of the words in its
company stands in the same complaint.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from kb.library.models import Concept, ConceptId
from kb.text.words import Word, split_words

__all__ = ["ConceptFinder", "FoundConcept", "make_concept_finder"]

_SKIPPED = frozenset({"a", "an", "the", "my", "your", "its", "of", "this", "that"})


@dataclass(frozen=True, slots=True)
class FoundConcept:
    """A concept at a place: words `first` to `last` (inclusive) of the text name it."""

    concept: ConceptId
    first: int
    last: int


@dataclass(frozen=True, slots=True)
class _Reading:
    """One way to read a phrase."""

    concept: ConceptId
    company: frozenset[str]
    """Stems of which one must stand elsewhere in the text; empty if the phrase needs none."""


@dataclass(slots=True)
class _Node:
    """A place in the tree of phrases; built once, then only read."""

    following: dict[str, "_Node"] = field(default_factory=dict)
    readings: list[_Reading] = field(default_factory=list)


@dataclass(frozen=True, slots=True)
class ConceptFinder:
    """The lexicon as a tree of stems."""

    _root: _Node = field(repr=False)

    def find(self, words: Sequence[Word]) -> tuple[FoundConcept, ...]:
        """Return the concepts named, in order of place then id; phrases don't overlap, one phrase may name several."""
        present = {word.stem for word in words}
        found: list[FoundConcept] = []
        at = 0
        while at < len(words):
            last, concepts = self._longest(words, at, present)
            found += (FoundConcept(concept, at, last) for concept in concepts)
            at = last + 1 if concepts else at + 1
        return tuple(found)

    def _longest(self, words: Sequence[Word], at: int, present: set[str]) -> tuple[int, tuple[ConceptId, ...]]:
        best: tuple[int, tuple[ConceptId, ...]] = (at, ())
        node = self._root
        phrase: set[str] = set()
        for place in range(at, len(words)):
            if place > at and words[place].text in _SKIPPED:
                continue
            step = node.following.get(words[place].stem)
            if step is None:
                break
            node = step
            phrase.add(words[place].stem)
            fitting = _fitting(node.readings, present - phrase)
            if fitting:
                best = (place, fitting)
        return best


def make_concept_finder(lexicon: Mapping[ConceptId, Concept]) -> ConceptFinder:
    """Return a finder for all phrases of the lexicon."""
    root = _Node()
    for concept in lexicon.values():
        company = {word.casefold(): _stems_of(words) for word, words in concept.company.items()}
        for phrase in dict.fromkeys(phrase.casefold() for phrase in concept.phrases):
            node = root
            for word in split_words(phrase):
                if word.text not in _SKIPPED:
                    node = node.following.setdefault(word.stem, _Node())
            if node is not root:
                node.readings.append(_Reading(concept.id, company.get(phrase, frozenset())))
    return ConceptFinder(root)


def _stems_of(phrases: Sequence[str]) -> frozenset[str]:
    return frozenset(word.stem for phrase in phrases for word in split_words(phrase))


def _fitting(readings: Sequence[_Reading], others: set[str]) -> tuple[ConceptId, ...]:
    """Return the concepts whose company is present; a reading without company is the one taken where no other fits."""
    kept = [reading.concept for reading in readings if reading.company and reading.company & others]
    if not kept:
        kept = [reading.concept for reading in readings if not reading.company]
    return tuple(sorted(set(kept)))
