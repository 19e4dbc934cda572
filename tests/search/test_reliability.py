import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from kb.search.reliability import bin_of, bins_of, brier_parts, calibration_error

ANSWERS = st.lists(st.tuples(st.floats(0, 1), st.booleans()), min_size=1, max_size=60)


def test_two_bins_weigh_in_by_their_answers() -> None:
    # 3 answers at 0.9, all right: 0.1 off; 1 at 0.3, wrong: 0.3 off; (3 * 0.1 + 1 * 0.3) / 4
    bins = bins_of([0.9, 0.9, 0.9, 0.3], [True, True, True, False])
    assert calibration_error(bins) == pytest.approx(0.15)


def test_a_confidence_on_a_border_belongs_to_the_lower_bin() -> None:
    assert bin_of(np.array([0.0, 0.1, 0.100001, 0.5, 1.0])).tolist() == [0, 0, 1, 4, 9]


def test_nothing_answered_is_no_error() -> None:
    assert (calibration_error(()), brier_parts(()).brier) == (0, 0)


@given(ANSWERS)
def test_every_answer_lies_in_one_bin(answers: list[tuple[float, bool]]) -> None:
    bins = bins_of([p for p, _ in answers], [hit for _, hit in answers])
    assert sum(item.count for item in bins) == len(answers)
    assert sum(item.count * item.correct for item in bins) == pytest.approx(sum(hit for _, hit in answers))
    assert all(item.low - 1e-12 <= item.confidence <= item.high + 1e-12 for item in bins)


@given(ANSWERS)
def test_the_calibration_error_is_at_least_that_of_one_great_bin(answers: list[tuple[float, bool]]) -> None:
    bins = bins_of([p for p, _ in answers], [hit for _, hit in answers])
    overall = abs(np.mean([p for p, _ in answers]) - np.mean([hit for _, hit in answers]))
    assert overall - 1e-12 <= calibration_error(bins) <= 1 + 1e-12


@given(st.lists(st.tuples(st.sampled_from([0.05, 0.35, 0.65, 0.95]), st.booleans()), min_size=1, max_size=60))
def test_the_parts_add_up_to_the_brier_score_where_a_bin_holds_one_confidence(
    answers: list[tuple[float, bool]],
) -> None:
    parts = brier_parts(bins_of([p for p, _ in answers], [hit for _, hit in answers]))
    assert parts.brier == pytest.approx(np.mean([(p - hit) ** 2 for p, hit in answers]))
    assert min(parts.reliability, parts.resolution, parts.uncertainty) >= 0
