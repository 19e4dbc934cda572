import importlib.util
import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from kb.likeness import Said
from kb.likeness.postings import BLOCK, Best, Postings, Scorer, best_texts, scorer_for
from kb.likeness.segment import Segment, make_segment

needs_numba = pytest.mark.skipif(importlib.util.find_spec("numba") is None, reason="numba is not installed")


def compiled() -> Scorer:
    from kb.likeness.compiled import best_texts_compiled

    return best_texts_compiled


def postings_of(table: np.ndarray) -> Postings:
    """Return the postings of weights[text, term]."""
    n_texts, n_terms = table.shape
    starts, places, weights = [0], [], []
    for term in range(n_terms):
        for first in range(0, n_texts, BLOCK):
            held = np.flatnonzero(table[first : first + BLOCK, term])
            places.append(held)
            weights.append(table[first + held, term])
            starts.append(starts[-1] + len(held))
    arrays = (
        np.array(starts, dtype=np.uint32),
        np.concatenate(places).astype(np.uint16),
        np.concatenate(weights).astype(np.uint8),
    )
    for array in arrays:
        array.flags.writeable = False
    return Postings(n_texts, *arrays)


def sorted_all(table: np.ndarray, terms: np.ndarray, factors: np.ndarray, k: int) -> list[tuple[int, int]]:
    scores = table[:, terms].astype(np.int64) @ factors.astype(np.int64)
    order = np.lexsort((np.arange(len(scores)), -scores))[:k]
    return [(int(text), int(scores[text])) for text in order if scores[text] > 0]


def pairs(best: Best) -> list[tuple[int, int]]:
    return list(zip(best.texts.tolist(), best.scores.tolist(), strict=True))


def a_table(seed: int, n_texts: int, shares: list[float]) -> np.ndarray:
    """Return weights[text, term]: each term stands in the given share of texts, with few different weights."""
    rng = np.random.default_rng(seed)
    held = rng.random((n_texts, len(shares))) < np.array(shares)
    return held * rng.choice([1, 100, 116, 255], size=held.shape)


SCORERS = [pytest.param(lambda: best_texts, id="plain"), pytest.param(compiled, id="compiled", marks=needs_numba)]


@pytest.mark.parametrize("scorer", SCORERS)
@given(
    seed=st.integers(0, 2**32 - 1),
    n_texts=st.integers(1, 300),
    shares=st.lists(st.sampled_from([0.0, 0.01, 0.1, 0.6, 1.0]), min_size=1, max_size=5),
    k=st.sampled_from([1, 2, 10, 400]),
    step=st.sampled_from([0, 3]),
)
def test_the_best_are_those_of_sorting_all(
    scorer, seed: int, n_texts: int, shares: list[float], k: int, step: int
) -> None:
    table = a_table(seed, n_texts, shares)
    terms, factors = np.arange(len(shares)), np.array([1 + step * n for n in range(len(shares))], dtype=np.int32)
    best = scorer()(postings_of(table), terms, factors, k)
    assert pairs(best) == sorted_all(table, terms, factors, k)
    assert np.array_equal(best.weights, table[best.texts][:, terms])


@pytest.mark.parametrize("scorer", SCORERS)
@pytest.mark.parametrize("n_texts", [16, 300])  # few enough to be scanned, and so many that only the touched are
def test_of_equals_the_lower_number_wins_though_it_is_met_later(scorer, n_texts: int) -> None:
    table = np.zeros((n_texts, 2), dtype=np.int64)
    table[9, 0] = table[5, 1] = 1
    terms, factors = np.arange(2), np.ones(2, dtype=np.int32)
    assert pairs(scorer()(postings_of(table), terms, factors, 1)) == [(5, 1)]
    assert pairs(scorer()(postings_of(table), terms, factors, 2)) == [(5, 1), (9, 1)]


@pytest.mark.parametrize("scorer", SCORERS)
@pytest.mark.parametrize("shares", [[0.5, 0.2], [0.00005, 0.00002], [0.3, 0.00005], [1.0, 0.0]])
def test_blocks_join_without_a_seam(scorer, shares: list[float]) -> None:
    table = a_table(7, 2 * BLOCK + 100, shares)
    terms, factors = np.arange(2), np.array([3, 1_000_000], dtype=np.int32)
    assert pairs(scorer()(postings_of(table), terms, factors, 20)) == sorted_all(table, terms, factors, 20)


@needs_numba
def test_compiled_and_plain_agree_over_many_texts_in_several_blocks() -> None:
    rng = np.random.default_rng(3)
    said = [tuple(map(str, rng.zipf(1.4, 12) % 500)) for _ in range(BLOCK + 5_000)]
    segment: Segment = make_segment((f"{n:06d}", Said(terms)) for n, terms in enumerate(said))
    for _ in range(30):
        terms = rng.choice(len(segment.terms), 8, replace=False)
        factors = rng.integers(1, 2**19, 8).astype(np.int32)
        one, other = (score(_kept(segment.postings), terms, factors, 10) for score in (best_texts, compiled()))
        assert pairs(one) == pairs(other)
        assert np.array_equal(one.weights, other.weights)


def test_a_small_collection_is_searched_without_the_compiler(tmp_path: Path) -> None:
    code = (
        "import sys\nfrom kb.likeness import build_likeness, open_likeness\n"
        f"build_likeness({str(tmp_path / 'index')!r}, [('a', 'chain slips')])\n"
        f"assert open_likeness({str(tmp_path / 'index')!r}).search('chain')\n"
        "assert 'numba' not in sys.modules\n"
    )
    subprocess.run([sys.executable, "-c", code], check=True, cwd=Path(__file__).parents[2])


def test_answering_a_complaint_imports_neither_likeness_nor_numba() -> None:
    code = "import sys, kb.answer, kb.opening, kb.cli\nassert not {'numba', 'kb.likeness'} & set(sys.modules)"
    subprocess.run([sys.executable, "-c", code], check=True, cwd=Path(__file__).parents[2])


def test_without_numba_a_large_collection_is_searched_all_the_same(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(sys.modules, "numba", None)
    monkeypatch.delitem(sys.modules, "kb.likeness.compiled", raising=False)
    assert scorer_for(10_000_000) is best_texts


def _kept(postings: Postings) -> Postings:
    for array in (postings.starts, postings.places, postings.weights):
        array.flags.writeable = False
    return postings
