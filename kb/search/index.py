"""The index over articles' fields: term-major postings of their TF-IDF rows, and how well a query matches each article.

An article's score is the sum over fields of field weight times its best match in that field (symptoms: half the best
match, half the mean of the best three).
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.sparse import csc_matrix, csr_matrix

from kb.library.models import CauseId
from kb.search.fields import Field, FieldText

__all__ = ["Index", "Matches", "build_index"]

_BEST = 3


@dataclass(frozen=True, slots=True)
class Matches:
    """What a query's row matched."""

    texts: NDArray[np.float64]
    """Match with each field text, shape (n_texts,)."""
    causes: NDArray[np.float64]
    """Score of each article, shape (n_causes,)."""


@dataclass(frozen=True, slots=True)
class Index:
    """Field texts of all articles, ready to be matched."""

    causes: tuple[CauseId, ...]
    postings: csc_matrix
    """postings[text, term]: TF-IDF weights, stored term by term, so that a query touches only its own terms."""
    text_cause: NDArray[np.int64]
    """Number of the article each text belongs to."""
    text_field: tuple[Field, ...]
    field_weights: Mapping[Field, float]
    layout: Mapping[Field, NDArray[np.int64]]
    """layout[field][cause, place] is the number of a text, or the number of texts where the cause has fewer."""

    def match(self, row: csr_matrix) -> Matches:
        """Score every field text and every article against a query's row; an empty row scores 0 throughout."""
        texts = self._match_texts(row)
        causes = np.zeros(len(self.causes))
        for field, weight in self.field_weights.items():
            if weight:
                causes += weight * _best_per_cause(self.layout[field], texts)
        return Matches(texts, causes)

    def _match_texts(self, row: csr_matrix) -> NDArray[np.float64]:
        """Return the product of all texts with the row, summing the postings of the row's terms."""
        starts, ends = self.postings.indptr[row.indices], self.postings.indptr[row.indices + 1]
        lengths = ends - starts
        if not lengths.sum():
            return np.zeros(len(self.text_cause))
        # The places of all postings touched: a run from start to end for each term, one after the other.
        places = np.arange(lengths.sum()) + np.repeat(starts - np.concatenate([[0], np.cumsum(lengths)[:-1]]), lengths)
        weights = self.postings.data[places] * np.repeat(row.data, lengths)
        sums = np.bincount(self.postings.indices[places], weights=weights, minlength=len(self.text_cause))
        return sums.astype(np.float64)


def build_index(
    texts: Sequence[FieldText], rows: csr_matrix, causes: Sequence[CauseId], field_weights: Mapping[Field, float]
) -> Index:
    """Return an index over field texts and their rows (same order)."""
    number = {cause: place for place, cause in enumerate(causes)}
    text_cause = np.array([number[text.cause] for text in texts], dtype=np.int64)
    text_field = tuple(text.field for text in texts)
    return restore_index(causes, csc_matrix(rows), text_cause, text_field, field_weights)


def restore_index(
    causes: Sequence[CauseId],
    postings: csc_matrix,
    text_cause: NDArray[np.int64],
    text_field: tuple[Field, ...],
    field_weights: Mapping[Field, float],
) -> Index:
    """Return an index from its stored parts."""
    layout = _layout(text_cause, text_field, len(causes))
    return Index(tuple(causes), postings, text_cause, text_field, field_weights, layout)


def _layout(text_cause: NDArray[np.int64], fields: tuple[Field, ...], n_causes: int) -> dict[Field, NDArray[np.int64]]:
    tables: dict[Field, NDArray[np.int64]] = {}
    for field in Field:
        lists: list[list[int]] = [[] for _ in range(n_causes)]
        for number, (cause, of) in enumerate(zip(text_cause, fields, strict=True)):
            if of is field:
                lists[int(cause)].append(number)
        longest = max(map(len, lists), default=0)
        filled = [numbers + [len(fields)] * (longest - len(numbers)) for numbers in lists]
        tables[field] = np.array(filled, dtype=np.int64).reshape(n_causes, longest)
    return tables


def _best_per_cause(layout: NDArray[np.int64], texts: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return for each article its best match in one field; of a list half of that, half the mean of three."""
    padded = np.concatenate([texts, [0.0]])[layout]  # the number after the last text stands for "none" and scores 0
    if padded.shape[1] <= 1:
        return np.asarray(padded.max(axis=1, initial=0.0), dtype=np.float64)
    best = -np.sort(-padded, axis=1)[:, :_BEST]
    return np.asarray(0.5 * best[:, 0] + 0.5 * best.mean(axis=1), dtype=np.float64)
