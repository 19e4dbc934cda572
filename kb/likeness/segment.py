"""One segment of the index: some texts' ids, terms and postings, made in one go and never changed.

Texts are numbered in the order of their ids, so that among equals in one segment the lower number is the lower id.
"""

from array import array
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray
from scipy.sparse import csc_matrix, csr_matrix, vstack

from kb.errors import BadInput
from kb.likeness.postings import BLOCK, Postings
from kb.likeness.reading import Said
from kb.likeness.strings import Strings, pack
from kb.likeness.weighting import posting_weights

__all__ = ["ARRAYS", "Arrays", "Segment", "make_segment", "merge_segments", "restore_segment"]

Arrays = Mapping[str, NDArray[np.generic]]
ARRAYS: Mapping[str, type[np.generic]] = {
    "ids": np.uint8, "id_starts": np.int64, "terms": np.uint8, "term_starts": np.int64,
    "starts": np.uint32, "places": np.uint16, "weights": np.uint8,
}  # fmt: skip
"""The arrays a segment consists of and what they hold."""
_MOST_POSTINGS = 1 << 32


@dataclass(frozen=True, slots=True)
class Segment:
    """Texts that were added together."""

    ids: Strings
    terms: Strings
    postings: Postings
    _numbers: dict[str, int] = field(init=False, repr=False, compare=False, default_factory=dict)

    def __post_init__(self) -> None:
        self._numbers.update((term, number) for number, term in enumerate(self.terms))

    @property
    def arrays(self) -> Arrays:
        """What is kept on disk."""
        postings = self.postings
        return {
            "ids": self.ids.packed, "id_starts": self.ids.starts,
            "terms": self.terms.packed, "term_starts": self.terms.starts,
            "starts": postings.starts, "places": postings.places, "weights": postings.weights,
        }  # fmt: skip

    def number_of(self, term: str) -> int | None:
        """Return the number of a term, or None where no text here has it."""
        return self._numbers.get(term)

    def n_holding(self, term: str) -> int:
        """Return how many texts here have a term."""
        number = self._numbers.get(term)
        return 0 if number is None else self.postings.n_holding(number)


def make_segment(texts: Iterable[tuple[str, Said]]) -> Segment:
    """Make a segment of texts with their ids, in any order.

    Raises: BadInput if an id stands twice, is empty or is not a proper string.
    """
    ids: list[str] = []
    vocabulary: dict[str, int] = {}
    columns, lengths = array("i"), array("i")
    for id, said in texts:
        _check_id(id)
        ids.append(id)
        columns.extend([vocabulary.setdefault(term, len(vocabulary)) for term in said.terms])
        lengths.append(len(said.terms))
    starts = np.concatenate([[0], np.cumsum(np.frombuffer(lengths, dtype=np.int32), dtype=np.int64)])
    counts = csr_matrix(
        (np.ones(len(columns), dtype=np.uint32), np.frombuffer(columns, dtype=np.int32), starts),
        shape=(len(ids), len(vocabulary)),
    )
    counts.sum_duplicates()
    length_of = np.repeat(np.frombuffer(lengths, dtype=np.int32), np.diff(counts.indptr))
    weights = csr_matrix((posting_weights(counts.data, length_of), counts.indices, counts.indptr), shape=counts.shape)
    return _assemble(ids, list(vocabulary), weights)


def merge_segments(segments: Sequence[Segment]) -> Segment:
    """Return one segment with all texts: the same to the byte as one made of them in one go.

    Raises: BadInput if an id stands in two of them.
    """
    ids = [id for segment in segments for id in segment.ids]
    terms = sorted({term for segment in segments for term in segment.terms})
    number = {term: place for place, term in enumerate(terms)}
    rows = []
    for segment in segments:
        part = _rows(segment)
        new = np.array([number[term] for term in segment.terms], dtype=np.int32)
        rows.append(csr_matrix((part.data, new[part.indices], part.indptr), shape=(part.shape[0], len(terms))))
    return _assemble(ids, terms, vstack(rows, format="csr"))


def restore_segment(arrays: Arrays) -> Segment:
    """Return the segment that `arrays` were taken from.

    Raises: ValueError if they can't be a segment's, so that no search ever reads beyond them.
    """
    for name, kind in ARRAYS.items():
        if arrays[name].dtype != kind or arrays[name].ndim != 1:
            raise ValueError(f"{name} is not a row of {np.dtype(kind)}")
    ids = Strings(arrays["ids"], arrays["id_starts"])  # type: ignore[arg-type]
    terms = Strings(arrays["terms"], arrays["term_starts"])  # type: ignore[arg-type]
    postings = Postings(len(ids), arrays["starts"], arrays["places"], arrays["weights"])  # type: ignore[arg-type]
    n_lists, n_postings = len(terms) * postings.n_blocks, len(postings.places)
    _check_starts("id_starts", ids.starts, len(ids), len(ids.packed))
    _check_starts("term_starts", terms.starts, len(terms), len(terms.packed))
    _check_starts("starts", postings.starts, n_lists, n_postings)
    if len(postings.weights) != n_postings:
        raise ValueError("places and weights differ in length")
    if n_lists and _in_last_block(postings).max(initial=-1) >= len(ids) - (postings.n_blocks - 1) * BLOCK:
        raise ValueError("places name a text that is not there")
    return Segment(ids, terms, postings)


def _check_id(id: str) -> None:
    try:
        fits = isinstance(id, str) and bool(id.encode())
    except UnicodeEncodeError:
        fits = False
    if not fits:
        raise BadInput("id", id, "a string that is not empty")


def _check_starts(name: str, starts: NDArray[np.generic], n_parts: int, size: int) -> None:
    whole = starts.astype(np.int64)
    if len(whole) != n_parts + 1 or whole[0] != 0 or whole[-1] != size or bool(np.any(np.diff(whole) < 0)):
        raise ValueError(f"{name} does not divide its array")


def _in_last_block(postings: Postings) -> NDArray[np.int64]:
    """Return the last place of each term in the last block, which alone may be short; places ascend."""
    ends = postings.starts[postings.n_blocks :: postings.n_blocks].astype(np.int64)
    begins = postings.starts[postings.n_blocks - 1 :: postings.n_blocks].astype(np.int64)
    places = postings.places if postings.n_blocks == 1 else postings.places[ends[ends > begins] - 1]
    return places.astype(np.int64)


def _assemble(ids: Sequence[str], terms: Sequence[str], weights: csr_matrix) -> Segment:
    """Return the segment of weights[text, term], numbering texts and terms anew in the order of ids and terms."""
    text_order = sorted(range(len(ids)), key=ids.__getitem__)
    for earlier, later in pairwise(text_order):
        if ids[earlier] == ids[later]:
            raise BadInput("id", ids[later], "an id that stands once")
    if weights.nnz >= _MOST_POSTINGS:
        raise BadInput("texts", len(ids), "fewer texts in one segment (more than 4,294,967,295 postings)")
    term_order = sorted(range(len(terms)), key=terms.__getitem__)
    new_number = np.empty(len(terms), dtype=np.int32)
    new_number[term_order] = np.arange(len(terms), dtype=np.int32)
    rows = weights[np.array(text_order, dtype=np.int64)]
    rows = csr_matrix((rows.data, new_number[rows.indices], rows.indptr), shape=rows.shape)
    n_blocks = -(-len(ids) // BLOCK)
    in_block = np.zeros((len(terms), n_blocks), dtype=np.int64)
    for block in range(n_blocks):
        start, end = rows.indptr[block * BLOCK], rows.indptr[min((block + 1) * BLOCK, len(ids))]
        in_block[:, block] = np.bincount(rows.indices[start:end], minlength=len(terms))
    starts = np.concatenate([[0], np.cumsum(in_block)]).astype(np.uint32)
    columns = rows.tocsc()  # counts its way through the rows, so that texts ascend within each term
    postings = Postings(len(ids), starts, (columns.indices & (BLOCK - 1)).astype(np.uint16), columns.data)
    return Segment(
        pack([ids[number] for number in text_order]), pack([terms[number] for number in term_order]), postings
    )


def _rows(segment: Segment) -> csr_matrix:
    """Return weights[text, term] row by row."""
    postings = segment.postings
    starts = postings.starts.astype(np.int64)
    lists = starts[1:] - starts[:-1]
    block = np.tile(np.arange(postings.n_blocks, dtype=np.int32) * BLOCK, len(segment.terms))
    texts = postings.places.astype(np.int32) + np.repeat(block, lists)
    ends = starts[:: postings.n_blocks]
    shape = (postings.n_texts, len(segment.terms))
    return csc_matrix((postings.weights, texts, ends), shape=shape).tocsr()
