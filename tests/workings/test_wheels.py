import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from kb.errors import BadInput
from kb.workings import run_working
from kb.workings.wheels import spoke_length_mm, three_point_tension_n


@pytest.mark.parametrize(
    ("erd", "flange", "offset", "spokes", "crosses", "hole", "length"),
    [(600, 58, 32, 32, 3, 2.6, 290.60), (600, 58, 35, 32, 3, 2.6, 290.95), (600, 58, 17, 32, 3, 2.6, 289.34),
     (602, 58, 30, 36, 3, 2.4, 287.96), (600, 38, 36, 28, 0, 2.4, 282.10)],
)  # fmt: skip
def test_spoke_lengths_agree_with_the_worked_examples(
    erd: float, flange: float, offset: float, spokes: int, crosses: int, hole: float, length: float
) -> None:
    # cosine rule in three dimensions, recomputed; formula as in an encyclopaedia article on spokes
    assert spoke_length_mm(erd, flange, offset, spokes, crosses, hole) == pytest.approx(length, abs=0.005)


@given(
    st.floats(350, 620), st.floats(30, 110), st.floats(10, 45), st.sampled_from([20, 24, 28, 32, 36]), st.integers(0, 4)
)
def test_spoke_length_is_the_distance_of_its_ends_in_space(
    erd: float, flange: float, offset: float, spokes: int, crosses: int
) -> None:
    angle = crosses * 720 / spokes * math.pi / 180
    head = np.array([flange / 2, 0.0, offset])
    nipple = np.array([erd / 2 * math.cos(angle), erd / 2 * math.sin(angle), 0.0])
    assert spoke_length_mm(erd, flange, offset, spokes, crosses, 2.6) == pytest.approx(
        np.linalg.norm(nipple - head) - 1.3
    )


@given(st.floats(350, 620), st.floats(30, 110), st.floats(10, 45), st.integers(0, 3))
def test_more_crossings_and_more_offset_need_longer_spokes(
    erd: float, flange: float, offset: float, crosses: int
) -> None:
    length = spoke_length_mm(erd, flange, offset, 32, crosses, 2.6)
    assert spoke_length_mm(erd, flange, offset, 32, crosses + 1, 2.6) > length
    assert spoke_length_mm(erd, flange, offset + 1, 32, crosses, 2.6) > length


@pytest.mark.parametrize(
    ("changed", "field"),
    [
        ({"spokes": "33"}, "spokes"),
        ({"crosses": "5", "spokes": "16"}, "crosses"),
        ({"flange_diameter": "400", "erd": "380"}, "flange_diameter"),
    ],
)
def test_a_wheel_that_cannot_be_laced_is_refused(changed: dict[str, str], field: str) -> None:
    wheel = {"erd": "600", "flange_diameter": "58", "flange_offset": "32", "spokes": "32", "crosses": "3"}
    with pytest.raises(BadInput) as refusal:
        run_working("spoke-length", {**wheel, **changed})
    assert refusal.value.field == field


def test_three_point_gauge_agrees_with_the_worked_figure() -> None:
    # T = F L / (4 delta): 50 N, 120 mm, 1.25 mm -> 1200 N
    assert three_point_tension_n(50.0, 120.0, 1.25) == 1200


def test_dished_wheel_balances_its_sideways_pulls() -> None:
    # d 35 and 17 -> 0.488 (0.486 by the offsets alone)
    wheel = {"erd": "600", "flange_diameter": "58", "spokes": "32", "crosses": "3"}
    ratio = run_working("tension-ratio", {**wheel, "left_offset": "35", "right_offset": "17"}).value("ratio")
    assert ratio == pytest.approx(0.488, abs=0.001)
    mirrored = run_working("tension-ratio", {**wheel, "left_offset": "17", "right_offset": "35"}).value("ratio")
    assert float(ratio) * float(mirrored) == pytest.approx(1)


@pytest.mark.parametrize(
    ("highest", "lowest", "spread"), [("1100", "900", 20), ("1000", "1000", 0), ("1200", "1000", 18.18)]
)
def test_spread_is_the_difference_as_a_share_of_the_mean(highest: str, lowest: str, spread: float) -> None:
    assert run_working("spoke-tension-spread", {"highest": highest, "lowest": lowest}).value("spread") == pytest.approx(
        spread, abs=0.005
    )


def test_lowest_above_highest_is_refused() -> None:
    with pytest.raises(BadInput) as refusal:
        run_working("spoke-tension-spread", {"highest": "900", "lowest": "1000"})
    assert refusal.value.field == "lowest"


def test_dish_is_half_of_what_a_gauge_shows_turned_over() -> None:
    result = run_working("dish", {"left": "51", "right": "49"})
    assert result.value("offset") == pytest.approx(1)
    assert "right" in result.explanation
    assert run_working("dish", {"left": "49", "right": "51"}).value("offset") == pytest.approx(-1)
    assert run_working("dish", {"left": "50", "right": "50"}).value("offset") == 0


@pytest.mark.parametrize(
    ("runout", "brake", "decision"),
    [("0.4", "rim", "conform"), ("1.0", "rim", "conform"), ("1.5", "rim", "not conform"), ("1.5", "disc", "conform"), ("2.5", "disc", "not conform"),
     ("0.8", "racing", "not conform"), ("0.1", "rotor", "conform"), ("0.5", "rotor", "not conform"), ("0.95 ± 0.05", "rim", "undecided"), ("0.8 ± 0.05", "rim", "conform")],
)  # fmt: skip
def test_runout_is_held_against_the_limit_of_its_brake(runout: str, brake: str, decision: str) -> None:
    # ISO 4210-2 4.10.1: rim brake 1.0 (racing 0.7), other brakes 2.0, from memory; rotor 0.4: common practice
    assert run_working("runout-limit", {"runout": runout, "brake": brake}).value("decision") == decision
