import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from kb.search.metrics import brier_score, discounted_gain, log_score, normalised_gain, reciprocal_rank, success_at

IDS = st.lists(st.sampled_from("abcdefghijklmnopq"), unique=True)
RIGHT = st.frozensets(st.sampled_from("abcdefghijklmnopq"), min_size=1)


@st.composite
def forecasts(draw: st.DrawFn) -> np.ndarray:
    weights = draw(st.lists(st.floats(0.001, 1), min_size=2, max_size=8))
    return np.array([weight / sum(weights) for weight in weights])


def test_the_second_place_counts_half_as_reciprocal_rank() -> None:
    assert reciprocal_rank(["b", "a", "c"], {"a", "c"}, 10) == 0.5


def test_a_right_one_below_the_depth_does_not_count() -> None:
    ranked = ["x", "y", "z", "a"]
    assert (success_at(ranked, {"a"}, 3), reciprocal_rank(ranked, {"a"}, 3)) == (0, 0)


def test_a_ranking_that_finds_one_of_two_right_ones_is_short_of_the_best_possible() -> None:
    # gain 1 at place 1, none at place 2 of 2: 1 / (1 + 1/log2 3)
    assert normalised_gain(["a", "x"], {"a": 1, "b": 1}, 10) == pytest.approx(1 / (1 + 1 / math.log2(3)))


def test_where_nothing_has_a_gain_the_normalised_gain_is_0() -> None:
    assert normalised_gain(["a"], {}, 10) == 0


@given(IDS, RIGHT, st.integers(1, 12))
def test_a_deeper_look_finds_no_less(ranked: list[str], right: frozenset[str], depth: int) -> None:
    assert success_at(ranked, right, depth) <= success_at(ranked, right, depth + 1)
    assert reciprocal_rank(ranked, right, depth) <= reciprocal_rank(ranked, right, depth + 1)


@given(IDS, RIGHT)
def test_reciprocal_rank_lies_between_success_at_1_and_success_at_10(ranked: list[str], right: frozenset[str]) -> None:
    assert success_at(ranked, right, 1) <= reciprocal_rank(ranked, right, 10) <= success_at(ranked, right, 10)


@given(IDS, RIGHT)
def test_normalised_gain_is_1_just_for_rankings_that_put_all_right_ones_first(
    ranked: list[str], right: frozenset[str]
) -> None:
    value = normalised_gain(ranked, dict.fromkeys(right, 1.0), 10)
    best = len(right)
    full = set(ranked[: min(best, 10)]) <= right and len(ranked) >= min(best, 10)
    assert (value == pytest.approx(1)) == full
    assert 0 <= value <= 1 + 1e-12


@given(IDS.filter(lambda ids: len(ids) > 1), RIGHT, st.data())
def test_moving_a_right_one_up_never_lowers_the_normalised_gain(
    ranked: list[str], right: frozenset[str], data: st.DataObject
) -> None:
    place = data.draw(st.integers(1, len(ranked) - 1))
    if ranked[place] not in right:
        ranked[place] = next(iter(sorted(right - set(ranked))), ranked[place])
    if ranked[place] in right:
        moved = [*ranked]
        moved[place - 1], moved[place] = moved[place], moved[place - 1]
        gains = dict.fromkeys(right, 1.0)
        assert normalised_gain(moved, gains, 10) >= normalised_gain(ranked, gains, 10) - 1e-12


def test_gains_beyond_the_depth_are_left_out() -> None:
    assert discounted_gain([1, 1, 1], 1) == 1


def test_a_forecast_of_zero_for_the_right_answer_is_bad_but_finite() -> None:
    assert log_score(np.array([0.0, 1.0]), {0}) == pytest.approx(52 * math.log(2))  # double precision has 52 bits


def test_a_sure_and_right_forecast_scores_0_and_a_sure_and_wrong_one_2() -> None:
    sure = np.array([1.0, 0.0, 0.0])
    assert (brier_score(sure, {0}), log_score(sure, {0}), brier_score(sure, {1})) == (0, 0, 2)


def test_several_right_answers_count_by_their_probability_together() -> None:
    split = np.array([0.5, 0.3, 0.2])
    assert brier_score(split, {0, 1}) == pytest.approx(0.2**2 + 0.2**2)
    assert log_score(split, {0, 1}) == pytest.approx(-math.log(0.8))


@given(forecasts(), st.data())
def test_scores_do_not_depend_on_the_order_of_the_wrong_answers(forecast: np.ndarray, data: st.DataObject) -> None:
    right = data.draw(st.integers(0, len(forecast) - 1))
    order = np.array(data.draw(st.permutations(range(len(forecast)))))
    moved = int(np.flatnonzero(order == right)[0])
    assert brier_score(forecast[order], {moved}) == pytest.approx(brier_score(forecast, {right}))
    assert log_score(forecast[order], {moved}) == pytest.approx(log_score(forecast, {right}))


@given(forecasts())
def test_on_average_no_other_forecast_beats_the_true_probabilities(truth: np.ndarray) -> None:
    """Brier and log score are proper: the expected score is best where the forecast is the truth."""
    other = np.full(len(truth), 1 / len(truth))
    for measure in (brier_score, log_score):
        honest = sum(p * measure(truth, {n}) for n, p in enumerate(truth))
        assert honest <= sum(p * measure(other, {n}) for n, p in enumerate(truth)) + 1e-9
