"""What a stretch of a complaint looks like to the learnt finder of stated readings: windows and their bags of features.

A window is a run of neighbouring segments of one sentence; segments are clauses cut once more at "and", "with", "when"
and the like, since riders put several readings into one breath ("cups tight and no play"). Features of a window:

    w:slip     stem                          n:play     stem that a negation governs
    @chain     concept, wider ones at half   n:@play    the same for a concept
    p:new tube neighbouring stems            s:@rim hop two keys near each other
    w:#mm      number with a unit            c:@rotor   concept or stem of the words before, for "it" and "they"
"""

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from itertools import pairwise

from kb.library.models import Concept, ConceptId, ConceptKind
from kb.text.analysis import Analysis
from kb.text.clauses import Mark
from kb.text.words import FUNCTION_WORDS, is_number, stem

__all__ = ["FeatureMaker", "Segment", "Token", "Window", "number_key"]

Bag = Mapping[str, float]

_TELLING = frozenset(
    {
        "same", "both", "each", "other", "another", "more", "most", "any", "into", "off", "on", "onto", "much", "here",
        "there", "too", "very",
    }
)  # fmt: skip
"""Function words that tell outcomes apart."""
_IGNORED = frozenset(stem(word) for word in FUNCTION_WORDS - _TELLING)
_NEGATIONS = frozenset(
    {
        "no", "not", "never", "none", "nothing", "without", "neither", "nor", "cannot", "hardly", "barely", "zero",
        "nowhere", "nobody", "isnt", "doesnt", "dont", "wasnt", "didnt", "wont", "cant", "arent", "havent", "hasnt",
        "werent", "couldnt",
    }
)  # fmt: skip
_CUT = re.compile(
    r",\s|,(?=[a-z])|;|:\s|\s[-–—]+\s|\s\(|\)|"
    r"\s(?=(?:and|but|&|so|though|although|while|whereas|because|yet|or|when|if|then|which|nor|with)\b)",
    re.IGNORECASE,
)
_KINDS_OF_UNIT = {
    "cm": "mm", "in": "mm", "m": "mm", "mil": "mm", "year": "months", "week": "months", "day": "months",
    "fortnight": "months", "psi": "bar", "kPa": "bar", "psi/day": "bar/day", "psi/week": "bar/day",
    "bar/week": "bar/day",    "%/week": "%", "%/day": "%",
}  # fmt: skip
_THINGS = frozenset({ConceptKind.PART, ConceptKind.TOOL, ConceptKind.FLUID, ConceptKind.PLACE})
_LONGEST_RUN = 3
"""Segments in a window; a whole sentence is one too, up to `_LONGEST_SENTENCE`."""
_LONGEST_SENTENCE = 6
_REACH = 6
"""Words after a negation that it governs, at most to the end of its segment."""
_PAIR, _NEAR, _WIDER, _BEFORE, _BEFORE_STEM = 0.8, 0.6, 0.5, 0.4, 0.28
_NEAR_REACH = 3


@dataclass(frozen=True, slots=True)
class Segment:
    """A piece of a clause: `source[start:end]`."""

    start: int
    end: int
    sentence: int
    marks: Mark


@dataclass(frozen=True, slots=True)
class Token:
    """A word that counts, or a quantity."""

    key: str
    """Its stem; "#" and the kind of unit for a quantity."""
    concepts: tuple[ConceptId, ...] = ()
    denied: bool = False


@dataclass(frozen=True, slots=True)
class Window:
    """A run of segments and its features."""

    first: int
    last: int
    """Numbers of its first and last segment."""
    start: int
    end: int
    sentence: int
    marks: Mark
    tokens: tuple[Token, ...]
    bag: Bag = field(repr=False)


@dataclass(frozen=True, slots=True)
class FeatureMaker:
    """Makes windows and bags with one lexicon."""

    lexicon: Mapping[ConceptId, Concept]

    def windows(self, analysis: Analysis) -> tuple[Window, ...]:
        """Return the windows of a text, in order of their first segment, then of their last."""
        segments = tuple(_segments(analysis))
        tokens = _tokens(analysis, segments)
        found = []
        for first, segment in enumerate(segments):
            before = _words_before(segments, tokens, first)
            for last in _ends(segments, first):
                inside = tuple(token for place in range(first, last + 1) for token in tokens[place])
                if inside:
                    marks = Mark.NONE
                    for place in range(first, last + 1):
                        marks |= segments[place].marks
                    bag = self.bag(inside, before)
                    end = segments[last].end
                    found.append(Window(first, last, segment.start, end, segment.sentence, marks, inside, bag))
        return tuple(found)

    def all_tokens(self, analysis: Analysis) -> tuple[Token, ...]:
        """Return the tokens of a whole text."""
        return tuple(token for tokens in _tokens(analysis, tuple(_segments(analysis))) for token in tokens)

    def bag(self, tokens: Sequence[Token], before: Sequence[Token] = ()) -> Bag:
        """Return the features of a run of tokens that stands after the words `before`."""
        bag: dict[str, float] = {}
        for token in tokens:
            bag[f"w:{token.key}"] = 1.0
            if token.denied:
                bag[f"n:{token.key}"] = 1.0
            for id in token.concepts:
                bag[f"@{id}"] = 1.0
                if token.denied:
                    bag[f"n:@{id}"] = 1.0
                for wider in self.lexicon[id].broader if id in self.lexicon else ():
                    bag[f"@{wider}"] = max(bag.get(f"@{wider}", 0.0), _WIDER)
        for left, right in pairwise(tokens):
            bag[f"p:{left.key} {right.key}"] = _PAIR
        keys = [f"@{token.concepts[0]}" if token.concepts else token.key for token in tokens]
        for place, key in enumerate(keys):
            for other in keys[place + 1 : place + 1 + _NEAR_REACH]:
                bag[f"s:{key} {other}"] = _NEAR
        for token in before:
            bag[f"c:{token.key}"] = _BEFORE_STEM
            for id in token.concepts:
                bag[f"c:@{id}"] = _BEFORE
        return bag

    def names_a_thing(self, token: Token) -> bool:
        """Tell whether a token only names what is spoken of (a part, a tool, a fluid, a place)."""
        return any(id in self.lexicon and self.lexicon[id].kind in _THINGS for id in token.concepts)


def number_key(unit: str | None) -> str:
    """Return the key of a quantity: one for all units of a kind.

    >>> number_key("in"), number_key("mm"), number_key(None)
    ('#mm', '#mm', '#')
    """
    return f"#{_KINDS_OF_UNIT.get(unit, unit) if unit else ''}"


def _segments(analysis: Analysis) -> Iterator[Segment]:
    source = analysis.source
    for clause in analysis.clauses:
        left = clause.start
        for cut in _CUT.finditer(source, clause.start, clause.end):
            if source[left : cut.start()].strip():
                yield Segment(left, cut.start(), clause.sentence, clause.marks)
                left = cut.end()
        if source[left : clause.end].strip():
            yield Segment(left, clause.end, clause.sentence, clause.marks)


def _ends(segments: Sequence[Segment], first: int) -> Iterator[int]:
    """Yield the last segments of the windows that begin with `first`."""
    sentence = segments[first].sentence
    last = first
    while last + 1 < len(segments) and segments[last + 1].sentence == sentence:
        last += 1
    yield from range(first, min(first + _LONGEST_RUN, last + 1))
    opens = first == 0 or segments[first - 1].sentence != sentence
    if opens and first + _LONGEST_RUN <= last < first + _LONGEST_SENTENCE:
        yield last


def _words_before(segments: Sequence[Segment], tokens: Sequence[Sequence[Token]], first: int) -> list[Token]:
    """Return the tokens from the beginning of the sentence before on."""
    sentence = segments[first].sentence
    return [token for place in range(first) if segments[place].sentence >= sentence - 1 for token in tokens[place]]


def _tokens(analysis: Analysis, segments: Sequence[Segment]) -> list[list[Token]]:
    """Return the tokens of each segment; a quantity is one token."""
    concepts: dict[int, list[ConceptId]] = {}
    for found in analysis.concepts:
        concepts.setdefault(found.first, []).append(found.concept)
    tokens: list[list[Token]] = [[] for _ in segments]
    place = reach = number = counted = 0
    for at, word in enumerate(analysis.words):
        while place + 1 < len(segments) and segments[place + 1].start <= word.start:
            place, reach = place + 1, 0
        while number < len(analysis.quantities) and analysis.quantities[number].end <= word.start:
            number += 1
        quantity = analysis.quantities[number] if number < len(analysis.quantities) else None
        if quantity and quantity.start <= word.start and (quantity.unit or word.text not in _NEGATIONS):
            if counted <= number:
                tokens[place].append(Token(number_key(quantity.unit)))
                counted = number + 1
        elif word.text in _NEGATIONS or word.text.endswith("n't"):
            reach = _REACH
            tokens[place].append(Token("NOT"))
        elif is_number(word.text):
            tokens[place].append(Token("#"))
        elif word.stem not in _IGNORED or at in concepts:
            tokens[place].append(Token(word.stem, tuple(concepts.get(at, ())), reach > 0))
            reach = max(reach - 1, 0)
    return tokens
