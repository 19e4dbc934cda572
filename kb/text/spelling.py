"""Spelling repair against the words of the library.

A word that the library or ordinary English knows is left alone; another is replaced by the nearest word of the library
within one error (two from eight letters on), counting a swap of neighbours as one error: over 80 % of misspellings
are one such error (Damerau 1964). Nearest means fewest errors, then same first letter, then most frequent, then
alphabetical.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field

from rapidfuzz import process
from rapidfuzz.distance import OSA

from kb.text.words import Word, is_number, stem

__all__ = ["Speller"]

_SHORTEST = 4
_LONG = 8
_LONGEST = 24
_CACHED = 20_000


@dataclass(frozen=True, slots=True)
class Speller:
    """Repairs words; immutable but for a bounded memory of what it has repaired."""

    vocabulary: Mapping[str, int]
    """Word of the library -> how often it stands there."""
    english: frozenset[str]
    """Ordinary words that are left alone although the library doesn't have them."""
    _choices: tuple[str, ...] = field(init=False, repr=False, compare=False, default=())
    _memory: dict[str, str] = field(init=False, repr=False, compare=False, default_factory=dict)

    def __post_init__(self) -> None:
        object.__setattr__(self, "_choices", tuple(sorted(w for w in self.vocabulary if len(w) >= _SHORTEST)))

    def repair(self, word: str) -> str:
        """Return the word itself where it is known, else the nearest known word, else the word itself.

        >>> Speller({"derailleur": 3, "chain": 9}, frozenset({"chin"})).repair("derialleur")
        'derailleur'
        """
        if not _SHORTEST <= len(word) <= _LONGEST or word in self.vocabulary or word in self.english or is_number(word):
            return word
        if any(char.isdigit() for char in word):
            return word
        known = self._memory.get(word)
        if known is None:
            known = self._nearest(word)
            if len(self._memory) < _CACHED:
                self._memory[word] = known
        return known

    def repair_all(self, words: tuple[Word, ...]) -> tuple[Word, ...]:
        """Return the words with text and stem repaired and spans unchanged."""
        repaired = []
        for word in words:
            text = self.repair(word.text)
            repaired.append(word if text == word.text else Word(text, stem(text), word.start, word.end))
        return tuple(repaired)

    def _nearest(self, word: str) -> str:
        errors = 2 if len(word) >= _LONG else 1
        near = process.extract(
            word, self._choices, scorer=OSA.distance, processor=None, score_cutoff=errors, limit=None
        )
        if not near:
            return word
        best = min(near, key=lambda item: (item[1], item[0][0] != word[0], -self.vocabulary[item[0]], item[0]))
        return str(best[0])
