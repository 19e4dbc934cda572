"""The trained search: from an analysed text to a probability for every cause, and the words that earned it."""

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.sparse import csr_matrix

from kb.library.models import CauseId, ConceptKind, Library
from kb.search.calibration import PREVALENCE_WEIGHT, Calibration, Evidence
from kb.search.index import Index
from kb.search.learned import Weights
from kb.search.retrieval import Matches, match
from kb.search.terms import Channel, TermMaker, Terms
from kb.text.analysis import Analysis
from kb.text.words import FUNCTION_WORDS, is_number, stem

__all__ = ["BELONGING", "Ranker", "Ranking", "evidence_of", "log_prevalence"]

BELONGING = ("best match", "lead of the best", "known words", "parts named", "concepts a word", "length", "one word")
"""The features of `Evidence.belongs`, in order."""
_FUNCTION_STEMS = frozenset(stem(word) for word in FUNCTION_WORDS)


@dataclass(frozen=True, slots=True)
class Ranking:
    """What search makes of one text."""

    probabilities: NDArray[np.float64]
    """P(cause | text), shape (n_causes + 1,); the last is "none of ours"."""
    terms: Terms
    row: csr_matrix
    matches: Matches


@dataclass(frozen=True, slots=True)
class Ranker:
    """Index, learnt weights and calibration together; immutable."""

    terms: TermMaker
    index: Index
    weights: Weights
    """The learnt models blended into one."""
    calibration: Calibration
    log_prevalence: NDArray[np.float64]
    part_concepts: frozenset[str]
    """Ids of the concepts that are parts of a bicycle."""

    def rank(self, analysis: Analysis) -> Ranking:
        """Return the probabilities of all causes for a text."""
        terms = self.terms.terms(analysis)
        row = self.index.query(terms)
        matches = match(self.index, row)
        evidence = evidence_of(analysis, terms, row, matches, self.index, (self.weights,), self.part_concepts)
        return Ranking(self.calibration.probabilities(evidence, self.log_prevalence), terms, row, matches)

    def why(self, ranking: Ranking, cause: CauseId, count: int) -> tuple[str, ...]:
        """Return the words of the text that spoke most for a cause, strongest first."""
        number = self.index.causes.index(cause)
        gains = self._term_gains(ranking, number)
        quotes = self._quotes(ranking.terms)
        by_quote: dict[str, float] = defaultdict(float)
        for column, gain in zip(ranking.row.indices, gains, strict=True):
            if column in quotes:
                by_quote[quotes[column].lower()] += float(gain)
        ordered = sorted((-gain, quote) for quote, gain in by_quote.items() if gain > 0)
        chosen: list[str] = []
        for _, quote in ordered:
            if not any(quote in other or other in quote for other in chosen):
                chosen.append(" ".join(quote.split()))
            if len(chosen) == count:
                break
        return tuple(chosen)

    def _quotes(self, terms: Terms) -> dict[int, str]:
        """Return for each term of the text that a person could recognise: its column and the words it came from."""
        return {
            self.index.vocabularies[channel].columns[term]: quote
            for (channel, term), quote in terms.quoted.items()
            if channel in self.index.vocabularies and term in self.index.vocabularies[channel].columns
        }

    def _term_gains(self, ranking: Ranking, cause: int) -> NDArray[np.float64]:
        """Return how much each term of the text adds to the cause's log odds over the average cause."""
        row = ranking.row
        learned = self.weights.matrix[row.indices].astype(np.float64)
        gains = self.calibration.learned[0] * row.data * (learned[:, cause] - learned.mean(axis=1))
        for field, weight in self.index.settings.field_weights.items():
            places = self.index.layout[field][cause]
            places = places[places < len(ranking.matches.texts)]
            if weight and len(places):
                best = places[np.argmax(ranking.matches.texts[places])]
                text = self.index.rows[int(best)].toarray().ravel()[row.indices]
                gains = gains + self.calibration.retrieved * weight * row.data * text
        return np.asarray(gains, dtype=np.float64)


def evidence_of(
    analysis: Analysis,
    terms: Terms,
    row: csr_matrix,
    matches: Matches,
    index: Index,
    models: Sequence[Weights],
    part_concepts: frozenset[str],
) -> Evidence:
    """Return what the calibration needs to know of a text."""
    words = [word for word in analysis.words if word.stem not in _FUNCTION_STEMS and not is_number(word.text)]
    columns: Mapping[str, int] = (
        index.vocabularies[Channel.WORDS].columns if Channel.WORDS in index.vocabularies else {}
    )
    known = sum(word.stem in columns for word in words) / len(words) if words else 0.0
    parts = len({found.concept for found in analysis.concepts if found.concept in part_concepts})
    covered = sum(found.last - found.first + 1 for found in analysis.concepts) / max(len(words), 1)
    ordered = np.sort(matches.causes)[::-1]
    lead = float(ordered[0] - ordered[min(5, len(ordered) - 1)])
    belongs = np.array(
        [float(ordered[0]), lead, known, min(parts, 4), min(covered, 1.0), np.log1p(len(words)), float(len(words) <= 1)]
    )
    return Evidence(np.stack([model.logits(row) for model in models]), matches.causes, belongs)


def log_prevalence(library: Library) -> NDArray[np.float64]:
    """Return the log of each article's share of all trouble, shape (n_causes,)."""
    weights = np.array([PREVALENCE_WEIGHT[article.prevalence] for article in library.articles.values()])
    return np.asarray(np.log(weights / weights.sum()), dtype=np.float64)


def part_concepts(library: Library) -> frozenset[str]:
    """Return the ids of concepts that are parts."""
    return frozenset(id for id, concept in library.lexicon.items() if concept.kind is ConceptKind.PART)
