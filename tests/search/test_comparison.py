from dataclasses import replace

import numpy as np
import pytest

from kb.library.models import CauseId
from kb.search.comparison import compare
from kb.search.evaluation import Measure
from kb.search.judging import Judged, Placing

RIGHT, WRONG = Placing(1, 1, 1, 1), Placing(0, 1, 0.5, 0.63)


def item(number: int, right: bool) -> Judged:
    return Judged(
        text=f"text {number}",
        gold=CauseId("a"),
        voice="search",
        system="brakes",
        kind="fault",
        top=CauseId("a" if right else "b"),
        p_top=0.8,
        p_none=0.1,
        answered=True,
        correct=right,
        log_score=0.2 if right else 2.0,
        brier=0.1 if right else 1.2,
        placing=RIGHT if right else WRONG,
    )


def run(*right: bool) -> list[Judged]:
    return [item(number, value) for number, value in enumerate(right)]


def test_a_run_does_not_differ_from_itself() -> None:
    same = run(True, False, True)
    for difference in compare(same, same).differences:
        assert (difference.change, difference.low, difference.high, difference.is_clear) == (0, 0, 0, False)


def test_a_clear_gain_has_an_interval_above_0() -> None:
    before, after = run(*[False] * 30, *[True] * 30), run(*[True] * 60)
    found = {item.measure: item for item in compare(before, after).differences}
    gain = found[Measure.SUCCESS_AT_1]
    assert (gain.before, gain.after, gain.change) == (0.5, 1, 0.5)
    assert gain.is_clear
    assert found[Measure.LOG_LOSS].high < 0


def test_the_interval_is_as_wide_as_theory_says() -> None:
    """30 of 100 texts gained: the standard error of the mean difference is sqrt(0.3 * 0.7 / 100) = 0.0458."""
    before, after = run(*[False] * 30, *[True] * 70), run(*[True] * 100)
    found = compare(before, after, draws=4000)
    gain = next(item for item in found.differences if item.measure is Measure.SUCCESS_AT_1)
    assert (gain.low, gain.high) == pytest.approx((0.3 - 1.96 * 0.0458, 0.3 + 1.96 * 0.0458), abs=0.015)


def test_as_many_lost_as_gained_is_not_clear() -> None:
    before, after = run(*[True, False] * 20), run(*[False, True] * 20)
    assert not any(difference.is_clear for difference in compare(before, after).differences)


def test_only_texts_of_both_runs_are_compared() -> None:
    before, after = run(True, False), run(True, False, True, True)
    found = compare(before, after)
    assert (found.texts, found.only_before, found.only_after) == (2, 0, 2)
    assert all(difference.change == 0 for difference in found.differences)


def test_a_text_whose_label_changed_is_not_compared() -> None:
    before = run(True, True)
    after = [before[0], replace(before[1], gold=CauseId("c"))]
    assert compare(before, after).texts == 1


def test_runs_without_a_common_text_have_no_differences() -> None:
    assert compare(run(True), []).differences == ()


def test_the_same_seed_gives_the_same_interval_and_another_seed_another() -> None:
    random = np.random.default_rng(3)
    before, after = (run(*(random.random(50) < 0.5)) for _ in range(2))
    one, again, other = (compare(before, after, seed=seed).differences for seed in (1, 1, 2))
    assert one == again
    assert one != other


def test_the_drawn_calibration_error_agrees_with_the_measured_one_where_nothing_varies() -> None:
    before, after = run(*[True] * 20), run(*[False] * 20)
    found = next(d for d in compare(before, after).differences if d.measure is Measure.CALIBRATION_ERROR)
    # always 0.8: 0.2 off where all are right, 0.8 off where all are wrong
    assert (found.before, found.after, found.low, found.high) == pytest.approx((0.2, 0.8, 0.6, 0.6))
