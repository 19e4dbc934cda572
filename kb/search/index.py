"""The TF-IDF index: channels of terms over short field texts, and how well a text matches each article.

Weights are learnt once by scikit-learn (`TfidfTransformer`: tf 1 + ln tf, idf ln((1+N)/(1+df)) + 1, unit length per
channel) and stored; a query's row is then made by hand from the vocabulary, which gives the same numbers at a
fraction of the time. The match of a text with a field text is the sum over channels of channel weight times cosine.
An article's score is the sum over fields of field weight times the best match (symptoms and complaints: best match
and mean of the best three).
"""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.sparse import csr_matrix, hstack

from kb.library.models import CauseId
from kb.search.fields import Field, FieldText
from kb.search.terms import Channel, Terms

__all__ = ["Index", "IndexSettings", "Vocabulary", "build_index", "make_layout"]


@dataclass(frozen=True, slots=True)
class IndexSettings:
    """What is fixed before learning; see DEVELOPERS.md for how the values were found."""

    channel_weights: Mapping[Channel, float]
    field_weights: Mapping[Field, float]
    least_documents: Mapping[Channel, int]
    """Terms that stand in fewer field texts are left out."""


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
class Index:
    """What was learnt: vocabularies, and the weight of every term in every field text."""

    causes: tuple[CauseId, ...]
    vocabularies: Mapping[Channel, Vocabulary]
    rows: csr_matrix
    """rows[text, term], float64."""
    text_cause: NDArray[np.int64]
    """Number of the article each row belongs to."""
    text_field: tuple[Field, ...]
    settings: IndexSettings
    layout: Mapping[Field, NDArray[np.int64]]
    """layout[field][cause, place] is the number of a text, or the number of texts where the cause has fewer."""

    @property
    def width(self) -> int:
        """Number of terms."""
        return int(self.rows.shape[1])

    def query(self, terms: Terms) -> csr_matrix:
        """Return the row of a text, shape (1, width); terms the index doesn't know are left out."""
        columns: list[int] = []
        values: list[float] = []
        for channel, vocabulary in self.vocabularies.items():
            known = [
                (vocabulary.columns[term], _damped(count))
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


def build_index(
    texts: Sequence[FieldText], terms: Sequence[Terms], causes: Sequence[CauseId], settings: IndexSettings
) -> Index:
    """Learn an index over field texts and their terms (same order)."""
    number = {cause: place for place, cause in enumerate(causes)}
    text_cause = np.array([number[text.cause] for text in texts], dtype=np.int64)
    text_field = tuple(text.field for text in texts)
    vocabularies: dict[Channel, Vocabulary] = {}
    blocks = []
    first = 0
    for channel in Channel:
        block, vocabulary = _learn_channel([item.channels[channel] for item in terms], channel, first, settings)
        if vocabulary is not None:
            vocabularies[channel] = vocabulary
            blocks.append(block)
            first += len(vocabulary.columns)
    rows = hstack(blocks, format="csr") if blocks else csr_matrix((len(texts), 0))
    return Index(
        causes=tuple(causes),
        vocabularies=vocabularies,
        rows=rows,
        text_cause=text_cause,
        text_field=text_field,
        settings=settings,
        layout=make_layout(text_cause, text_field, len(causes)),
    )


def _learn_channel(
    bags: Sequence[Mapping[str, float]], channel: Channel, first: int, settings: IndexSettings
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
    counts = _count_matrix(bags, columns)
    transformer = TfidfTransformer(norm="l2", use_idf=True, smooth_idf=True, sublinear_tf=False)
    rows = transformer.fit_transform(counts)
    shifted = {term: place + first for term, place in columns.items()}
    return csr_matrix(rows * weight), Vocabulary(shifted, transformer.idf_, first, weight)


def _count_matrix(bags: Sequence[Mapping[str, float]], columns: Mapping[str, int]) -> csr_matrix:
    data: list[float] = []
    indices: list[int] = []
    starts = [0]
    for bag in bags:
        for term, count in bag.items():
            if term in columns:
                indices.append(columns[term])
                data.append(_damped(count))
        starts.append(len(indices))
    matrix = csr_matrix((data, indices, starts), shape=(len(bags), len(columns)), dtype=np.float64)
    matrix.sort_indices()
    return matrix


def _damped(count: float) -> float:
    """Return 1 + ln count, and the count itself where it is under 1 (a wider concept)."""
    return 1.0 + math.log(count) if count >= 1 else count


def make_layout(
    text_cause: NDArray[np.int64], fields: tuple[Field, ...], n_causes: int
) -> Mapping[Field, NDArray[np.int64]]:
    """Return for each field a table [cause, place] of text numbers, filled up with the number after the last text."""
    tables: dict[Field, NDArray[np.int64]] = {}
    for field in Field:
        lists: list[list[int]] = [[] for _ in range(n_causes)]
        for number, (cause, of) in enumerate(zip(text_cause, fields, strict=True)):
            if of is field:
                lists[int(cause)].append(number)
        longest = max(map(len, lists), default=0)
        tables[field] = np.array(
            [numbers + [len(fields)] * (longest - len(numbers)) for numbers in lists], dtype=np.int64
        ).reshape(n_causes, longest)
    return tables
