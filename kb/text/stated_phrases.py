"""Finds stated readings by fixed phrases: what serves where there are no statements to learn from.

A looked-at check is stated where a clause holds the words of one of its `said` phrases, in order and close together,
and denies as much as the phrase does. A measured check is stated where a clause names the thing and gives a quantity
that converts to the check's unit. Clauses that ask, plan, or speak of another bike or an earlier time state nothing.
"""

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field

from kb.errors import BadQuantity
from kb.library.models import Check, CheckId
from kb.text.analysis import Analyser, Analysis
from kb.text.clauses import Mark
from kb.text.quantities import Quantity
from kb.text.stated_reading import StatedReading
from kb.text.words import FUNCTION_WORDS, stem
from kb.units import convert

__all__ = ["PhraseFinder", "make_phrase_finder"]

_NEGATIONS = frozenset(
    stem(word)
    for word in ("no", "not", "never", "none", "nothing", "without", "neither", "nor", "cannot", "hardly", "zero")
)
_IGNORED = frozenset(stem(word) for word in FUNCTION_WORDS)
_SILENT = Mark.ASKED | Mark.PLANNED | Mark.ELSEWHERE
_WIDEST_GAP = 2
"""Other words allowed between two words of a phrase."""
_LEAST_WORDS = 2
_REACH_BEFORE = 3
"""How many words before a match a negation still governs it."""


@dataclass(frozen=True, slots=True)
class _Phrase:
    """One way to report one outcome, as tokens."""

    check: CheckId
    outcome: str
    tokens: tuple[str, ...]
    denies: bool


@dataclass(frozen=True, slots=True)
class _Token:
    """A word or concept of the text, reduced as phrases are."""

    key: str
    word: int
    """Number of its (first) word."""
    last: int
    denies: bool


@dataclass(frozen=True, slots=True)
class PhraseFinder:
    """The `said` phrases of all checks, by the first token they begin with."""

    checks: Mapping[CheckId, Check]
    _phrases: Mapping[str, tuple[_Phrase, ...]] = field(repr=False)
    _names: Mapping[str, tuple[tuple[CheckId, tuple[str, ...]], ...]] = field(repr=False)
    """First token -> measured checks and the rest of a phrase that names them."""

    def find(self, analysis: Analysis) -> tuple[StatedReading, ...]:
        """Return the stated readings, one a check at most, in order of place.

        Where a text states two outcomes of one check, the longer phrase wins, and of equals the later one.
        """
        best: dict[CheckId, tuple[tuple[int, int], StatedReading]] = {}
        for number, clause in enumerate(analysis.clauses):
            if clause.marks & _SILENT:
                continue
            tokens = _tokens(analysis, number)
            hedged = bool(clause.marks & Mark.HEDGED)
            for strength, reading in (
                *self._looked_at(analysis, tokens, hedged),
                *self._measured(analysis, tokens, number, hedged),
            ):
                rank = (strength, reading.start)
                if reading.check not in best or rank >= best[reading.check][0]:
                    best[reading.check] = (rank, reading)
        return tuple(sorted((reading for _, reading in best.values()), key=lambda item: (item.start, item.check)))

    def _looked_at(
        self, analysis: Analysis, tokens: Sequence[_Token], hedged: bool
    ) -> Iterator[tuple[int, StatedReading]]:
        for place, token in enumerate(tokens):
            for phrase in self._phrases.get(token.key, ()):
                matched = _match(phrase.tokens, tokens, place)
                if matched is None or _denied(tokens, place, matched) != phrase.denies:
                    continue
                start = analysis.words[tokens[place].word].start
                end = analysis.words[tokens[matched].last].end
                yield (
                    len(phrase.tokens) + phrase.denies,
                    StatedReading(phrase.check, phrase.outcome, None, start, end, analysis.source[start:end], hedged),
                )

    def _measured(
        self, analysis: Analysis, tokens: Sequence[_Token], clause: int, hedged: bool
    ) -> Iterator[tuple[int, StatedReading]]:
        span = analysis.clauses[clause]
        for quantity in analysis.quantities:
            if not span.start <= quantity.start < span.end or quantity.unit is None:
                continue
            named: list[tuple[int, int, CheckId, float]] = []
            for place, token in enumerate(tokens):
                for check_id, name in self._names.get(token.key, ()):
                    matched = _match(name, tokens, place)
                    value = _in_unit(quantity, self.checks[check_id])
                    if matched is not None and value is not None:
                        distance = abs(analysis.words[token.word].start - quantity.start)
                        named.append((len(name), -distance, check_id, value))
            if named:
                length, _, check_id, value = max(named)
                check = self.checks[check_id]
                reading = StatedReading(
                    check_id,
                    check.outcome_of(value),
                    value,
                    span.start,
                    span.end,
                    analysis.source[span.start : span.end],
                    hedged,
                )
                yield 10 + length, reading


def make_phrase_finder(checks: Mapping[CheckId, Check], analyser: Analyser) -> PhraseFinder:
    """Return a finder for the `said` and `named` phrases of all checks."""
    phrases: dict[str, list[_Phrase]] = defaultdict(list)
    names: dict[str, list[tuple[CheckId, tuple[str, ...]]]] = defaultdict(list)
    for check in checks.values():
        for outcome, said in check.said.items():
            for text in said:
                tokens = _phrase_tokens(analyser.analyse(text))
                keys = tuple(token.key for token in tokens)
                if len(keys) >= _LEAST_WORDS:
                    denies = any(token.denies for token in tokens)
                    phrases[keys[0]].append(_Phrase(check.id, outcome, keys, denies))
        for text in check.named if check.is_measured else ():
            keys = tuple(token.key for token in _phrase_tokens(analyser.analyse(text)))
            if keys:
                names[keys[0]].append((check.id, keys))
    return PhraseFinder(
        checks,
        {key: tuple(dict.fromkeys(found)) for key, found in phrases.items()},
        {key: tuple(dict.fromkeys(found)) for key, found in names.items()},
    )


def _phrase_tokens(analysis: Analysis) -> list[_Token]:
    return [token for number in range(len(analysis.clauses)) for token in _tokens(analysis, number)]


def _tokens(analysis: Analysis, clause: int) -> list[_Token]:
    """Reduce a clause to concepts and stems; a negation is kept as a mark on the next token."""
    concept_at = {found.first: found for found in analysis.concepts}
    inside = {place for found in analysis.concepts for place in range(found.first + 1, found.last + 1)}
    tokens: list[_Token] = []
    denies = False
    for place, word in enumerate(analysis.words):
        if analysis.clause_of[place] != clause or place in inside:
            continue
        if word.stem in _NEGATIONS or word.text.endswith("n't"):
            denies = True
            continue
        found = concept_at.get(place)
        if found is None and word.stem in _IGNORED:
            continue
        key = f"@{found.concept}" if found else word.stem
        tokens.append(_Token(key, place, found.last if found else place, denies))
        denies = False
    return tokens


def _match(phrase: Sequence[str], tokens: Sequence[_Token], start: int) -> int | None:
    """Return the place of the last matched token if `phrase` stands from `start` on with small gaps only."""
    place = start
    for key in phrase[1:]:
        following = next(
            (
                other
                for other in range(place + 1, min(place + 2 + _WIDEST_GAP, len(tokens)))
                if tokens[other].key == key
            ),
            None,
        )
        if following is None:
            return None
        place = following
    return place if tokens[start].key == phrase[0] else None


def _denied(tokens: Sequence[_Token], first: int, last: int) -> bool:
    """Tell whether an odd number of negations governs the matched stretch."""
    return sum(token.denies for token in tokens[max(first - _REACH_BEFORE + 2, 0) : last + 1]) % 2 == 1


def _in_unit(quantity: Quantity, check: Check) -> float | None:
    """Return the quantity in the check's unit, or None where it doesn't convert or no bike can show it."""
    if quantity.unit is None or check.unit is None:
        return None
    try:
        value = convert(quantity.value, quantity.unit, check.unit)
    except BadQuantity:
        return None
    low, high = check.plausible or (float("-inf"), float("inf"))
    return value if low <= value <= high else None
