"""Our measures against trec_eval (pytrec_eval-terrier), scikit-learn and printed tables.

trec_eval breaks ties by document id, descending, so that the rankings here go to it with scores that fall strictly.
Sources of the tables: Järvelin & Kekäläinen 2002 (first row read in course notes, the ideal's rows from memory and
recomputed); encyclopaedia examples of discounted gain and of reciprocal rank (from memory, recomputed with trec_eval);
scikit-learn's documentation of `log_loss` (recomputed). The calibration case is exact arithmetic.
"""

import math
from collections.abc import Sequence

import numpy as np
import pytest
import pytrec_eval
from sklearn.calibration import calibration_curve
from sklearn.metrics import brier_score_loss, log_loss

from kb.search.metrics import brier_score, discounted_gain, log_score, normalised_gain, reciprocal_rank, success_at
from kb.search.reliability import bins_of, brier_parts, calibration_error

RANKINGS = 500
DOCUMENTS = [f"d{number:02}" for number in range(30)]
CUTS = (1, 3, 5, 10)


def _judged_rankings(seed: int) -> list[tuple[list[str], dict[str, int]]]:
    """Return rankings with judgements: some documents unjudged, some judged and not ranked, grades 0 to 3."""
    random = np.random.default_rng(seed)
    made = []
    for _ in range(RANKINGS):
        ranked = [str(id) for id in random.permutation(DOCUMENTS)[: random.integers(1, 25)]]
        judged = random.permutation(DOCUMENTS)[: random.integers(1, 20)]
        grades = {str(id): int(random.choice([0, 0, 1, 1, 2, 3])) for id in judged}
        made.append((ranked, grades))
    return made


@pytest.fixture(scope="module")
def rankings() -> list[tuple[list[str], dict[str, int]]]:
    made = _judged_rankings(20_240_301)
    assert any(set(grades) - set(ranked) for ranked, grades in made), "some judged documents must be missing"
    assert any(set(ranked) - set(grades) for ranked, grades in made), "some ranked documents must be unjudged"
    assert any(max(grades.values()) == 0 for _, grades in made), "some rankings must have nothing relevant"
    return made


@pytest.fixture(scope="module")
def theirs(rankings: list[tuple[list[str], dict[str, int]]]) -> list[dict[str, float]]:
    cuts = ",".join(str(cut) for cut in CUTS)
    measures = {f"ndcg_cut.{cuts}", f"success.{cuts}", f"P.{cuts}", "recip_rank"}
    judgements = {str(number): grades for number, (_, grades) in enumerate(rankings)}
    run = {
        str(number): {id: float(len(ranked) - place) for place, id in enumerate(ranked)}
        for number, (ranked, _) in enumerate(rankings)
    }
    found = pytrec_eval.RelevanceEvaluator(judgements, measures).evaluate(run)
    assert len(found) == RANKINGS
    return [found[str(number)] for number in range(RANKINGS)]


@pytest.mark.parametrize("cut", CUTS)
def test_normalised_gain_agrees_with_trec_eval(
    rankings: list[tuple[list[str], dict[str, int]]], theirs: list[dict[str, float]], cut: int
) -> None:
    for (ranked, grades), values in zip(rankings, theirs, strict=True):
        assert abs(normalised_gain(ranked, grades, cut) - values[f"ndcg_cut_{cut}"]) < 1e-9


@pytest.mark.parametrize("cut", CUTS)
def test_success_agrees_with_trec_eval(
    rankings: list[tuple[list[str], dict[str, int]]], theirs: list[dict[str, float]], cut: int
) -> None:
    for (ranked, grades), values in zip(rankings, theirs, strict=True):
        relevant = {id for id, grade in grades.items() if grade > 0}
        assert abs(success_at(ranked, relevant, cut) - values[f"success_{cut}"]) < 1e-9


def test_success_at_1_is_their_precision_at_1(
    rankings: list[tuple[list[str], dict[str, int]]], theirs: list[dict[str, float]]
) -> None:
    for (ranked, grades), values in zip(rankings, theirs, strict=True):
        assert abs(success_at(ranked, {id for id, grade in grades.items() if grade > 0}, 1) - values["P_1"]) < 1e-9


def test_reciprocal_rank_agrees_with_trec_eval(
    rankings: list[tuple[list[str], dict[str, int]]], theirs: list[dict[str, float]]
) -> None:
    for (ranked, grades), values in zip(rankings, theirs, strict=True):
        relevant = {id for id, grade in grades.items() if grade > 0}
        assert abs(reciprocal_rank(ranked, relevant, len(ranked)) - values["recip_rank"]) < 1e-9


GAINS = [3, 2, 3, 0, 0, 1, 2, 2, 3, 0]
IDEAL = [3, 3, 3, 2, 2, 2, 1, 1, 1, 1]


def _undiscounted_first(gains: Sequence[float], place: int) -> float:
    """Return the gain as Järvelin & Kekäläinen discount it: their divisor at place i is ours at place i - 1."""
    return gains[0] + (discounted_gain(gains[1:], place - 1) if place > 1 else 0)


@pytest.mark.parametrize(
    ("gains", "printed"),
    [
        (GAINS, [3, 5, 6.89, 6.89, 6.89, 7.28, 7.99, 8.66, 9.61, 9.61]),
        (IDEAL, [3, 6, 7.89, 8.89, 9.75, 10.53, 10.88, 11.22, 11.53, 11.83]),
    ],
)
def test_discounted_gain_gives_the_printed_table(gains: list[int], printed: list[float]) -> None:
    found = [_undiscounted_first(gains, place) for place in range(1, 11)]
    assert found == pytest.approx(printed, abs=0.0051)


def test_gain_over_ideal_gain_gives_the_printed_table() -> None:
    printed = [1, 0.83, 0.87, 0.78, 0.71, 0.69, 0.73, 0.77, 0.83, 0.81]
    found = [_undiscounted_first(GAINS, place) / _undiscounted_first(IDEAL, place) for place in range(1, 11)]
    assert found == pytest.approx(printed, abs=0.0051)


def test_the_ideal_counts_what_was_not_retrieved() -> None:
    """Gains 3 2 3 0 1 2, with a 3 and a 2 not retrieved: 6.861 of 8.740; out of the own list alone it were 0.961."""
    ranked = ["a", "b", "c", "d", "e", "f"]
    retrieved = dict(zip(ranked, [3.0, 2.0, 3.0, 0.0, 1.0, 2.0], strict=True))
    assert discounted_gain([3, 2, 3, 0, 1, 2], 6) == pytest.approx(6.861, abs=5e-4)
    assert discounted_gain([3, 3, 3, 2, 2, 2], 6) == pytest.approx(8.740, abs=5e-4)
    assert normalised_gain(ranked, {**retrieved, "g": 3.0, "h": 2.0}, 6) == pytest.approx(0.785, abs=5e-4)
    assert normalised_gain(ranked, retrieved, 6) == pytest.approx(0.961, abs=5e-4)


def test_three_reciprocal_ranks_have_the_printed_mean() -> None:
    """Right ones at places 3, 2 and 1: MRR 0.611."""
    ranks = [reciprocal_rank(["x", "y", "z"], {right}, 10) for right in ("z", "y", "x")]
    assert sum(ranks) / 3 == pytest.approx(0.611, abs=5e-4)


@pytest.mark.parametrize("seed", range(5))
def test_brier_score_and_log_loss_agree_with_scikit_learn(seed: int) -> None:
    random = np.random.default_rng(seed)
    forecasts = random.dirichlet(np.full(12, 0.3), size=400)
    right = random.integers(0, 12, size=400)
    ours = [brier_score(row, {int(gold)}) for row, gold in zip(forecasts, right, strict=True)]
    losses = [log_score(row, {int(gold)}) for row, gold in zip(forecasts, right, strict=True)]
    assert abs(np.mean(ours) - brier_score_loss(right, forecasts, labels=range(12))) < 1e-9
    assert abs(np.mean(losses) - log_loss(right, forecasts, labels=range(12))) < 1e-9


def test_several_right_answers_score_like_one_class_made_of_them() -> None:
    forecasts = np.random.default_rng(9).dirichlet(np.ones(5), size=200)
    merged = np.column_stack([forecasts[:, :2].sum(axis=1), forecasts[:, 2:]])
    right = np.zeros(200, dtype=int)
    ours = np.mean([brier_score(row, {0, 1}) for row in forecasts])
    losses = np.mean([log_score(row, {0, 1}) for row in forecasts])
    assert abs(ours - brier_score_loss(right, merged, labels=range(4))) < 1e-9
    assert abs(losses - log_loss(right, merged, labels=range(4))) < 1e-9


@pytest.mark.parametrize("seed", range(5))
def test_calibration_error_agrees_with_scikit_learns_curve(seed: int) -> None:
    random = np.random.default_rng(seed)
    # Two decimals put many confidences on the borders of bins.
    confidence = np.round(random.random(700), 2)
    correct = random.random(700) < confidence**1.3
    share, mean = calibration_curve(correct, confidence, n_bins=10, strategy="uniform")
    counts = np.bincount(np.searchsorted(np.linspace(0, 1, 11)[1:-1], confidence), minlength=10)
    expected = float(np.abs(share - mean) @ counts[counts > 0] / 700)
    bins = bins_of(confidence.tolist(), correct.tolist())
    np.testing.assert_allclose([item.correct for item in bins], share, atol=1e-9)
    np.testing.assert_allclose([item.confidence for item in bins], mean, atol=1e-9)
    assert abs(calibration_error(bins) - expected) < 1e-9


def test_the_worked_calibration_case_comes_out_exactly() -> None:
    """20 forecasts at .1 with 2 hits, 20 at .8 with 14: ECE 0.05, Brier 0.155 = 0.005 - 0.09 + 0.24."""
    confidence = [0.1] * 20 + [0.8] * 20
    correct = [True] * 2 + [False] * 18 + [True] * 14 + [False] * 6
    bins = bins_of(confidence, correct)
    parts = brier_parts(bins)
    assert calibration_error(bins) == pytest.approx(0.05, abs=1e-12)
    assert (parts.reliability, parts.resolution, parts.uncertainty) == pytest.approx((0.005, 0.09, 0.24), abs=1e-12)
    assert parts.brier == pytest.approx(0.155, abs=1e-12)
    assert brier_score_loss(correct, confidence) == pytest.approx(parts.brier, abs=1e-12)


@pytest.mark.parametrize(("rain", "score"), [(True, 0.09), (False, 0.49)])
def test_a_forecast_of_seven_tenths_scores_as_in_the_textbook(rain: bool, score: float) -> None:
    """Two classes summed are twice Brier's one-class square."""
    assert brier_score(np.array([0.3, 0.7]), {int(rain)}) / 2 == pytest.approx(score)


def test_three_forecasts_score_as_scikit_learn_documents() -> None:
    forecasts = np.array([[0.8, 0.1, 0.1], [0.2, 0.7, 0.1], [0.1, 0.3, 0.6]])
    assert np.mean([brier_score(row, {n}) for n, row in enumerate(forecasts)]) == pytest.approx(0.1533, abs=5e-5)


def test_the_documented_log_loss_comes_out() -> None:
    """["spam", "ham", "ham", "spam"] with [.1 .9] [.9 .1] [.8 .2] [.35 .65], ham first: 0.21616."""
    rows = np.array([[0.1, 0.9], [0.9, 0.1], [0.8, 0.2], [0.35, 0.65]])
    scores = [log_score(row, {right}) for row, right in zip(rows, (1, 0, 0, 1), strict=True)]
    assert np.mean(scores) == pytest.approx(0.21616, abs=5e-6)
    assert math.isfinite(log_score(np.array([1.0, 0.0]), {1}))
