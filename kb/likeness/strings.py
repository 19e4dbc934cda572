"""Many strings in two arrays, sorted: what ids and terms are kept as, on disk and in memory."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

__all__ = ["Strings", "pack"]


@dataclass(frozen=True, slots=True)
class Strings:
    """Strings in the order of their code points, each once."""

    packed: NDArray[np.uint8]
    """All strings in UTF-8, one after the other."""
    starts: NDArray[np.int64]
    """starts[number] to starts[number + 1] is the place of a string; shape (n_strings + 1,)."""

    def __len__(self) -> int:
        return len(self.starts) - 1

    def __getitem__(self, number: int) -> str:
        return self._raw(number).decode()

    def __iter__(self) -> Iterator[str]:
        whole, starts = self.packed.tobytes(), self.starts.tolist()
        for number in range(len(self)):
            yield whole[starts[number] : starts[number + 1]].decode()

    def __contains__(self, text: str) -> bool:
        """Tell whether `text` is one of them, by bisection (UTF-8 sorts as code points do)."""
        wanted = text.encode()
        low, high = 0, len(self)
        while low < high:
            middle = (low + high) // 2
            if self._raw(middle) < wanted:
                low = middle + 1
            else:
                high = middle
        return low < len(self) and self._raw(low) == wanted

    def _raw(self, number: int) -> bytes:
        return self.packed[self.starts[number] : self.starts[number + 1]].tobytes()


def pack(texts: Sequence[str]) -> Strings:
    """Return sorted strings as arrays.

    >>> names = pack(["chain", "tyre"])
    >>> len(names), names[1], "tyre" in names, "rim" in names
    (2, 'tyre', True, False)
    """
    raw = [text.encode() for text in texts]
    starts = np.zeros(len(raw) + 1, dtype=np.int64)
    np.cumsum([len(item) for item in raw], out=starts[1:])
    return Strings(np.frombuffer(b"".join(raw), dtype=np.uint8), starts)
