"""Which articles are taken for each other, and by which words."""

from collections import Counter, defaultdict
from collections.abc import Sequence
from dataclasses import dataclass

from kb.library.models import CauseId
from kb.search.judging import Judged

__all__ = ["Swap", "swapped_pairs"]

_MOST_SWAPS = 25
_WORDS_A_SWAP = 6


@dataclass(frozen=True, slots=True)
class Swap:
    """Two articles taken for each other."""

    pair: tuple[CauseId, CauseId]
    first_for_second: int
    """How often the first was put first where the second was right."""
    second_for_first: int
    words: tuple[str, ...]
    """Words that did it, most frequent first."""

    @property
    def count(self) -> int:
        """How often either was taken for the other."""
        return self.first_for_second + self.second_for_first


def swapped_pairs(judged: Sequence[Judged], most: int = _MOST_SWAPS) -> tuple[Swap, ...]:
    """Return the pairs of articles most often taken for each other, most frequent first, then by id."""
    taken: Counter[tuple[CauseId, CauseId]] = Counter()
    words: defaultdict[tuple[CauseId, CauseId], Counter[str]] = defaultdict(Counter)
    for item in judged:
        if item.gold is not None and item.placing is not None and not item.placing.success_at_1:
            taken[item.top, item.gold] += 1
            words[_pair(item.top, item.gold)].update(item.words)
    swaps = [
        Swap(pair, taken[pair], taken[pair[1], pair[0]], _frequent(words[pair]))
        for pair in {_pair(*key) for key in taken}
    ]
    return tuple(sorted(swaps, key=lambda swap: (-swap.count, swap.pair))[:most])


def _pair(one: CauseId, other: CauseId) -> tuple[CauseId, CauseId]:
    return (one, other) if one <= other else (other, one)


def _frequent(words: Counter[str]) -> tuple[str, ...]:
    return tuple(word for word, _ in sorted(words.items(), key=lambda item: (-item[1], item[0]))[:_WORDS_A_SWAP])
