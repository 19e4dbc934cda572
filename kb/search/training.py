"""Trains the search on a library: index, learnt weights, and a calibration fitted on texts that the scores had not
seen.

The labelled complaints are divided once and for all: a quarter, chosen by a digest of each text, is the test part
and is never looked at here. Of the rest, cross-validation leaves out a fold at a time, so that the calibration sees
scores as they are for new texts; the final index and weights then use all of it.
"""

import hashlib
from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np

from kb.library.models import CauseId, Complaint, Library
from kb.search.calibration import Calibration, Evidence, fit_calibration
from kb.search.fields import Field, FieldText, field_texts
from kb.search.index import Index, IndexSettings, build_index
from kb.search.learned import LearningSettings, Weights, learn_weights
from kb.search.ranker import Ranker, evidence_of, log_prevalence, part_concepts
from kb.search.retrieval import match
from kb.search.terms import Channel, TermMaker, Terms
from kb.text.analysis import Analyser, Analysis

__all__ = ["SETTINGS", "SearchSettings", "is_test", "test_part", "train", "training_part"]

_TEST_SHARE = 4


@dataclass(frozen=True, slots=True)
class SearchSettings:
    """Everything that is fixed before training."""

    index: IndexSettings
    learning: LearningSettings
    expansion_weight: float
    folds: int
    start: Calibration
    """Used as it stands where there are no labelled complaints to fit one."""


SETTINGS = SearchSettings(
    index=IndexSettings(
        channel_weights={Channel.WORDS: 1.0, Channel.PAIRS: 0.4, Channel.CONCEPTS: 0.8, Channel.LETTERS: 0.2},
        field_weights={
            Field.SYMPTOM: 1.0,
            Field.TITLE: 0.3,
            Field.PARTS: 0.2,
            Field.CHECKS: 0.3,
            Field.BODY: 0.3,
            Field.COMPLAINT: 1.0,
        },
        least_documents={Channel.WORDS: 1, Channel.PAIRS: 2, Channel.CONCEPTS: 1, Channel.LETTERS: 3},
    ),
    learning=LearningSettings(inverse_penalty=5.0, most_iterations=60),
    expansion_weight=0.4,
    folds=4,
    start=Calibration(0.0, 8.0, 0.3, (6.0, 4.0, 3.0, 0.3, 1.0, 0.0, -2.0, -5.0)),
)


@dataclass(frozen=True, slots=True)
class _Prepared:
    """A text with its analysis and terms, made once and used in every fold."""

    analysis: Analysis
    terms: Terms


def is_test(complaint: Complaint) -> bool:
    """Tell whether a labelled complaint belongs to the test part: a quarter, by a digest of its text."""
    return hashlib.sha256(complaint.text.strip().encode()).digest()[0] % _TEST_SHARE == 0


def training_part(library: Library) -> tuple[Complaint, ...]:
    """Return the labelled complaints that settings may be fitted to."""
    return tuple(complaint for complaint in library.complaints if not is_test(complaint))


def test_part(library: Library) -> tuple[Complaint, ...]:
    """Return the labelled complaints that nothing is ever fitted to."""
    return tuple(complaint for complaint in library.complaints if is_test(complaint))


def train(
    library: Library,
    analyser: Analyser,
    settings: SearchSettings = SETTINGS,
    progress: Callable[[str], None] | None = None,
) -> Ranker:
    """Train on the articles and the training part of the labelled complaints."""
    tell = progress or (lambda _: None)
    causes = tuple(library.articles)
    maker = TermMaker(library.lexicon, settings.expansion_weight)
    complaints = training_part(library)
    base = tuple(field_texts(library, ()))
    tell(f"reading {len(base)} texts of {len(causes)} articles and {len(complaints)} complaints")
    prepared_base = [_prepare(text.text, analyser, maker) for text in base]
    prepared = [_prepare(complaint.text, analyser, maker) for complaint in complaints]
    trainer = _Trainer(library, causes, settings, base, prepared_base, complaints, prepared)
    calibration = trainer.calibrate(tell) if complaints else settings.start
    tell("learning from all of it")
    index, weights = trainer.learn(range(len(complaints)))
    return Ranker(maker, index, weights, calibration, log_prevalence(library), part_concepts(library))


def _prepare(text: str, analyser: Analyser, maker: TermMaker) -> _Prepared:
    analysis = analyser.analyse(text)
    return _Prepared(analysis, maker.terms(analysis))


@dataclass(frozen=True, slots=True)
class _Trainer:
    """What every fold shares."""

    library: Library
    causes: tuple[CauseId, ...]
    settings: SearchSettings
    base: tuple[FieldText, ...]
    prepared_base: Sequence[_Prepared]
    complaints: tuple[Complaint, ...]
    prepared: Sequence[_Prepared]

    def learn(self, kept: Sequence[int]) -> tuple[Index, Weights]:
        """Learn index and weights from the articles and the complaints with the given numbers."""
        labelled = [number for number in kept if self.complaints[number].gold is not None]
        extra = [FieldText(self._gold(number), Field.COMPLAINT, self.complaints[number].text) for number in labelled]
        texts = [*self.base, *extra]
        terms = [item.terms for item in (*self.prepared_base, *(self.prepared[number] for number in labelled))]
        index = build_index(texts, terms, self.causes, self.settings.index)
        used = [
            row
            for row, text in enumerate(texts)
            if text.field in (Field.SYMPTOM, Field.TITLE, Field.COMPLAINT, Field.CHECKS)
        ]
        labels = [int(index.text_cause[row]) for row in used]
        if len(set(labels)) < 2:  # nothing to tell apart
            zeros = np.zeros((index.width, len(self.causes)), dtype=np.float32)
            return index, Weights(zeros, np.zeros(len(self.causes), dtype=np.float32))
        return index, learn_weights(index.rows[used], labels, len(self.causes), self.settings.learning)

    def calibrate(self, tell: Callable[[str], None]) -> Calibration:
        """Fit the calibration on scores of complaints by an index and weights that had not seen them."""
        evidence: list[Evidence | None] = [None] * len(self.complaints)
        parts = part_concepts(self.library)
        for fold in range(self.settings.folds):
            tell(f"cross-validation, fold {fold + 1} of {self.settings.folds}")
            left_out = [number for number in range(len(self.complaints)) if number % self.settings.folds == fold]
            index, weights = self.learn(
                [number for number in range(len(self.complaints)) if number % self.settings.folds != fold]
            )
            for number in left_out:
                item = self.prepared[number]
                row = index.query(item.terms)
                evidence[number] = evidence_of(item.analysis, item.terms, row, match(index, row), index, weights, parts)
        number_of = {cause: number for number, cause in enumerate(self.causes)}
        golds = [
            frozenset(number_of[id] for id in (complaint.gold, *complaint.also)) if complaint.gold else frozenset[int]()
            for complaint in self.complaints
        ]
        found = [item for item in evidence if item is not None]
        return fit_calibration(found, golds, log_prevalence(self.library), self.settings.start)

    def _gold(self, number: int) -> CauseId:
        gold = self.complaints[number].gold
        if gold is None:
            raise ValueError(f"complaint {number} has no article")
        return gold
