"""The first stage: what the rider wrote, taken apart once for all later stages.

text -> words -> spelling -> concepts
-> clauses (denied, hedged, asked, planned, elsewhere)
-> quantities
"""

from dataclasses import dataclass, field

from kb.errors import BadInput
from kb.text.clauses import Clause, split_clauses
from kb.text.concepts import ConceptFinder, FoundConcept
from kb.text.quantities import Quantity, find_quantities
from kb.text.spelling import Speller
from kb.text.words import Word, split_words

__all__ = ["LONGEST_TEXT", "Analyser", "Analysis"]

LONGEST_TEXT = 20_000
"""Characters that are read; a longer complaint is refused, not cut, so that nothing is lost unnoticed."""


@dataclass(frozen=True, slots=True)
class Analysis:
    """A text and its parts; every span is a span of `source`."""

    source: str
    words: tuple[Word, ...]
    """With spelling repaired."""
    concepts: tuple[FoundConcept, ...]
    clauses: tuple[Clause, ...]
    quantities: tuple[Quantity, ...]
    clause_of: tuple[int, ...] = field(repr=False)
    """For each word the index of its clause."""


@dataclass(frozen=True, slots=True)
class Analyser:
    """Takes texts apart with one lexicon and one vocabulary."""

    speller: Speller
    concepts: ConceptFinder

    def analyse(self, text: str) -> Analysis:
        """Take `text` apart.

        Raises: BadInput if it is longer than LONGEST_TEXT characters or holds control characters as binary files do.
        """
        if len(text) > LONGEST_TEXT:
            raise BadInput("text", f"{len(text)} characters", f"at most {LONGEST_TEXT} characters")
        if "\x00" in text:
            raise BadInput("text", text, "text, not a binary file (it holds null characters)")
        words = self.speller.repair_all(split_words(text))
        clauses = split_clauses(text)
        return Analysis(
            source=text,
            words=words,
            concepts=self.concepts.find(words),
            clauses=clauses,
            quantities=find_quantities(text),
            clause_of=_clauses_of(words, clauses),
        )


def _clauses_of(words: tuple[Word, ...], clauses: tuple[Clause, ...]) -> tuple[int, ...]:
    places: list[int] = []
    clause = 0
    for word in words:
        while clause + 1 < len(clauses) and clauses[clause + 1].start <= word.start:
            clause += 1
        places.append(clause)
    return tuple(places)
