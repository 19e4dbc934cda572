"""What tells a complaint that an article of ours may answer from any other text.

Ranking alone can't: something always comes first. The features here say how much of the text the articles know, how
much of it is about parts of a bicycle, how bicycle-like its words are against ordinary English, and what a linear
model learnt from texts that no article answers. `calibration` makes a probability of them.
"""

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.sparse import csr_matrix

from kb.library.models import ConceptKind, Library
from kb.search.index import Matches
from kb.text.analysis import Analysis
from kb.text.words import FUNCTION_WORDS, is_number, stem

__all__ = ["FEATURES", "Belonging", "article_stems", "lead", "learn_alien", "learn_likeness", "part_concepts"]

FEATURES = (
    "best match", "lead of the best", "words of the articles", "parts named", "concepts a word", "length", "one word",
    "alien", "bicycle-like on average", "words unlike bicycles",
)  # fmt: skip
"""What each number returned by `Belonging.features` says, in order."""
_FUNCTION_STEMS = frozenset(stem(word) for word in FUNCTION_WORDS)
_MOST_PARTS = 4
_CLIP = 4.0
_UNHEARD = -2.5
"""Likeness of a word that no complaint and no article has."""
_UNLIKE = -1.0
_SIXTH = 5
_ALIEN_INVERSE_PENALTY = 5.0


@dataclass(frozen=True, slots=True)
class Belonging:
    """What was learnt about the words of our texts and of others."""

    part_concepts: frozenset[str]
    """Ids of the concepts that are parts of a bicycle."""
    article_stems: frozenset[str]
    """Stems that stand in an article."""
    likeness: Mapping[str, float]
    """Stem -> log of how much oftener it stands in our texts than in ordinary English, between -4 and 4."""
    alien: NDArray[np.float32]
    """Weight of each term for "no article answers this", then the constant; shape (n_terms + 1,)."""

    def features(self, analysis: Analysis, row: csr_matrix, matches: Matches) -> NDArray[np.float64]:
        """Return the numbers named in FEATURES for one text."""
        words = [word for word in analysis.words if word.stem not in _FUNCTION_STEMS and not is_number(word.text)]
        n_words = max(len(words), 1)
        parts = len({found.concept for found in analysis.concepts if found.concept in self.part_concepts})
        covered = sum(found.last - found.first + 1 for found in analysis.concepts) / n_words
        likeness = [self.likeness.get(word.stem, _UNHEARD) for word in words] or [_UNHEARD]
        return np.array(
            [
                float(matches.causes.max(initial=0.0)),
                lead(matches.causes),
                sum(word.stem in self.article_stems for word in words) / n_words,
                min(parts, _MOST_PARTS),
                min(covered, 1.0),
                float(np.log1p(len(words))),
                float(len(words) <= 1),
                float(row.data @ self.alien[row.indices] + self.alien[-1]),
                float(np.mean(likeness)),
                sum(value < _UNLIKE for value in likeness) / n_words,
            ]
        )


def learn_alien(rows: csr_matrix, is_ours: Sequence[bool]) -> NDArray[np.float32]:
    """Learn the weights of terms for "no article answers this" from rows of texts; zeros where all texts are alike."""
    from sklearn.linear_model import LogisticRegression  # noqa: PLC0415  only learning needs scikit-learn

    if len(set(is_ours)) < 2:
        return np.zeros(rows.shape[1] + 1, dtype=np.float32)
    model = LogisticRegression(C=_ALIEN_INVERSE_PENALTY, max_iter=200, class_weight="balanced")
    model.fit(rows, np.logical_not(np.asarray(is_ours)))
    return np.concatenate([model.coef_[0], model.intercept_]).astype(np.float32)


def learn_likeness(ours: Iterable[Analysis], english: Mapping[str, int]) -> dict[str, float]:
    """Return for every stem of our texts how bicycle-like it is; `english` counts ordinary words by stem."""
    counts = Counter(word.stem for analysis in ours for word in analysis.words if not is_number(word.text))
    total, total_english = sum(counts.values()) or 1, sum(english.values()) or 1
    return {
        stem_: float(np.clip(np.log((count / total) / ((english.get(stem_, 0) + 1) / total_english)), -_CLIP, _CLIP))
        for stem_, count in counts.items()
    }


def part_concepts(library: Library) -> frozenset[str]:
    """Return the ids of concepts that are parts."""
    return frozenset(id for id, concept in library.lexicon.items() if concept.kind is ConceptKind.PART)


def article_stems(articles: Iterable[Analysis]) -> frozenset[str]:
    """Return the stems of the articles' texts without function words."""
    stems = {word.stem for analysis in articles for word in analysis.words if not is_number(word.text)}
    return frozenset(stems - _FUNCTION_STEMS)


def lead(scores: NDArray[np.float64]) -> float:
    """Return how far the best score is ahead of the sixth best."""
    ordered = np.sort(scores)[::-1]
    return float(ordered[0] - ordered[min(_SIXTH, len(ordered) - 1)])
