"""The terms by which texts are compared: four channels, each a bag of strings made from an `Analysis`.

    words     stems without function words            "slip", "load"
    pairs     neighbouring stems, numbers as "#"       "new chain", "once per"
    concepts  ids of the lexicon, wider ones too       "@chain", "@drivetrain"
    letters   runs of 3 to 5 letters inside words      "<cha", "hain", "ain>"

Synonym expansion is the concept channel: whatever word names a part, texts meet in its concept, and at a lower
weight in wider concepts. Words of a denied, planned or asked clause are marked apart in the pair channel
("not:play"), so that "no play" and "play" are not the same evidence.
"""

from collections import Counter, defaultdict
from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum
from itertools import pairwise

from kb.library.models import Concept, ConceptId
from kb.text.analysis import Analysis
from kb.text.clauses import Mark
from kb.text.words import FUNCTION_WORDS, Word, is_number, stem

__all__ = ["Channel", "TermMaker", "Terms"]

_FUNCTION_STEMS = frozenset(stem(word) for word in FUNCTION_WORDS)
_SHORTEST_RUN, _LONGEST_RUN = 3, 5


class Channel(StrEnum):
    """A kind of terms with a weight of its own."""

    WORDS = "words"
    PAIRS = "pairs"
    CONCEPTS = "concepts"
    LETTERS = "letters"


@dataclass(frozen=True, slots=True)
class Terms:
    """The terms of one text with their counts (wider concepts count less than 1)."""

    channels: Mapping[Channel, Mapping[str, float]]
    quoted: Mapping[tuple[Channel, str], str]
    """For each term of the first three channels the words of the text it came from, to show a person."""


@dataclass(frozen=True, slots=True)
class TermMaker:
    """Makes terms of an analysis."""

    lexicon: Mapping[ConceptId, Concept]
    expansion_weight: float
    """Weight of a concept one step wider than the one named; squared for two steps."""
    _wider: dict[ConceptId, tuple[tuple[ConceptId, float], ...]] = field(init=False, repr=False, default_factory=dict)

    def __post_init__(self) -> None:
        for id in self.lexicon:
            self._wider[id] = tuple(self._widen(id))

    def terms(self, analysis: Analysis) -> Terms:
        """Return the terms of a text in all channels."""
        words, pairs, letters = Counter[str](), Counter[str](), Counter[str]()
        concepts: defaultdict[str, float] = defaultdict(float)
        quoted: dict[tuple[Channel, str], str] = {}
        kept = [word for word in analysis.words if word.stem not in _FUNCTION_STEMS]
        marks = {
            word.start: analysis.clauses[clause].marks
            for word, clause in zip(analysis.words, analysis.clause_of, strict=True)
        }
        for word in kept:
            if not is_number(word.text):
                words[word.stem] += 1
                quoted.setdefault((Channel.WORDS, word.stem), analysis.source[word.start : word.end])
            for run in _runs(word):
                letters[run] += 1
        for first, second in pairwise(kept):
            pair = f"{_pair_part(first)} {_pair_part(second)}"
            pairs[pair] += 1
            quoted.setdefault((Channel.PAIRS, pair), analysis.source[first.start : second.end])
        for word in kept:
            if marks[word.start] & (Mark.DENIED | Mark.ELSEWHERE) and not is_number(word.text):
                pairs[f"not:{word.stem}"] += 1
        for found in analysis.concepts:
            phrase = analysis.source[analysis.words[found.first].start : analysis.words[found.last].end]
            for id, weight in ((found.concept, 1.0), *self._wider.get(found.concept, ())):
                concepts[f"@{id}"] += weight
                quoted.setdefault((Channel.CONCEPTS, f"@{id}"), phrase)
        return Terms(
            {
                Channel.WORDS: dict(words),
                Channel.PAIRS: dict(pairs),
                Channel.CONCEPTS: dict(concepts),
                Channel.LETTERS: dict(letters),
            },
            quoted,
        )

    def _widen(self, id: ConceptId) -> list[tuple[ConceptId, float]]:
        found: dict[ConceptId, float] = {}
        layer = [id]
        weight = self.expansion_weight
        while layer and weight > 0.05:
            layer = [wider for inner in layer for wider in self.lexicon[inner].broader if wider in self.lexicon]
            for wider in layer:
                if wider != id:
                    found.setdefault(wider, weight)
            layer = [wider for wider in layer if found.get(wider) == weight]
            weight *= self.expansion_weight
        return sorted(found.items())


def _pair_part(word: Word) -> str:
    return "#" if is_number(word.text) else word.stem


def _runs(word: Word) -> list[str]:
    padded = f"<{word.text}>"
    return [
        padded[start : start + length]
        for length in range(_SHORTEST_RUN, _LONGEST_RUN + 1)
        for start in range(len(padded) - length + 1)
    ]
