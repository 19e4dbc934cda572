"""Trains the search on a library: index, learnt weights, and a calibration fitted on texts that the scores had not
seen.

Labelled complaints in files named test-… are the test part and are never looked at here. The rest came in rounds, each
written by other people (a1.yaml, a2.yaml … are one round): one writer avoids repeating themself, so that a complaint is
less like its neighbours than a new rider's would be. Cross-validation therefore leaves out a round at a time, and the
calibration sees scores as they are for riders nobody has heard before; the final index and weights then use all of it.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from kb.library.models import CauseId, Complaint, Library
from kb.search.calibration import Calibration, Evidence, fit_calibration
from kb.search.fields import Field, FieldText, field_texts
from kb.search.index import Index, IndexSettings, build_index
from kb.search.learned import LearningSettings, Weights, blend, learn_boundaries, learn_frequencies
from kb.search.ranker import Ranker, evidence_of, log_prevalence, part_concepts
from kb.search.retrieval import match
from kb.search.terms import Channel, TermMaker, Terms
from kb.text.analysis import Analyser, Analysis

__all__ = ["SETTINGS", "SearchSettings", "test_part", "train", "training_part"]


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
        channel_weights={Channel.WORDS: 1.0, Channel.PAIRS: 0.8, Channel.CONCEPTS: 0.8, Channel.LETTERS: 0.5},
        field_weights={
            Field.SYMPTOM: 1.0,
            Field.TITLE: 0.3,
            Field.PARTS: 0.2,
            Field.CHECKS: 0.3,
            Field.BODY: 0.3,
            Field.COMPLAINT: 1.0,
        },
        least_documents={Channel.WORDS: 1, Channel.PAIRS: 2, Channel.CONCEPTS: 1, Channel.LETTERS: 4},
    ),
    learning=LearningSettings(inverse_penalty=15.0, most_iterations=60, smoothing=0.02),
    expansion_weight=0.4,
    folds=4,
    start=Calibration((1.0, 1.0), 4.0, 0.3, (6.0, 4.0, 3.0, 0.3, 1.0, 0.0, -2.0, -5.0)),
)


_LEARNT_FROM = frozenset({Field.SYMPTOM, Field.TITLE, Field.CHECKS, Field.COMPLAINT})


@dataclass(frozen=True, slots=True)
class _Prepared:
    """A text with its analysis and terms, made once and used in every fold."""

    analysis: Analysis
    terms: Terms


def training_part(library: Library) -> tuple[Complaint, ...]:
    """Return the labelled complaints that settings may be fitted to."""
    return tuple(complaint for complaint in library.complaints if not complaint.is_test)


def test_part(library: Library) -> tuple[Complaint, ...]:
    """Return the labelled complaints that nothing is ever fitted to."""
    return tuple(complaint for complaint in library.complaints if complaint.is_test)


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
    index, models = trainer.learn(range(len(complaints)))
    weights = blend(tuple(zip(calibration.learned, models, strict=True)))
    calibration = replace(calibration, learned=(1.0,))
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

    def learn(self, kept: Sequence[int]) -> tuple[Index, tuple[Weights, ...]]:
        """Learn index and linear models from the articles and the complaints with the given numbers."""
        labelled = [number for number in kept if self.complaints[number].gold is not None]
        extra = [FieldText(self._gold(number), Field.COMPLAINT, self.complaints[number].text) for number in labelled]
        texts = [*self.base, *extra]
        terms = [item.terms for item in (*self.prepared_base, *(self.prepared[number] for number in labelled))]
        index = build_index(texts, terms, self.causes, self.settings.index)
        used = [row for row, text in enumerate(texts) if text.field in _LEARNT_FROM]
        labels = [int(index.text_cause[row]) for row in used]
        rows, settings = index.rows[used], self.settings.learning
        return index, (
            learn_boundaries(rows, labels, len(self.causes), settings),
            learn_frequencies(rows, labels, len(self.causes), settings),
        )

    def calibrate(self, tell: Callable[[str], None]) -> Calibration:
        """Fit the calibration on scores of complaints by an index and weights that had not seen them."""
        evidence: list[Evidence | None] = [None] * len(self.complaints)
        parts = part_concepts(self.library)
        for name, left_out in self._rounds():
            tell(f"cross-validation, leaving out {name}")
            outside = frozenset(left_out)
            index, models = self.learn([number for number in range(len(self.complaints)) if number not in outside])
            for number in left_out:
                item = self.prepared[number]
                row = index.query(item.terms)
                evidence[number] = evidence_of(item.analysis, item.terms, row, match(index, row), index, models, parts)
        number_of = {cause: number for number, cause in enumerate(self.causes)}
        golds = [
            frozenset(number_of[id] for id in (complaint.gold, *complaint.also)) if complaint.gold else frozenset[int]()
            for complaint in self.complaints
        ]
        found = [item for item in evidence if item is not None]
        return fit_calibration(found, golds, log_prevalence(self.library), self.settings.start)

    def _rounds(self) -> list[tuple[str, list[int]]]:
        """Return the parts to leave out: rounds of complaints that have an answer, the others dealt out evenly.

        Where there are fewer than two rounds, complaints are dealt out to `folds` parts.
        """
        origins = [complaint.origin.rstrip("0123456789") for complaint in self.complaints]
        labelled = sorted({name for name, item in zip(origins, self.complaints, strict=True) if item.gold is not None})
        names = labelled if len(labelled) > 1 else [f"part {number + 1}" for number in range(self.settings.folds)]
        parts: dict[str, list[int]] = {name: [] for name in names}
        for number, (origin, complaint) in enumerate(zip(origins, self.complaints, strict=True)):
            own = origin if complaint.gold is not None and origin in parts else names[number % len(names)]
            parts[own].append(number)
        return [(name, numbers) for name, numbers in parts.items() if numbers]

    def _gold(self, number: int) -> CauseId:
        gold = self.complaints[number].gold
        if gold is None:
            raise ValueError(f"complaint {number} has no article")
        return gold
