from dataclasses import replace

import pytest

from kb.answer import STATED_WEIGHT, Answerer, Question, make_answerer
from kb.library.models import CauseId, Complaint
from kb.measuring import forecast_of, judge_all, untouched_parts

TEXTS = (
    "new chain slips on old cogs, chain measures fine and the teeth are pointed",
    "bar turns in the stem over kerbs",
    "chain is stretched",
    "what is the capital of Peru",
)


@pytest.mark.parametrize("text", TEXTS)
def test_a_forecast_with_stated_readings_is_what_ask_answers(small_answerer: Answerer, text: str) -> None:
    answer = small_answerer.answer(Question(text, top=5))
    forecast = forecast_of(small_answerer, text, with_stated=True)
    ids = list(small_answerer.library.articles)
    assert {cause.article.id: cause.probability for cause in answer.causes} == pytest.approx(
        {CauseId(id): float(p) for id, p in zip(ids, forecast.probabilities, strict=False)}
    )
    assert (forecast.probabilities[-1], forecast.answered) == (pytest.approx(answer.none_of_ours), answer.answered)


def test_a_forecast_on_text_alone_leaves_stated_readings_out(small_answerer: Answerer) -> None:
    text = TEXTS[2]
    assert small_answerer.answer(Question(text)).stated
    alone, weighed = (forecast_of(small_answerer, text, with_stated).probabilities for with_stated in (False, True))
    assert alone == pytest.approx(small_answerer.ranker.rank(small_answerer.analyser.analyse(text)).probabilities)
    # a chain that is stretched: the odds of the worn chain against the worn sprockets rise by (0.9 / 0.1) ** STATED_WEIGHT
    worn, cogs = (list(small_answerer.library.articles).index(CauseId(id)) for id in ("chain-worn", "cassette-worn"))
    assert (weighed[worn] / weighed[cogs]) / (alone[worn] / alone[cogs]) == pytest.approx(9**STATED_WEIGHT)


def test_a_forecast_names_the_words_that_spoke_for_a_cause(small_answerer: Answerer) -> None:
    assert "stem" in " ".join(forecast_of(small_answerer, TEXTS[1], False).words_for(CauseId("bar-slip")))


def test_only_complaints_of_test_files_are_in_the_test_part(small_answerer: Answerer) -> None:
    items = tuple(Complaint(origin, CauseId("chain-worn"), origin=origin) for origin in ("a1", "test-1", "b2"))
    answerer = make_answerer(
        replace(small_answerer.library, complaints=items), small_answerer.analyser, small_answerer.ranker
    )
    (part,) = untouched_parts(answerer)
    assert [item.text for item in part.complaints] == ["test-1"]


def test_complaints_are_judged_in_order(small_answerer: Answerer) -> None:
    items = [Complaint(text, CauseId("bar-slip")) for text in TEXTS]
    assert [item.text for item in judge_all(small_answerer, items, False)] == list(TEXTS)
