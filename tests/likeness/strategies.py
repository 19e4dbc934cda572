"""Hypothesis strategies for collections of short texts over few words, so that terms are shared and scores tie."""

from collections.abc import Sequence
from itertools import pairwise

from hypothesis import strategies as st

from kb.likeness import Said

WORDS = ("chain", "brake", "creak", "wheel", "loose", "new")
terms = st.lists(st.sampled_from(WORDS), max_size=8)
ids = st.text("abcé7", min_size=1, max_size=4)


def collections(max_size: int = 25) -> st.SearchStrategy[list[tuple[str, str]]]:
    """Return texts with ids, no id twice."""
    return st.lists(st.tuples(ids, terms.map(" ".join)), max_size=max_size, unique_by=lambda item: item[0])


def by_spaces(text: str) -> Said:
    """Read a text as its words between spaces."""
    return Said(tuple(text.split()))


def parts_of(texts: Sequence[tuple[str, str]], cuts: Sequence[int]) -> list[Sequence[tuple[str, str]]]:
    """Cut a collection at the given places."""
    edges = [0, *sorted(min(cut, len(texts)) for cut in cuts), len(texts)]
    return [texts[start:end] for start, end in pairwise(edges)]
