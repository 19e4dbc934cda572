"""Scores of articles by retrieval: how well a query's row matches the field texts of each."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.sparse import csr_matrix

from kb.search.fields import Field
from kb.search.index import Index

__all__ = ["Matches", "match"]


@dataclass(frozen=True, slots=True)
class Matches:
    """What a query's row matched."""

    texts: NDArray[np.float64]
    """Match with each field text, shape (n_texts,)."""
    causes: NDArray[np.float64]
    """Score of each article, shape (n_causes,)."""


def match(index: Index, row: csr_matrix) -> Matches:
    """Score every field text and every article against a query's row; an empty row scores 0 throughout."""
    texts = np.asarray((index.rows @ row.T).toarray(), dtype=np.float64).ravel()
    causes = np.zeros(len(index.causes))
    for field, weight in index.settings.field_weights.items():
        if weight:
            causes += weight * _best_per_cause(index, field, texts)
    return Matches(texts, causes)


def _best_per_cause(index: Index, field: Field, texts: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return for each article its best match in one field, and for lists of texts half of that and half the best
    three's mean.
    """
    layout = index.layout[field]
    padded = np.concatenate([texts, [0.0]])[layout]  # layout[cause, place] is a text or, as filling, the extra zero
    if padded.shape[1] <= 1:
        return np.asarray(padded.max(axis=1, initial=0.0), dtype=np.float64)
    best = -np.sort(-padded, axis=1)[:, :3]
    return np.asarray(0.5 * best[:, 0] + 0.5 * best.mean(axis=1), dtype=np.float64)
