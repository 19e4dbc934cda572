"""Scores of small runs worked out by hand."""

import math
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kb.library.models import CauseId
from kb.search.evaluation import Measure, evaluate, score, value_of
from kb.search.judging import NONE_OF_OURS, Judged, Placing

FIRST = Placing(1, 1, 1, 1)
SECOND = Placing(0, 1, 1 / 2, 1 / math.log2(3))
FOURTH = Placing(0, 0, 1 / 4, 1 / math.log2(5))


def answerable(placing: Placing, p_top: float = 0.8, p_none: float = 0.1, system: str = "brakes") -> Judged:
    """A text that an article answers, whose likeliest cause is right where it stands first."""
    return Judged(
        text="x",
        gold=CauseId("a"),
        voice="search",
        system=system,
        kind="fault",
        top=CauseId("a") if placing is FIRST else CauseId("b"),
        p_top=p_top,
        p_none=p_none,
        answered=p_none < 0.5,
        correct=placing is FIRST and p_top >= p_none,
        log_score=0.4,
        brier=0.2,
        placing=placing,
    )


def strange(p_top: float, p_none: float) -> Judged:
    """A text that no article answers."""
    return Judged(
        "y", None, "comment", NONE_OF_OURS, NONE_OF_OURS, CauseId("a"), p_top, p_none, p_none < 0.5,
        p_none > p_top, 0.2, 0.1, None,
    )  # fmt: skip


RUN = [answerable(FIRST), answerable(SECOND, system="wheels"), answerable(FOURTH), answerable(FIRST, 0.3, 0.6)]
STRANGE = [strange(0.7, 0.2), strange(0.4, 0.45), strange(0.05, 0.9), strange(0.0, 1.0), strange(0.1, 0.8)]


def test_ranking_measures_are_means_over_answerable_texts_alone() -> None:
    scores = score([*RUN, *STRANGE])
    assert (scores.texts, scores.answerable) == (9, 4)
    assert scores.values[Measure.SUCCESS_AT_1] == 0.5
    assert scores.values[Measure.SUCCESS_AT_3] == 0.75
    assert scores.values[Measure.MRR_AT_10] == pytest.approx((1 + 0.5 + 0.25 + 1) / 4)
    assert scores.values[Measure.NDCG_AT_10] == pytest.approx((2 + 1 / math.log2(3) + 1 / math.log2(5)) / 4)


def test_log_loss_and_brier_are_means_over_all_texts() -> None:
    scores = score([*RUN, *STRANGE])
    assert scores.values[Measure.LOG_LOSS] == pytest.approx((4 * 0.4 + 5 * 0.2) / 9)
    assert scores.values[Measure.BRIER] == pytest.approx((4 * 0.2 + 5 * 0.1) / 9)


def test_only_answered_texts_with_a_cause_of_one_half_or_more_are_confident() -> None:
    # of five texts without an article one is answered at 0.7, one answered at 0.4, three refused
    assert score(STRANGE).values[Measure.CONFIDENT_OUT_OF_SCOPE] == 0.2


def test_one_of_four_answerable_texts_is_refused() -> None:
    assert score([*RUN, *STRANGE]).values[Measure.REFUSED_IN_SCOPE] == 0.25


def test_the_calibration_error_is_that_of_the_likeliest_answer() -> None:
    # at 0.8 one of two right (0.3 off), at 0.6 "none of ours" wrong (0.6 off): (2 * 0.3 + 0.6) / 3
    run = [answerable(FIRST), answerable(SECOND), answerable(FIRST, 0.3, 0.6)]
    assert score(run).values[Measure.CALIBRATION_ERROR] == pytest.approx(0.4)


def test_measures_without_a_text_are_left_out() -> None:
    assert Measure.SUCCESS_AT_1 not in score(STRANGE).values
    assert Measure.CONFIDENT_OUT_OF_SCOPE not in score(RUN).values
    assert score([]).values == {}


def test_groups_are_by_system_voice_and_kind() -> None:
    groups = {(group.by, group.name): group.scores for group in evaluate([*RUN, *STRANGE]).groups}
    assert set(groups) == {
        ("system", "brakes"), ("system", "wheels"), ("system", NONE_OF_OURS), ("voice", "search"),
        ("voice", "comment"), ("kind", "fault"), ("kind", NONE_OF_OURS),
    }  # fmt: skip
    assert groups["system", "wheels"].values[Measure.SUCCESS_AT_1] == 0
    assert groups["system", "brakes"].values[Measure.SUCCESS_AT_1] == pytest.approx(2 / 3)


def test_a_run_reports_who_was_taken_for_whom() -> None:
    (swap,) = evaluate(RUN).swaps
    assert (swap.pair, swap.first_for_second, swap.second_for_first) == (("a", "b"), 0, 2)


def test_only_the_first_four_measures_are_better_when_larger() -> None:
    assert [measure.more_is_better for measure in Measure] == [True] * 4 + [False] * 5


items = st.one_of(
    st.builds(answerable, st.sampled_from([FIRST, SECOND, FOURTH]), st.floats(0, 0.5), st.floats(0, 0.5)),
    st.builds(strange, st.floats(0, 0.5), st.floats(0, 0.5)),
)
runs = st.lists(items, min_size=1, max_size=30)


@given(runs, st.randoms())
def test_the_order_of_texts_changes_no_score(run: list[Judged], random: object) -> None:
    shuffled = sorted(run, key=lambda _: random.random())  # type: ignore[attr-defined]
    one, other = score(run).values, score(shuffled).values
    assert one.keys() == other.keys()
    assert all(one[measure] == pytest.approx(other[measure]) for measure in one)


@given(runs)
def test_the_mean_over_groups_weighed_by_their_texts_is_the_whole(run: list[Judged]) -> None:
    evaluation = evaluate(run)
    for by in ("system", "voice", "kind"):
        groups = [group.scores for group in evaluation.groups if group.by == by]
        assert sum(scores.texts for scores in groups) == len(run)
        total = sum(scores.texts * scores.values[Measure.BRIER] for scores in groups)
        assert total / len(run) == pytest.approx(evaluation.whole.values[Measure.BRIER])


@given(runs)
def test_every_share_lies_between_0_and_1(run: list[Judged]) -> None:
    shares = set(Measure) - {Measure.LOG_LOSS, Measure.BRIER}
    assert all(0 <= value <= 1 for measure, value in score(run).values.items() if measure in shares)


@given(items)
def test_a_text_counts_either_as_answerable_or_as_out_of_scope(item: Judged) -> None:
    has = {measure for measure in Measure if value_of(item, measure) is not None}
    assert (Measure.SUCCESS_AT_1 in has) == (Measure.REFUSED_IN_SCOPE in has) == (item.placing is not None)
    assert (Measure.CONFIDENT_OUT_OF_SCOPE in has) == (item.placing is None)


def test_doubling_every_text_changes_nothing_but_the_count() -> None:
    run = [*RUN, *STRANGE]
    twice = [*run, *(replace(item, text="again") for item in run)]
    assert score(twice).values == pytest.approx(dict(score(run).values))
