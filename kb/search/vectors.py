"""Texts as rows of TF-IDF weights: four channels of terms beside each other, each of unit length times its weight.

Weights are learnt once by scikit-learn (`TfidfTransformer`: tf 1 + ln tf, idf ln((1+N)/(1+df)) + 1, unit length per
channel) and stored; the row of a new text is then made by hand from the vocabulary, which gives the same numbers at
a fraction of the time. The product of two rows is the sum over channels of channel weight times cosine.
"""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.sparse import csr_matrix, hstack

from kb.search.terms import Channel, Terms

__all__ = ["VectorSettings", "Vectoriser", "Vocabulary", "learn_vectors"]


@dataclass(frozen=True, slots=True)
class VectorSettings:
    """What is fixed before learning; DEVELOPERS.md says how the values were found."""

    channel_weights: Mapping[Channel, float]
    least_documents: Mapping[Channel, int]
    """Terms that stand in fewer texts are left out."""


@dataclass(frozen=True, slots=True)
class Vocabulary:
    """The terms of one channel with their columns and weights."""

    columns: Mapping[str, int]
    idf: NDArray[np.float64]
    """idf[column - first]."""
    first: int
    """Column of the channel's first term in the whole row."""
    weight: float
    """Square root of the channel's weight, so that a product of two rows carries the weight once."""


@dataclass(frozen=True, slots=True)
class Vectoriser:
    """What was learnt."""

    vocabularies: Mapping[Channel, Vocabulary]

    @property
    def width(self) -> int:
        """Number of terms in all channels."""
        return sum(len(vocabulary.columns) for vocabulary in self.vocabularies.values())

    def row(self, terms: Terms) -> csr_matrix:
        """Return the row of a text, shape (1, width); terms that were not learnt are left out."""
        columns: list[int] = []
        values: list[float] = []
        for channel, vocabulary in self.vocabularies.items():
            known = [
                (vocabulary.columns[term], damped(count))
                for term, count in terms.channels[channel].items()
                if term in vocabulary.columns
            ]
            weights = [value * float(vocabulary.idf[column - vocabulary.first]) for column, value in known]
            length = math.sqrt(math.fsum(weight * weight for weight in weights))
            if length > 0:
                columns += (column for column, _ in known)
                values += (vocabulary.weight * weight / length for weight in weights)
        order = np.argsort(np.array(columns, dtype=np.int64), kind="stable")
        data = np.array(values, dtype=np.float64)[order]
        indices = np.array(columns, dtype=np.int32)[order]
        return csr_matrix((data, indices, np.array([0, len(data)], dtype=np.int32)), shape=(1, self.width))


def learn_vectors(texts: Sequence[Terms], settings: VectorSettings) -> tuple[Vectoriser, csr_matrix]:
    """Learn vocabularies and weights from texts; return them with the rows of those texts, shape (n_texts, width)."""
    vocabularies: dict[Channel, Vocabulary] = {}
    blocks = []
    first = 0
    for channel in Channel:
        block, vocabulary = _learn_channel([item.channels[channel] for item in texts], channel, first, settings)
        if vocabulary is not None:
            vocabularies[channel] = vocabulary
            blocks.append(block)
            first += len(vocabulary.columns)
    rows = hstack(blocks, format="csr") if blocks else csr_matrix((len(texts), 0))
    return Vectoriser(vocabularies), rows


def damped(count: float) -> float:
    """Return 1 + ln count, and the count itself where it is under 1 (a wider concept)."""
    return 1.0 + math.log(count) if count >= 1 else count


def _learn_channel(
    bags: Sequence[Mapping[str, float]], channel: Channel, first: int, settings: VectorSettings
) -> tuple[csr_matrix, Vocabulary | None]:
    # Imported here: only learning needs scikit-learn, and it would double the time to a first answer.
    from sklearn.feature_extraction.text import TfidfTransformer  # noqa: PLC0415

    weight = math.sqrt(settings.channel_weights.get(channel, 0.0))
    seen: dict[str, int] = {}
    for bag in bags:
        for term in bag:
            seen[term] = seen.get(term, 0) + 1
    kept = sorted(term for term, count in seen.items() if count >= settings.least_documents.get(channel, 1))
    if not kept or weight == 0:
        return csr_matrix((len(bags), 0)), None
    columns = {term: place for place, term in enumerate(kept)}
    transformer = TfidfTransformer(norm="l2", use_idf=True, smooth_idf=True, sublinear_tf=False)
    rows = transformer.fit_transform(_count_matrix(bags, columns))
    shifted = {term: place + first for term, place in columns.items()}
    return csr_matrix(rows * weight), Vocabulary(shifted, transformer.idf_, first, weight)


def _count_matrix(bags: Sequence[Mapping[str, float]], columns: Mapping[str, int]) -> csr_matrix:
    """Return damped counts; scikit-learn's own sublinear_tf would take the logarithm of counts under 1."""
    data: list[float] = []
    indices: list[int] = []
    starts = [0]
    for bag in bags:
        for term, count in bag.items():
            if term in columns:
                indices.append(columns[term])
                data.append(damped(count))
        starts.append(len(indices))
    matrix = csr_matrix((data, indices, starts), shape=(len(bags), len(columns)), dtype=np.float64)
    matrix.sort_indices()
    return matrix
