import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from kb.workings import run_working
from kb.workings.alignment import hanger_angle_deg, line_angle_deg


def test_four_millimetres_at_the_rim_are_the_angle_read() -> None:
    # 4 mm at rim 622 across the full diameter = 0.37 deg; over a radius of 311 alone 0.74 deg
    assert hanger_angle_deg(4.0, 311.0) == pytest.approx(0.37, abs=0.005)
    assert hanger_angle_deg(4.0, 311.0 / 2) == pytest.approx(0.74, abs=0.005)


@given(st.floats(-3, 3), st.floats(100, 330))
def test_hanger_angle_is_found_again_from_a_tilted_arm(tilt_deg: float, radius: float) -> None:
    # an arm turned about the hanger's axis stands nearer and farther at two points half a turn apart
    gap = 2 * radius * math.tan(math.radians(tilt_deg))
    assert hanger_angle_deg(gap, radius) == pytest.approx(tilt_deg, abs=1e-9)


@given(st.floats(0.1, 30), st.floats(380, 500))
def test_a_longer_stay_runs_the_chain_straighter(offset: float, stay: float) -> None:
    assert line_angle_deg(offset, stay + 10) < line_angle_deg(offset, stay)
    assert line_angle_deg(-offset, stay) == -line_angle_deg(offset, stay)


def test_the_steepest_pair_is_the_outer_ring_on_the_inner_sprocket() -> None:
    inputs = {
        "chainline": "43.5",
        "rings": "2",
        "cassette_line": "43.5",
        "sprocket_pitch": "3.95",
        "sprockets": "10",
        "chainstay": "410",
    }
    result = run_working("chainline-table", inputs)
    aside = 7.5 / 2 + 4.5 * 3.95
    assert result.value("worst") == pytest.approx(math.degrees(math.atan(aside / 410)))
    assert result.table is not None
    assert len(result.table.rows) == 20


def test_hanger_drift_agrees_with_the_bent_strip_integrated() -> None:
    force, eccentricity, width, thickness, length, arm = 5000.0, 2.0, 16.0, 7.0, 28.0, 55.0
    stiffness = 69_000 * width * thickness**3 / 12
    bent = solve_ivp(
        lambda _, state: [state[1], force * eccentricity / stiffness], (0, length), [0, 0], rtol=1e-9, atol=1e-12
    )
    result = run_working("hanger-drift", {"force": "5000"})
    assert result.value("drift") == pytest.approx(bent.y[1, -1] * arm, rel=1e-6)
