import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from kb.likeness import Said
from kb.likeness.postings import BLOCK
from kb.likeness.segment import Segment, make_segment, merge_segments, restore_segment
from tests.likeness.strategies import by_spaces, collections, parts_of


def made_of(texts: list[tuple[str, str]]) -> Segment:
    return make_segment((id, by_spaces(text)) for id, text in texts)


def same(one: Segment, other: Segment) -> bool:
    return all(np.array_equal(array, other.arrays[name]) for name, array in one.arrays.items())


@given(collections(), st.lists(st.integers(0, 25), min_size=1, max_size=3))
def test_merging_gives_the_bytes_of_making_all_at_once(texts: list[tuple[str, str]], cuts: list[int]) -> None:
    parts = [made_of(part) for part in parts_of(texts, cuts) if part]
    if parts:
        assert same(merge_segments(parts), made_of(texts))


def test_segments_of_several_blocks_merge_to_the_bytes_of_making_all_at_once() -> None:
    rng = np.random.default_rng(5)
    texts = [(f"{n:06d}", Said(tuple(map(str, rng.integers(0, 40, 3))))) for n in range(BLOCK + 1_000)]
    order = rng.permutation(len(texts))
    parts = [make_segment(texts[number] for number in part) for part in np.array_split(order, 3)]
    assert same(merge_segments(parts), make_segment(texts))


@given(collections())
def test_what_was_taken_apart_is_restored(texts: list[tuple[str, str]]) -> None:
    segment = made_of(texts)
    assert same(restore_segment(segment.arrays), segment)


@pytest.mark.parametrize(
    ("name", "value"),
    [
        ("places", np.array([0, 9], dtype=np.uint16)),
        ("places", np.array([0, 1], dtype=np.int64)),
        ("weights", np.array([1], dtype=np.uint8)),
        ("starts", np.array([0, 3, 2], dtype=np.uint32)),
        ("starts", np.array([0, 2, 1], dtype=np.uint32)),
        ("id_starts", np.array([0, 1], dtype=np.int64)),
        ("weights", np.array([[1, 2]], dtype=np.uint8)),
    ],
)
def test_arrays_that_would_lead_a_search_astray_are_refused(name: str, value: np.ndarray) -> None:
    arrays = dict(made_of([("a", "chain"), ("b", "brake")]).arrays)
    restore_segment(arrays)
    with pytest.raises(ValueError, match=name):
        restore_segment({**arrays, name: value})


def test_a_term_knows_how_many_texts_have_it() -> None:
    segment = made_of([("a", "chain chain"), ("b", "chain brake"), ("c", "")])
    assert [segment.n_holding(term) for term in ("chain", "brake", "saddle")] == [2, 1, 0]
