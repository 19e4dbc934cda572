"""Readings that the complaint itself states: "rotor is true", "no play in the hub", "chain measures 0.9 %".

Where the articles have statements to learn from, every window of the text (see `statement_features`) is judged by the
learnt model: which check it states, and which outcome. A measured check takes a number where one stands there
(`stated_numbers`). Windows that ask, plan, or speak of another bike or an earlier time state nothing, except that
"no idea what is in there" is a reading where a check has an outcome for it. Without a model, fixed phrases serve.
"""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from kb.library.models import Check, CheckId, Concept, ConceptId
from kb.text.analysis import Analyser, Analysis
from kb.text.clauses import Mark
from kb.text.quantities import Quantity
from kb.text.stated_numbers import number_read
from kb.text.stated_phrases import PhraseFinder, make_phrase_finder
from kb.text.stated_reading import StatedReading
from kb.text.statement_features import FeatureMaker, Window
from kb.text.statement_model import StatementModel

__all__ = ["LEAST_PROBABILITY", "Sign", "StatedFinder", "StatedReading", "make_stated_finder"]

LEAST_PROBABILITY = 0.7
"""A reading less probable than this is not given; found on texts written apart."""
_SILENT = Mark.ASKED | Mark.PLANNED | Mark.ELSEWHERE
_NOT_KNOWN = frozenset({"unsure", "unknown"})
"""Outcomes that a rider reports by saying that they don't know."""
_WORTH_A_LOOK = 0.1
_NEAR = 0.6
"""Windows this near to the likeliest one have a say in the outcome, and give the number from `_NEAR_NUMBER` on."""
_NEAR_NUMBER = 0.4
_CLAIMED = 0.3
"""A number in a window that states another check at least so probably is that check's."""


# Found by logistic regression on the development texts, where right means the check is stated with that outcome.
_WEIGHTS = (0.62, 0.43, -0.67, 0.7, 0.08, -0.4)
_BIAS = -0.5


@dataclass(frozen=True, slots=True)
class Sign:
    """What speaks for one reading, before it is weighed."""

    reading: StatedReading
    features: tuple[float, ...]
    """Log odds of the check in its likeliest window, of the outcome, of the strongest rival check in that window, and
    of the check in the least likely wider window; log of the window's words; whether a number is read.
    """


@dataclass(frozen=True, slots=True)
class StatedFinder:
    """Finds the stated readings of a text; built once."""

    checks: Mapping[CheckId, Check]
    phrases: PhraseFinder = field(repr=False)
    """Serves where nothing was learnt."""
    maker: FeatureMaker = field(repr=False)
    model: StatementModel | None = field(repr=False)

    def find(self, analysis: Analysis) -> tuple[StatedReading, ...]:
        """Return the stated readings, one a check at most, in order of place."""
        if self.model is None:
            return self.phrases.find(analysis)
        found = [sign.reading for sign in self.signs(analysis) if sign.reading.probability >= LEAST_PROBABILITY]
        found = _numbers_once(found)
        return tuple(sorted(found, key=lambda reading: (reading.start, reading.check)))

    def signs(self, analysis: Analysis) -> tuple[Sign, ...]:
        """Return every reading that is worth a look, whatever its probability; none without a model."""
        windows = self.maker.windows(analysis)
        if self.model is None or not windows:
            return ()
        p_checks = self.model.p_checks([window.bag for window in windows])
        judge = _Judge(analysis, windows, self.model, self.maker, p_checks)
        likely = np.flatnonzero(p_checks.max(axis=0) >= _WORTH_A_LOOK)
        found = (judge.sign(self.checks[self.model.checks[number]], int(number)) for number in likely)
        return tuple(sign for sign in found if sign is not None)


def make_stated_finder(
    checks: Mapping[CheckId, Check],
    analyser: Analyser,
    lexicon: Mapping[ConceptId, Concept] | None = None,
    model: StatementModel | None = None,
) -> StatedFinder:
    """Return a finder for all checks; lexicon and model as they were when it was learnt."""
    return StatedFinder(checks, make_phrase_finder(checks, analyser), FeatureMaker(lexicon or {}), model)


def _numbers_once(found: Sequence[StatedReading]) -> list[StatedReading]:
    """Leave out readings whose number is more probably that of another check, in the same words."""
    kept: list[StatedReading] = []
    for reading in sorted(found, key=lambda item: (-item.probability, item.check)):
        taken = reading.value is not None and any(
            other.value is not None
            and other.start < reading.end
            and reading.start < other.end
            and other.value == reading.value
            for other in kept
        )
        if not taken:
            kept.append(reading)
    return kept


@dataclass(frozen=True, slots=True)
class _Judge:
    """One text with what the model makes of its windows."""

    analysis: Analysis
    windows: Sequence[Window]
    model: StatementModel
    maker: FeatureMaker
    p_checks: NDArray[np.float64]

    def sign(self, check: Check, number: int) -> Sign | None:
        """Return what the text states about one check, or None where nothing is left of it."""
        p_here = self.p_checks[:, number]
        heard = [place for place, window in enumerate(self.windows) if self._is_heard(window, check)]
        if not heard:
            return None
        best = max(heard, key=lambda place: (p_here[place], -place))
        if p_here[best] < _WORTH_A_LOOK:
            return None
        reaching = [place for place in heard if p_here[place] >= _NEAR_NUMBER * p_here[best]]
        read = self._number(check, p_here, reaching) if check.is_measured else None
        if read is not None:
            place, value = read
            return self._made(check, place, check.outcome_of(value), value, number, 1.0)
        near = [place for place in heard if p_here[place] >= _NEAR * p_here[best]]
        outcome, share = self._outcome(check, p_here, near)
        if self.windows[best].marks & _SILENT and outcome not in _NOT_KNOWN:
            return None
        return self._made(check, best, outcome, None, number, share)

    def _is_heard(self, window: Window, check: Check) -> bool:
        if not window.marks & _SILENT:
            return True
        return bool(_NOT_KNOWN & set(check.outcomes)) and not window.marks & (Mark.ASKED | Mark.ELSEWHERE)

    def _number(self, check: Check, p_here: NDArray[np.float64], near: Sequence[int]) -> tuple[int, float] | None:
        """Return the number that the check reads, with the likeliest window that holds it."""
        spoken = [place for place in near if not self.windows[place].marks & _SILENT]
        order = sorted(spoken, key=lambda place: (-p_here[place], place))
        inside = dict.fromkeys(item for place in order for item in self._quantities(self.windows[place]))
        sentences = {self.windows[place].sentence for place in spoken}
        around = dict.fromkeys(
            item for window in self.windows if window.sentence in sentences for item in self._quantities(window)
        )
        ordered = sorted(around, key=lambda item: item.start)
        read = number_read(check, self.analysis.source, ordered, list(inside))
        if read is None:
            return self._number_apart(check, order[0]) if order else None
        value, start, end = read
        holders = [place for place in order if self.windows[place].start <= start and end <= self.windows[place].end]
        return (holders or order)[0], value

    def _number_apart(self, check: Check, best: int) -> tuple[int, float] | None:
        """Return a number that stands by itself next to the words that state the check ("hardly any play. 3 mm")."""
        at = self.windows[best].sentence
        for place, window in enumerate(self.windows):
            apart = window.first == window.last and abs(window.sentence - at) <= 1 and not window.marks & _SILENT
            if not apart or any(self.maker.names_a_thing(token) for token in window.tokens):
                continue
            others = [id != check.id for id in self.model.checks]
            if self.p_checks[place, others].max(initial=0.0) < _CLAIMED:
                inside = self._quantities(window)
                read = number_read(check, self.analysis.source, inside, [item for item in inside if item.unit])
                if read is not None:
                    return best, read[0]
        return None

    def _quantities(self, window: Window) -> list[Quantity]:
        return [item for item in self.analysis.quantities if window.start <= item.start < window.end]

    def _outcome(self, check: Check, p_here: NDArray[np.float64], near: Sequence[int]) -> tuple[str, float]:
        """Return the likeliest outcome and its share, the windows having a say by how likely they state the check."""
        shares = self.model.p_outcomes(check.id, [self.windows[place].bag for place in near])
        pooled = (p_here[near, None] * shares).sum(axis=0) / p_here[near].sum()
        top = int(np.argmax(pooled))
        return self.model.outcomes[check.id].names[top], float(pooled[top])

    def _made(self, check: Check, place: int, outcome: str, value: float | None, number: int, share: float) -> Sign:
        window = self.windows[place]
        hedged = any(item.marks & Mark.HEDGED for item in self.windows if item.sentence == window.sentence)
        features = self._features(place, number, share, value is not None)
        logit = _BIAS + math.fsum(weight * item for weight, item in zip(_WEIGHTS, features, strict=True))
        reading = StatedReading(
            check.id,
            outcome,
            value,
            window.start,
            window.end,
            self.analysis.source[window.start : window.end],
            hedged,
            1 / (1 + math.exp(-logit)),
        )
        return Sign(reading, features)

    def _features(self, place: int, number: int, share: float, is_number: bool) -> tuple[float, ...]:
        window = self.windows[place]
        p_best = float(self.p_checks[:, number].max())
        rivals = np.delete(self.p_checks[place], number)
        wider = [
            self.p_checks[other, number]
            for other, item in enumerate(self.windows)
            if item.sentence == window.sentence and item.first <= window.first and item.last >= window.last
        ]
        return (
            _logit(p_best),
            _logit(share),
            _logit(float(rivals.max())) if rivals.size else _logit(0.0),
            _logit(float(min(wider))),
            math.log(len(window.tokens)),
            float(is_number),
        )


def _logit(p: float) -> float:
    p = min(max(p, 0.01), 0.99)
    return math.log(p / (1 - p))
