import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from kb.likeness.strings import Strings, pack

texts = st.text(st.characters(exclude_categories=["Cs"]), max_size=6)


@given(st.sets(texts))
def test_packed_strings_are_read_back(strings: set[str]) -> None:
    packed = pack(sorted(strings))
    assert list(packed) == [packed[number] for number in range(len(packed))] == sorted(strings)


@given(st.sets(texts), texts)
def test_bisection_finds_just_those_that_are_there(strings: set[str], other: str) -> None:
    packed = pack(sorted(strings))
    assert all(text in packed for text in strings)
    assert (other in packed) == (other in strings)


def test_no_strings_are_a_table_too() -> None:
    empty = Strings(np.empty(0, dtype=np.uint8), np.zeros(1, dtype=np.int64))
    assert list(empty) == []
    assert "" not in empty
