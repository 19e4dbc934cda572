"""Term-major postings in blocks of texts, and the best texts of a query among them.

A block holds 65,536 texts: a posting then is two bytes of place and one of weight, and the scores of a block fit in
the processor's cache, so that no vector as long as the collection is kept, cleared or scanned. `compiled` does the
same work faster; both give the same texts and scores, since all sums are of whole numbers.
"""

from bisect import bisect_left
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

__all__ = ["BLOCK", "SCANNED", "Best", "Postings", "Scorer", "best_texts", "scorer_for"]

BLOCK = 1 << 16
_WORTH_COMPILING = 20_000
"""From so many texts on a search saves more than the compiler's import (about a second, once a process) costs."""
SCANNED = 8
"""A block is scanned where one in so many of its texts may be touched, else only the touched are looked at."""


@dataclass(frozen=True, slots=True)
class Postings:
    """Which texts have a term, and its weight in each."""

    n_texts: int
    starts: NDArray[np.uint32]
    """The postings of a term in a block are starts[term * n_blocks + block] to the next."""
    places: NDArray[np.uint16]
    """places[posting]: number of the text within its block; ascending within a term and block."""
    weights: NDArray[np.uint8]

    @property
    def n_blocks(self) -> int:
        """Number of blocks, the last of them not full."""
        return -(-self.n_texts // BLOCK)

    def n_holding(self, term: int) -> int:
        """Return how many texts have the term."""
        return int(self.starts[(term + 1) * self.n_blocks]) - int(self.starts[term * self.n_blocks])

    def span(self, term: int, block: int) -> tuple[int, int]:
        """Return where the postings of a term in a block begin and end."""
        at = term * self.n_blocks + block
        return int(self.starts[at]), int(self.starts[at + 1])

    def weight(self, term: int, text: int) -> int:
        """Return the weight of a term in a text, 0 where the text doesn't have it."""
        block, place = divmod(text, BLOCK)
        places = self.places.data  # a memory view: its items are Python's own numbers, four times as quick to get at
        start, end = self.span(term, block)
        at = bisect_left(places, place, start, end)
        return int(self.weights[at]) if at < end and places[at] == place else 0


@dataclass(frozen=True, slots=True)
class Best:
    """The best texts, best first; equals in the order of their numbers."""

    texts: NDArray[np.int64]
    scores: NDArray[np.int32]
    weights: NDArray[np.uint8]
    """weights[text, term]: of each of the best texts for each term asked for, 0 where it doesn't have the term."""


Scorer = Callable[[Postings, NDArray[np.int64], NDArray[np.int32], int], Best]
"""Takes postings, numbers of terms, their factors (same order) and how many texts are wanted at most."""


def best_texts(postings: Postings, terms: NDArray[np.int64], factors: NDArray[np.int32], k: int) -> Best:
    """Return the at most `k` best of the texts that have any of the terms.

    A text's score is the sum of factor times weight.
    """
    texts, found = np.empty(0, dtype=np.int64), np.empty(0, dtype=np.int32)
    scores = np.zeros(min(BLOCK, postings.n_texts), dtype=np.int32)
    for block in range(postings.n_blocks):
        spans = [slice(*postings.span(int(term), block)) for term in terms]
        for span, factor in zip(spans, factors, strict=True):
            # A text stands once in a list, so that plain indexing adds every posting.
            scores[postings.places[span]] += factor * postings.weights[span].astype(np.int32)
        floor = int(found[-1]) if len(found) == k else 0
        touched = sum(span.stop - span.start for span in spans)
        if touched * SCANNED > len(scores):
            places = np.flatnonzero(scores > max(floor, _bound(postings, spans, scores, k) - 1))
            new = scores[places]
            scores[:] = 0
        else:
            places = np.unique(np.concatenate([postings.places[span] for span in spans])).astype(np.int64)
            new = scores[places]
            scores[places] = 0
        texts, found = np.concatenate([texts, places + block * BLOCK]), np.concatenate([found, new])
        order = np.lexsort((texts, -found))[:k]
        texts, found = texts[order], found[order]
    weights = [[postings.weight(term, text) for term in terms.tolist()] for text in texts.tolist()]
    return Best(texts, found, np.array(weights, dtype=np.uint8).reshape(len(texts), len(terms)))


def _bound(postings: Postings, spans: list[slice], scores: NDArray[np.int32], k: int) -> int:
    """Return a score that at least `k` texts of the block reach: the k-th best among those with the rarest term."""
    long_enough = [span for span in spans if span.stop - span.start >= k]
    if not long_enough:
        return 1
    rarest = min(long_enough, key=lambda span: span.stop - span.start)
    held = scores[postings.places[rarest]]
    return int(np.partition(held, len(held) - k)[len(held) - k])


def scorer_for(n_texts: int) -> Scorer:
    """Return the quickest scorer at hand for a collection of `n_texts`; the compiled one needs numba installed."""
    if n_texts < _WORTH_COMPILING:
        return best_texts
    try:
        from kb.likeness.compiled import best_texts_compiled  # noqa: PLC0415  importing numba takes over a second
    except ImportError:
        return best_texts
    return best_texts_compiled
