from collections.abc import Sequence

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from kb.library.models import CauseId, Complaint, Library
from kb.search.judging import NONE_OF_OURS, Forecast, Judged, judge

CAUSES = ("bar-slip", "cassette-worn", "chain-worn", "rotor-bent", "saddle-creak")
"""Of the small library, in order."""


def judged(
    library: Library, probabilities: Sequence[float], gold: str | None, also: Sequence[str] = (), answered: bool = True
) -> Judged:
    words = {"chain-worn": ("chain", "slips"), "cassette-worn": ("chain", "cogs")}
    complaint = Complaint("x", CauseId(gold) if gold else None, tuple(CauseId(id) for id in also))
    forecast = Forecast(np.array(probabilities), answered, lambda cause: words.get(cause, ()))
    assert tuple(library.articles) == CAUSES
    return judge(complaint, library.articles, forecast)


def test_a_gold_in_second_place_is_no_success_at_1(small_library: Library) -> None:
    item = judged(small_library, [0.1, 0.5, 0.3, 0, 0, 0.1], "chain-worn")
    assert item.placing is not None
    assert (item.placing.success_at_1, item.placing.success_at_3, item.placing.reciprocal_rank) == (0, 1, 0.5)
    assert (item.top, item.p_top, item.p_none) == ("cassette-worn", 0.5, 0.1)


def test_an_also_in_first_place_is_right(small_library: Library) -> None:
    item = judged(small_library, [0.1, 0.5, 0.3, 0, 0, 0.1], "chain-worn", ["cassette-worn"])
    assert item.placing is not None
    assert (item.placing.success_at_1, item.placing.ndcg, item.correct) == (1, 1, True)
    assert item.brier == pytest.approx(0.2**2 + 0.1**2 + 0.1**2)


def test_a_text_without_an_article_is_right_where_none_of_ours_is_likeliest(small_library: Library) -> None:
    item = judged(small_library, [0.1, 0.1, 0.1, 0, 0, 0.7], None, answered=False)
    assert (item.correct, item.placing, item.system, item.kind) == (True, None, NONE_OF_OURS, NONE_OF_OURS)
    assert item.confidence == 0.7


def test_a_refusal_of_an_answerable_text_is_wrong_though_its_cause_stands_first(small_library: Library) -> None:
    item = judged(small_library, [0, 0, 0.3, 0, 0, 0.7], "chain-worn", answered=False)
    assert item.placing is not None
    assert (item.correct, item.placing.success_at_1) == (False, 1)


def test_words_that_misled_are_those_that_do_not_speak_for_the_gold(small_library: Library) -> None:
    assert judged(small_library, [0, 0.6, 0.4, 0, 0, 0], "chain-worn").words == ("cogs",)


def test_a_right_answer_has_no_words_that_misled(small_library: Library) -> None:
    assert judged(small_library, [0, 0.6, 0.4, 0, 0, 0], "cassette-worn").words == ()


def test_ties_go_by_the_order_of_the_articles(small_library: Library) -> None:
    assert judged(small_library, [0, 0.5, 0.5, 0, 0, 0], "chain-worn").top == "cassette-worn"


@given(st.lists(st.floats(0.001, 1), min_size=6, max_size=6), st.sampled_from([*CAUSES, None]))
def test_a_likelier_right_answer_is_never_judged_worse(
    small_library: Library, weights: list[float], gold: str | None
) -> None:
    number = CAUSES.index(gold) if gold else 5
    before = np.array(weights) / sum(weights)
    weights[number] += 1
    after = np.array(weights) / sum(weights)
    one, other = (judged(small_library, list(p), gold) for p in (before, after))
    assert other.log_score <= one.log_score + 1e-12
    assert other.brier <= one.brier + 1e-12
    assert other.correct >= one.correct
    if one.placing is not None and other.placing is not None:
        assert other.placing.reciprocal_rank >= one.placing.reciprocal_rank
