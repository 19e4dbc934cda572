"""Matching by postings equals the full product; the best match of a field counts."""

import numpy as np
from hypothesis import given
from hypothesis import strategies as st
from scipy.sparse import csr_matrix

from kb.library.models import CauseId
from kb.search.fields import Field, FieldText
from kb.search.index import Index, build_index

CAUSES = [CauseId("a"), CauseId("b")]


def index_of(rows: np.ndarray, fields: list[Field]) -> Index:
    texts = [FieldText(CAUSES[number % 2], field, "") for number, field in enumerate(fields)]
    return build_index(texts, csr_matrix(rows), CAUSES, {Field.SYMPTOM: 1.0, Field.TITLE: 0.5})


matrices = st.integers(1, 8).flatmap(
    lambda n: st.lists(st.lists(st.sampled_from([0.0, 0.0, 0.5, 1.0]), min_size=5, max_size=5), min_size=n, max_size=n)
)


@given(matrices, st.lists(st.sampled_from([0.0, 0.3, 1.0]), min_size=5, max_size=5))
def test_postings_give_the_full_product(rows: list[list[float]], query: list[float]) -> None:
    matrix = np.array(rows)
    index = index_of(matrix, [Field.SYMPTOM] * len(rows))
    np.testing.assert_allclose(index.match(csr_matrix([query])).texts, matrix @ np.array(query), atol=1e-12)


def test_best_symptom_and_title_make_the_score_of_an_article() -> None:
    rows = np.array([[1.0, 0], [0, 1.0], [0.5, 0], [0, 0]])
    fields = [Field.SYMPTOM, Field.SYMPTOM, Field.TITLE, Field.TITLE]
    causes = index_of(rows, fields).match(csr_matrix([[1.0, 0.0]])).causes
    assert causes.tolist() == [1.0 + 0.5 * 0.5, 0.0]


def test_an_empty_query_matches_nothing() -> None:
    matches = index_of(np.eye(2), [Field.SYMPTOM] * 2).match(csr_matrix((1, 2)))
    assert not matches.texts.any()
    assert not matches.causes.any()
