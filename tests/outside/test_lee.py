"""Cosines of our TF-IDF rows against how alike people found texts: 50 news items, every pair judged.

Source: Lee, Pincombe & Welsh 2005, "An empirical evaluation of models of text document similarity"; texts and ratings
from gensim's own test data (package gensim, extra `outside`): 50 items, 300 background items, 1,225 mean ratings. People
agree with each other to about 0.6; the paper calls its best word-based models "closer to 0.5".
"""

from importlib.util import find_spec
from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray

from kb.library.models import CauseId
from kb.search.fields import Field, FieldText
from kb.search.index import build_index
from kb.search.terms import Channel, TermMaker
from kb.search.vectors import VectorSettings, learn_vectors
from kb.text.analysis import Analyser
from kb.text.concepts import make_concept_finder
from kb.text.spelling import Speller

pytestmark = pytest.mark.slow

JUDGED, BACKGROUND = 50, 300
REQUIRED, AIM = 0.50, 0.58


@pytest.fixture(scope="module")
def folder() -> Path:
    """The folder of test data inside the installed gensim, found without importing gensim."""
    spec = find_spec("gensim")
    assert spec is not None, "gensim is not installed: pip install 'truestand[outside]'"
    assert spec.submodule_search_locations is not None
    return Path(spec.submodule_search_locations[0]) / "test" / "test_data"


@pytest.fixture(scope="module")
def texts(folder: Path) -> list[str]:
    judged = (folder / "lee.cor").read_text(encoding="latin-1").splitlines()
    background = (folder / "lee_background.cor").read_text(encoding="latin-1").splitlines()
    assert (len(judged), len(background)) == (JUDGED, BACKGROUND)
    return [*judged, *background]


@pytest.fixture(scope="module")
def ratings(folder: Path) -> NDArray[np.float64]:
    """Mean human rating of each pair, 0 to 1, upper triangle row by row."""
    table = np.loadtxt(folder / "similarities0-1.txt")
    pairs: NDArray[np.float64] = table[np.triu_indices(JUDGED, 1)]
    assert pairs.shape == (1225,)
    assert 0 <= pairs.min() < pairs.max() <= 1
    return pairs


def _correlation(texts: list[str], ratings: NDArray[np.float64], weights: dict[Channel, float]) -> float:
    """Return Pearson's r between ratings and our cosines, with no lexicon and no spelling repair."""
    analyser = Analyser(Speller({}, frozenset()), make_concept_finder({}))
    maker = TermMaker({}, 0.0)
    terms = [maker.terms(analyser.analyse(text)) for text in texts]
    vectoriser, rows = learn_vectors(terms, VectorSettings(weights, {}))
    causes = [CauseId(f"text-{number:03}") for number in range(len(texts))]
    fields = [FieldText(cause, Field.BODY, text) for cause, text in zip(causes, texts, strict=True)]
    index = build_index(fields, rows, causes, {Field.BODY: 1.0})
    table = np.stack([index.match(vectoriser.row(item)).texts[:JUDGED] for item in terms[:JUDGED]])
    return float(np.corrcoef(table[np.triu_indices(JUDGED, 1)], ratings)[0, 1])


@pytest.mark.parametrize(
    "weights",
    [{Channel.WORDS: 1.0}, {Channel.WORDS: 1.0, Channel.PAIRS: 0.8}],
    ids=["words", "words and pairs"],
)
def test_cosines_go_with_human_judgement(
    texts: list[str], ratings: NDArray[np.float64], weights: dict[Channel, float]
) -> None:
    r = _correlation(texts, ratings, weights)
    print(f"\nLee texts, {' and '.join(weights)}: Pearson r {r:.3f} (required {REQUIRED}, aim {AIM})")
    assert r >= REQUIRED
