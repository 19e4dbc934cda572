"""Makes any number of texts that resemble the labelled complaints: a chain in which each word follows the one before
it as often as in the complaints (a bigram model)."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from kb.text.words import split_words

_AT_ONCE = 50_000
_SPREAD = 0.3
"""Standard deviation of the logarithm of a text's length."""


@dataclass(frozen=True, slots=True)
class Chain:
    words: tuple[str, ...]
    """The empty word stands for the beginning and the end of a text."""
    first: NDArray[np.int64]
    """What follows word w is followers[first[w]] to followers[first[w + 1]], as often as it does."""
    followers: NDArray[np.int64]

    def texts(self, n: int, mean_words: float, seed: int) -> Iterator[list[str]]:
        """Yield n texts of log-normal length; where the chain ends too early it begins anew."""
        rng = np.random.default_rng(seed)
        words = np.array(self.words, dtype=object)
        for start in range(0, n, _AT_ONCE):
            count = min(_AT_ONCE, n - start)
            lengths = rng.lognormal(np.log(mean_words) - _SPREAD**2 / 2, _SPREAD, count).astype(int).clip(3, 200)
            numbers = self._walk(rng, count, int(lengths.max()))
            for row, length in zip(numbers, lengths, strict=True):
                yield words[row[:length]].tolist()

    def _walk(self, rng: np.random.Generator, n: int, length: int) -> NDArray[np.int32]:
        at = np.zeros(n, dtype=np.int64)
        walked = np.empty((n, length), dtype=np.int32)
        for step in range(length):
            at = self._next(rng, at)
            ended = at == 0
            at[ended] = self._next(rng, at[ended])
            walked[:, step] = at
        return walked

    def _next(self, rng: np.random.Generator, at: NDArray[np.int64]) -> NDArray[np.int64]:
        count = self.first[at + 1] - self.first[at]
        return self.followers[self.first[at] + (rng.random(len(at)) * count).astype(np.int64)]


def make_chain(texts: Iterable[str]) -> Chain:
    number = {"": 0}
    pairs: list[tuple[int, int]] = []
    for text in texts:
        before = 0
        for word in split_words(text):
            after = number.setdefault(word.text, len(number))
            pairs.append((before, after))
            before = after
        if before:
            pairs.append((before, 0))
    table = np.array(sorted(pairs), dtype=np.int64)
    counts = np.bincount(table[:, 0], minlength=len(number))
    return Chain(tuple(number), np.concatenate([[0], np.cumsum(counts)]), table[:, 1])
