"""The trained search: from an analysed text to a probability for every cause, and the words that earned it."""

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.sparse import csr_matrix

from kb.library.models import CauseId, Library
from kb.search.belonging import Belonging
from kb.search.calibration import PREVALENCE_WEIGHT, Calibration, Evidence
from kb.search.index import Index, Matches
from kb.search.learned import Weights
from kb.search.terms import TermMaker, Terms
from kb.search.vectors import Vectoriser
from kb.text.analysis import Analysis

__all__ = ["Ranker", "Ranking", "evidence_of", "log_prevalence"]


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
    """Everything that training makes, put together; immutable."""

    terms: TermMaker
    vectoriser: Vectoriser
    index: Index
    weights: Weights
    """The learnt models blended into one."""
    belonging: Belonging
    calibration: Calibration
    log_prevalence: NDArray[np.float64]

    def rank(self, analysis: Analysis) -> Ranking:
        """Return the probabilities of all causes for a text."""
        terms = self.terms.terms(analysis)
        row = self.vectoriser.row(terms)
        matches = self.index.match(row)
        evidence = evidence_of(analysis, row, matches, (self.weights,), self.belonging)
        return Ranking(self.calibration.probabilities(evidence, self.log_prevalence), terms, row, matches)

    def why(self, ranking: Ranking, cause: CauseId, count: int) -> tuple[str, ...]:
        """Return the words of the text that spoke most for a cause, strongest first."""
        gains = self.term_gains(ranking, self.index.causes.index(cause))
        quotes = self._quotes(ranking.terms)
        by_quote: dict[str, float] = defaultdict(float)
        for column, gain in zip(ranking.row.indices, gains, strict=True):
            if column in quotes:
                by_quote[quotes[column].lower()] += float(gain)
        chosen: list[str] = []
        for _, quote in sorted((-gain, quote) for quote, gain in by_quote.items() if gain > 0):
            if not any(quote in other or other in quote for other in chosen):
                chosen.append(" ".join(quote.split()))
            if len(chosen) == count:
                break
        return tuple(chosen)

    def term_gains(self, ranking: Ranking, cause: int) -> NDArray[np.float64]:
        """Return how much each term of the text's row adds to the log odds of a cause over the average cause."""
        row = ranking.row
        learned = self.weights.matrix[row.indices].astype(np.float64)
        gains = self.calibration.learned[0] * row.data * (learned[:, cause] - learned.mean(axis=1))
        texts = self.index.postings[:, row.indices].tocsr()
        for field, weight in self.index.field_weights.items():
            places = self.index.layout[field][cause]
            places = places[places < len(ranking.matches.texts)]
            if weight and len(places):
                best = places[np.argmax(ranking.matches.texts[places])]
                text = texts[int(best)].toarray().ravel()
                gains = gains + self.calibration.retrieved * weight * row.data * text
        return np.asarray(gains, dtype=np.float64)

    def _quotes(self, terms: Terms) -> dict[int, str]:
        """Return for each term of the text that a person could recognise: its column and the words it came from."""
        vocabularies = self.vectoriser.vocabularies
        return {
            vocabularies[channel].columns[term]: quote
            for (channel, term), quote in terms.quoted.items()
            if channel in vocabularies and term in vocabularies[channel].columns
        }


def evidence_of(
    analysis: Analysis, row: csr_matrix, matches: Matches, models: Sequence[Weights], belonging: Belonging
) -> Evidence:
    """Return what the calibration needs to know of a text."""
    learned = np.stack([model.logits(row) for model in models])
    return Evidence(learned, matches.causes, belonging.features(analysis, row, matches))


def log_prevalence(library: Library) -> NDArray[np.float64]:
    """Return the log of each article's share of all trouble, shape (n_causes,)."""
    weights = np.array([PREVALENCE_WEIGHT[article.prevalence] for article in library.articles.values()])
    return np.asarray(np.log(weights / weights.sum()), dtype=np.float64)
