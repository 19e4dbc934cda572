"""Learns to find stated readings from three kinds of text, none of which marks the words that state a reading.

  - statements (articles/statements) and `said` phrases: a whole text for one outcome of one check;
  - what a check asks, tells to do and is named: which check is spoken of, not what it showed;
  - labelled complaints of the training part: which readings stand somewhere in the text.

The complaints are taught by self-training: a first model, taught by the others, chooses the window of each complaint
that most likely states each labelled reading; windows that state none of them are examples of what states nothing.
"""

import random
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.sparse import csr_matrix

from kb.library.models import Check, CheckId, Complaint, ConceptKind, Library
from kb.text.analysis import Analyser
from kb.text.clauses import Mark
from kb.text.statement_features import FeatureMaker, Token, Window, number_key
from kb.text.statement_fit import fit_each
from kb.text.statement_model import OutcomeWeights, StatementModel, rows_of

__all__ = ["STATEMENT_SETTINGS", "StatementSettings", "train_statements"]


@dataclass(frozen=True, slots=True)
class StatementSettings:
    """Everything that is fixed before learning; found by trial on texts written apart."""

    penalty: float = 0.1
    """Of the squared weights of each check."""
    iterations: int = 25
    first_iterations: int = 20
    """Of the first model, which need only be near enough to choose windows by."""
    least_texts: int = 4
    """Features of fewer texts are left out."""
    silent_windows: int = 12_000
    """Windows of complaints without a reading that the first model is taught by."""
    left_to_context: float = 1.0
    """Weight of a statement with the names of things moved to the words before it."""
    bare_name: float = 0.5
    """Weight of names that state nothing when they stand alone."""
    measured: float = 1.0
    """Weight of a measured check's names and statements with a number added."""
    asked: float = 0.7
    """Weight of what a check asks and tells to do."""
    phrased: float = 0.7
    """Weight of the names of a check with each of its outcomes' phrases."""
    phrased_outcome: float = 0.8
    """Their weight for outcomes."""
    least_chosen: float = 0.08
    """Least probability at which a window is taken to state a complaint's label."""
    hard: float = 0.05
    """Windows from this probability of a reading that is not labelled on are all learnt from, of others one in ten."""
    unlabelled: float = 0.75
    """From this probability on a reading that is not labelled is taken for one that the labels forgot."""
    least_weight: float = 0.02
    """Weights nearer to 0 are dropped, so that the stored model is small."""
    outcome_strength: float = 10.0
    """scikit-learn's C of the outcomes."""
    seed: int = 1


STATEMENT_SETTINGS = StatementSettings()
_SILENT = Mark.ASKED | Mark.PLANNED | Mark.ELSEWHERE
_TIED = 0.85
"""Windows this near to the likeliest one state the label too."""


@dataclass(frozen=True, slots=True)
class _Example:
    """A bag of features and what it states."""

    bag: Mapping[str, float]
    states: tuple[int, ...] = ()
    """Numbers of checks."""
    unsaid: tuple[int, ...] = ()
    """Checks of which it is not known whether they are stated."""
    weight: float = 1.0
    outcomes: tuple[tuple[int, str], ...] = ()
    """Number of a check and its outcome, where words tell it."""
    outcome_weight: float = 1.0


def train_statements(
    library: Library,
    analyser: Analyser,
    complaints: Sequence[Complaint],
    settings: StatementSettings = STATEMENT_SETTINGS,
) -> StatementModel | None:
    """Return the learnt model, or None for a library without statements.

    complaints: those that may be learnt from.
    """
    if not any(check.statements for check in library.checks.values()):
        return None
    trainer = _Trainer(library, analyser, FeatureMaker(library.lexicon), tuple(library.checks), settings)
    written = [
        *trainer.from_statements(),
        *trainer.from_names(),
        *trainer.from_symptoms(),
        *trainer.from_questions(),
    ]
    heard = [(item, trainer.maker.windows(analyser.analyse(item.text))) for item in complaints]
    dice = random.Random(settings.seed)  # noqa: S311  no secret hangs on it
    silent = [window for item, windows in heard if not item.stated for window in windows]
    dice.shuffle(silent)
    plain = [_Example(window.bag) for window in silent[: settings.silent_windows]]
    first = trainer.learn([*written, *plain], settings.first_iterations)
    chosen = [example for item, windows in heard for example in trainer.choose(item, windows, first, dice)]
    examples = [*written, *chosen]
    return trainer.with_outcomes(trainer.learn(examples, settings.iterations), examples)


@dataclass(frozen=True, slots=True)
class _Trainer:
    """What every step shares."""

    library: Library
    analyser: Analyser
    maker: FeatureMaker
    checks: tuple[CheckId, ...]
    settings: StatementSettings

    def tokens(self, text: str) -> tuple[Token, ...]:
        """Return the tokens of a text."""
        return self.maker.all_tokens(self.analyser.analyse(text))

    def from_statements(self) -> Iterator[_Example]:
        """Yield statements and phrases; again with the things named before; the bare things; with a number."""
        use = self.settings
        for number, check in enumerate(self.library.checks.values()):
            for outcome, text in _texts_of(check):
                tokens = self.tokens(text)
                told = ((number, outcome),)
                yield _Example(self.maker.bag(tokens), (number,), outcomes=told)
                things = [token for token in tokens if self.maker.names_a_thing(token)]
                others = [token for token in tokens if not self.maker.names_a_thing(token)]
                if things and len(others) > 1:
                    bag = self.maker.bag(others, things)
                    yield _Example(bag, (number,), (), use.left_to_context, told, outcome_weight=0.5)
                if things:
                    yield _Example(self.maker.bag(things), weight=use.bare_name / 2)
                if check.is_measured and not any(token.key.startswith("#") for token in tokens):
                    yield _Example(self.maker.bag([*tokens, _number(check)]), (number,), weight=use.measured / 2)

    def from_names(self) -> Iterator[_Example]:
        """Yield names of checks: alone they state nothing, with a number or an outcome's phrase they do."""
        use = self.settings
        for number, check in enumerate(self.library.checks.values()):
            phrases = {"": check.what} if check.is_measured else check.phrases
            for name in check.named:
                tokens = self.tokens(name)
                if not tokens:
                    continue
                yield _Example(self.maker.bag(tokens), weight=use.bare_name)
                if check.is_measured:
                    figure = _number(check)
                    yield _Example(self.maker.bag([*tokens, figure]), (number,), weight=use.measured)
                    yield _Example(self.maker.bag([figure], tokens), (number,), weight=use.measured / 2)
                for outcome, phrase in phrases.items():
                    bag = self.maker.bag(self.tokens(f"{name} {phrase}"))
                    told = ((number, outcome),) if outcome else ()
                    yield _Example(bag, (number,), (), use.phrased, told, use.phrased_outcome)

    def from_symptoms(self) -> Iterator[_Example]:
        """Yield sounds and motions: that it rubs or slips, and no more, is a complaint and not yet a reading."""
        for concept in self.library.lexicon.values():
            if concept.kind in (ConceptKind.SOUND, ConceptKind.MOTION):
                for phrase in concept.phrases:
                    yield _Example(self.maker.bag(self.tokens(phrase)), weight=self.settings.bare_name)

    def from_questions(self) -> Iterator[_Example]:
        """Yield what a check asks and tells to do, the question also piece by piece."""
        for number, check in enumerate(self.library.checks.values()):
            for text in (check.ask, *check.how):
                tokens = self.tokens(text)
                if len(tokens) > 1:
                    yield _Example(self.maker.bag(tokens), (number,), weight=self.settings.asked)
            pieces = self.maker.windows(self.analyser.analyse(check.ask))
            for window in pieces:
                if window.first == window.last and len(window.tokens) > 1:
                    yield _Example(window.bag, (number,), weight=self.settings.asked)

    def learn(self, examples: Sequence[_Example], iterations: int) -> StatementModel:
        """Learn which checks windows state; the model has no outcomes yet."""
        columns, idf = _vocabulary([example.bag for example in examples], self.settings.least_texts)
        rows = rows_of([example.bag for example in examples], columns, idf)
        targets = np.zeros((len(examples), len(self.checks)), dtype=np.float32)
        weights = np.repeat(np.array([[example.weight] for example in examples], np.float32), len(self.checks), axis=1)
        for place, example in enumerate(examples):
            targets[place, list(example.states)] = 1
            weights[place, list(example.unsaid)] = 0
        matrix, bias = fit_each(rows, targets, weights, self.settings.penalty, iterations)
        matrix[np.abs(matrix) < self.settings.least_weight] = 0
        return StatementModel(columns, idf, self.checks, matrix.astype(np.float16), bias, {})

    def choose(
        self, complaint: Complaint, windows: Sequence[Window], model: StatementModel, dice: random.Random
    ) -> Iterator[_Example]:
        """Yield the windows that most likely state the labels of a complaint, and those that could be mistaken."""
        spoken = [window for window in windows if not window.marks & _SILENT]
        if not spoken:
            return
        use = self.settings
        p_states = model.p_checks([window.bag for window in spoken])
        labelled = [self.checks.index(id) for id in complaint.stated if id in self.library.checks]
        best = p_states[:, labelled].max(axis=0) if labelled else np.zeros(0)
        others = p_states.copy()
        others[:, labelled] = 0
        for window, own, rest in zip(spoken, p_states[:, labelled], others, strict=True):
            states = tuple(
                check
                for check, p_here, p_best in zip(labelled, own, best, strict=True)
                if p_best >= use.least_chosen and p_here >= _TIED * p_best
            )
            if states or rest.max() > use.hard or dice.random() < 0.1:
                unsaid = [check for check in labelled if check not in states]
                unsaid += [int(check) for check in np.flatnonzero(rest > use.unlabelled)]
                told = tuple(self._told(complaint, check) for check in states)
                outcomes = tuple(item for item in told if item is not None)
                yield _Example(window.bag, states, tuple(unsaid), 1.0, outcomes, outcome_weight=0.7)

    def _told(self, complaint: Complaint, number: int) -> tuple[int, str] | None:
        outcome = complaint.stated[self.checks[number]]
        return (number, outcome) if isinstance(outcome, str) else None

    def with_outcomes(self, model: StatementModel, examples: Sequence[_Example]) -> StatementModel:
        """Return the model with the outcomes learnt from examples that tell them in words."""
        gathered: list[list[tuple[Mapping[str, float], str, float]]] = [[] for _ in self.checks]
        for example in examples:
            for check, outcome in example.outcomes:
                gathered[check].append((example.bag, outcome, example.outcome_weight))
        outcomes = {}
        for id, told in zip(self.checks, gathered, strict=True):
            rows = rows_of([bag for bag, _, _ in told], model.columns, model.idf, scaled=True)
            names = [outcome for _, outcome, _ in told]
            outcomes[id] = _learn_outcomes(
                rows, names, [weight for _, _, weight in told], self.library.checks[id].outcomes, self.settings
            )
        return StatementModel(model.columns, model.idf, model.checks, model.matrix, model.bias, outcomes)


def _learn_outcomes(
    rows: csr_matrix, names: Sequence[str], weights: Sequence[float], all_names: Sequence[str], use: StatementSettings
) -> OutcomeWeights:
    """Learn the outcomes of one check; where all texts tell of one, it is taken for certain."""
    known = tuple(sorted(set(names))) or tuple(all_names[:1])
    used = np.unique(rows.indices).astype(np.int32)
    if len(known) < 2:
        return OutcomeWeights(known, used[:0], np.zeros((0, 1), np.float32), np.zeros(1, np.float32))
    from sklearn.linear_model import LogisticRegression  # noqa: PLC0415  only learning needs scikit-learn

    model = LogisticRegression(C=use.outcome_strength, max_iter=60, tol=1e-3)
    model.fit(rows[:, used], list(names), sample_weight=list(weights))
    matrix, bias = model.coef_, model.intercept_
    if len(known) == 2:  # scikit-learn keeps one row for two classes
        matrix, bias = np.vstack([np.zeros_like(matrix), matrix]), np.concatenate([np.zeros_like(bias), bias])
    rounded = matrix.T.astype(np.float16).astype(np.float32)  # as a file keeps it
    return OutcomeWeights(known, used, rounded, bias.astype(np.float32))


def _texts_of(check: Check) -> Iterator[tuple[str, str]]:
    for texts in (check.statements, check.said):
        for outcome, phrases in texts.items():
            for phrase in phrases:
                yield outcome, phrase


def _number(check: Check) -> Token:
    return Token(number_key(check.unit))


def _vocabulary(bags: Sequence[Mapping[str, float]], least: int) -> tuple[dict[str, int], NDArray[np.float32]]:
    """Return the features kept and their idf, ln((1+N)/(1+n)) + 1."""
    counts: dict[str, int] = {}
    for bag in bags:
        for feature in bag:
            counts[feature] = counts.get(feature, 0) + 1
    kept = sorted(feature for feature, count in counts.items() if count >= least)
    idf = np.log((1 + len(bags)) / (1 + np.array([counts[feature] for feature in kept], dtype=np.float64))) + 1
    return {feature: number for number, feature in enumerate(kept)}, idf.astype(np.float32)
