"""Trains the search on a library: index, learnt weights, and a calibration fitted on texts that the scores had not
seen.

Labelled complaints in files named test-… are the test part and are never looked at here. The rest came in rounds, each
written by other people (a1.yaml, a2.yaml … are one round): one writer avoids repeating themself, so that a complaint is
less like its neighbours than a new rider's would be. Cross-validation therefore leaves out a round at a time, and the
calibration sees scores as they are for riders nobody has heard before; the final index and weights then use all of it.
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace

from scipy.sparse import csr_matrix, vstack

from kb.library.models import CauseId, Complaint, Library
from kb.search.belonging import Belonging, article_stems, learn_alien, learn_likeness, part_concepts
from kb.search.calibration import Calibration, Evidence, fit_calibration
from kb.search.fields import Field, FieldText, field_texts
from kb.search.index import Index, build_index
from kb.search.learned import LearningSettings, Weights, blend, learn_boundaries, learn_frequencies
from kb.search.ranker import Ranker, evidence_of, log_prevalence
from kb.search.terms import Channel, TermMaker, Terms
from kb.search.vectors import Vectoriser, VectorSettings, learn_vectors
from kb.text.analysis import Analyser, Analysis

__all__ = ["SETTINGS", "SearchSettings", "test_part", "train", "training_part"]


@dataclass(frozen=True, slots=True)
class SearchSettings:
    """Everything that is fixed before training."""

    vectors: VectorSettings
    field_weights: Mapping[Field, float]
    learning: LearningSettings
    expansion_weight: float
    folds: int
    """Parts of cross-validation where the labelled complaints are all of one round."""
    start: Calibration
    """Used as it stands where there are no labelled complaints to fit one."""


SETTINGS = SearchSettings(
    vectors=VectorSettings(
        channel_weights={Channel.WORDS: 1.0, Channel.PAIRS: 0.8, Channel.CONCEPTS: 0.8, Channel.LETTERS: 0.5},
        least_documents={Channel.WORDS: 1, Channel.PAIRS: 2, Channel.CONCEPTS: 1, Channel.LETTERS: 6},
    ),
    field_weights={Field.SYMPTOM: 1.0, Field.TITLE: 0.3, Field.PARTS: 0.2, Field.CHECKS: 0.3, Field.BODY: 0.3},
    learning=LearningSettings(inverse_penalty=15.0, most_iterations=60, smoothing=0.02),
    expansion_weight=0.4,
    folds=3,
    start=Calibration((1.0, 1.0), 4.0, 0.3, (4.0, 2.0, 3.0, 0.3, 1.0, 0.0, -2.0, 0.0, 0.5, -2.0, 0.1, -3.0)),
)
_LEARNT_FROM = frozenset({Field.SYMPTOM, Field.TITLE, Field.CHECKS})


@dataclass(frozen=True, slots=True)
class _Prepared:
    """A text with its analysis and terms, made once and used in every fold."""

    analysis: Analysis
    terms: Terms


@dataclass(frozen=True, slots=True)
class _Learned:
    """What one fold learns."""

    vectoriser: Vectoriser
    index: Index
    models: tuple[Weights, ...]
    belonging: Belonging


def training_part(library: Library) -> tuple[Complaint, ...]:
    """Return the labelled complaints that settings may be fitted to."""
    return tuple(complaint for complaint in library.complaints if not complaint.is_test)


def test_part(library: Library) -> tuple[Complaint, ...]:
    """Return the labelled complaints that nothing is ever fitted to."""
    return tuple(complaint for complaint in library.complaints if complaint.is_test)


def train(
    library: Library,
    analyser: Analyser,
    english: Mapping[str, int],
    settings: SearchSettings = SETTINGS,
    progress: Callable[[str], None] | None = None,
) -> Ranker:
    """Train on the articles and the training part of the labelled complaints.

    english: how often ordinary words stand in English, by stem.
    """
    tell = progress or (lambda _: None)
    maker = TermMaker(library.lexicon, settings.expansion_weight)
    complaints = training_part(library)
    base = tuple(field_texts(library))
    tell(f"reading {len(base)} texts of {len(library.articles)} articles and {len(complaints)} complaints")
    trainer = _Trainer(
        library=library,
        causes=tuple(library.articles),
        settings=settings,
        english=english,
        base=base,
        prepared_base=[_prepare(text.text, analyser, maker) for text in base],
        complaints=complaints,
        prepared=[_prepare(complaint.text, analyser, maker) for complaint in complaints],
    )
    calibration = trainer.calibrate(tell) if complaints else settings.start
    tell("learning from all of it")
    found = trainer.learn(range(len(complaints)))
    weights = blend(tuple(zip(calibration.learned, found.models, strict=True)))
    return Ranker(
        terms=maker,
        vectoriser=found.vectoriser,
        index=found.index,
        weights=weights,
        belonging=found.belonging,
        calibration=replace(calibration, learned=(1.0,)),
        log_prevalence=log_prevalence(library),
    )


def _prepare(text: str, analyser: Analyser, maker: TermMaker) -> _Prepared:
    analysis = analyser.analyse(text)
    return _Prepared(analysis, maker.terms(analysis))


@dataclass(frozen=True, slots=True)
class _Trainer:
    """What every fold shares."""

    library: Library
    causes: tuple[CauseId, ...]
    settings: SearchSettings
    english: Mapping[str, int]
    base: tuple[FieldText, ...]
    prepared_base: Sequence[_Prepared]
    complaints: tuple[Complaint, ...]
    prepared: Sequence[_Prepared]

    def learn(self, kept: Sequence[int]) -> _Learned:
        """Learn from the articles and the complaints with the given numbers."""
        answered = [number for number in kept if self.complaints[number].gold is not None]
        strange = [number for number in kept if self.complaints[number].gold is None]
        texts = [*self.prepared_base, *(self.prepared[number] for number in (*answered, *strange))]
        vectoriser, rows = learn_vectors([item.terms for item in texts], self.settings.vectors)
        n_base = len(self.base)
        index = build_index(self.base, rows[:n_base], self.causes, self.settings.field_weights)
        learnt, labels = self._labelled_rows(rows, answered)
        models = (
            learn_boundaries(learnt, labels, len(self.causes), self.settings.learning),
            learn_frequencies(learnt, labels, len(self.causes), self.settings.learning),
        )
        others = rows[n_base + len(answered) :]
        ours = [item.analysis for item in texts[: n_base + len(answered)]]
        belonging = Belonging(
            part_concepts=part_concepts(self.library),
            article_stems=article_stems(item.analysis for item in self.prepared_base),
            likeness=learn_likeness(ours, self.english),
            alien=learn_alien(vstack([learnt, others]).tocsr(), [True] * learnt.shape[0] + [False] * others.shape[0]),
        )
        return _Learned(vectoriser, index, models, belonging)

    def calibrate(self, tell: Callable[[str], None]) -> Calibration:
        """Fit the calibration on scores of complaints by models that had not seen them."""
        evidence: dict[int, Evidence] = {}
        for name, left_out in self._rounds():
            tell(f"cross-validation, leaving out {name}")
            outside = frozenset(left_out)
            found = self.learn([number for number in range(len(self.complaints)) if number not in outside])
            for number in left_out:
                item = self.prepared[number]
                row = found.vectoriser.row(item.terms)
                matches = found.index.match(row)
                evidence[number] = evidence_of(item.analysis, row, matches, found.models, found.belonging)
        in_order = [evidence[number] for number in range(len(self.complaints))]
        return fit_calibration(in_order, self._golds(), log_prevalence(self.library), self.settings.start)

    def _golds(self) -> list[frozenset[int]]:
        """Return for each complaint the numbers of the causes that answer it."""
        number_of = {cause: number for number, cause in enumerate(self.causes)}
        return [
            frozenset(number_of[id] for id in (complaint.gold, *complaint.also)) if complaint.gold else frozenset()
            for complaint in self.complaints
        ]

    def _labelled_rows(self, rows: csr_matrix, answered: Sequence[int]) -> tuple[csr_matrix, list[int]]:
        """Return the rows that say what a cause sounds like, and the number of each one's cause."""
        number_of = {cause: number for number, cause in enumerate(self.causes)}
        used = [place for place, text in enumerate(self.base) if text.field in _LEARNT_FROM]
        labels = [number_of[self.base[place].cause] for place in used]
        labels += [number_of[self._gold(number)] for number in answered]
        first = len(self.base)
        return vstack([rows[used], rows[first : first + len(answered)]]).tocsr(), labels

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
