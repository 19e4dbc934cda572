import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad, solve_ivp
from scipy.stats import norm

from kb.workings import run_working
from kb.workings.clamps import drop_force_n, hold_line_nm, hold_uniform_nm


@pytest.mark.parametrize(("friction", "line", "uniform"), [(0.15, 95.4, 149.9), (0.10, 63.6, 99.9)])
def test_stem_on_a_bar_agrees_with_the_worked_figures(friction: float, line: float, uniform: float) -> None:
    # 31.8 bar, four M5 at 5 N m, K 0.2: N = 4 x 5000; shaft-hub clamp, K = pi/2 and 1
    assert hold_line_nm(5000.0, 4, 31.8, friction) == pytest.approx(line, abs=0.05)
    assert hold_uniform_nm(5000.0, 4, 31.8, friction) == pytest.approx(uniform, abs=0.06)


@given(st.floats(500, 10000), st.floats(20, 40), st.floats(0.05, 0.3))
def test_even_pressure_integrated_round_the_bar_gives_the_upper_bound(
    squeeze: float, diameter: float, friction: float
) -> None:
    # each half is pressed with N: p such that the integral of p sin over a half is N, per unit width
    radius = diameter / 2
    p = squeeze / quad(lambda angle: radius * math.sin(angle), 0, math.pi)[0]
    moment = friction * quad(lambda _: p * radius * radius, 0, 2 * math.pi)[0] / 1000
    assert hold_uniform_nm(squeeze, 1, diameter, friction) == pytest.approx(moment)


def test_cosine_pressure_lies_between_the_bounds() -> None:
    # T = (4/pi) mu N d = 121.5 N m for the same stem (shaft-hub clamp, K = pi^2/8)
    squeeze, radius, friction = 20000.0, 15.9, 0.15
    peak = squeeze / quad(lambda angle: radius * math.sin(angle) ** 2, 0, math.pi)[0]
    cosine = friction * 2 * quad(lambda angle: peak * math.sin(angle) * radius**2, 0, math.pi)[0] / 1000
    assert cosine == pytest.approx(121.5, abs=0.05)
    assert hold_line_nm(5000.0, 4, 31.8, friction) < cosine < hold_uniform_nm(5000.0, 4, 31.8, friction)


def test_one_slit_holds_twice_as_the_band_pulls_on_both_sides() -> None:
    # steerer 28.6, two M5: 85.8 to 134.8 N m (mu 0.15); collar of Shigley ch. 5: 1309 mu N m
    result = run_working(
        "clamp-hold", {"preload": "5000", "bolts": "2", "diameter": "28.6", "friction": "0.15", "slits": "one"}
    )
    assert result.value("moment") == pytest.approx(85.8, abs=0.05)
    assert result.value("moment_at_best") == pytest.approx(134.8, abs=0.05)
    collar = run_working(
        "clamp-hold", {"preload": "16667", "bolts": "1", "diameter": "25", "friction": "0.15", "slits": "1"}
    )
    assert collar.value("moment_at_best") == pytest.approx(0.15 * 1309, abs=0.1)


@given(st.floats(5, 120), st.floats(1, 3000), st.floats(20, 500))
def test_the_force_of_a_drop_brings_the_mass_to_rest_within_the_way(mass: float, drop: float, stop: float) -> None:
    force = float(drop_force_n(mass, drop, stop))
    speed = math.sqrt(2 * 9.80665 * drop / 1000)
    slowing = force / mass - 9.80665
    assert speed**2 / (2 * slowing) * 1000 == pytest.approx(stop, rel=1e-6)


def test_the_drop_agrees_with_the_motion_integrated() -> None:
    force = float(drop_force_n(80.0, 500.0, 100.0))

    def motion(_: float, state: list[float]) -> list[float]:
        fallen, speed = state
        return [speed, 9.80665 - (force / 80 if fallen > 0.5 else 0.0)]

    path = solve_ivp(motion, (0, 0.40), [0, 0], max_step=1e-4, rtol=1e-8)
    assert path.y[0].max() == pytest.approx(0.6, abs=0.001)


def test_drop_moment_is_force_times_reach() -> None:
    result = run_working("drop-moment", {"mass": "80", "drop": "500", "stop": "100", "reach": "300"})
    assert result.value("moment") == pytest.approx(float(result.value("force")) * 0.3)


@given(st.floats(-0.1, 0.5), st.floats(0.005, 0.1))
def test_undersize_probability_is_that_of_the_normal_reading(clearance: float, u: float) -> None:
    result = run_working("clamp-fit", {"bore": f"{31.8 + clearance!r} ± {u!r}", "diameter": f"31.8 ± {u!r}"})
    expected = norm.cdf((clearance - 0.15) / (u * math.sqrt(2))) * 100
    assert result.value("undersize_probability") == pytest.approx(expected, abs=1e-6)


@pytest.mark.parametrize(
    ("bore", "diameter", "fits"),
    [
        ("31.8", "31.8", "yes"),
        ("31.8", "25.4", "no"),
        ("26.0", "25.4", "no"),
        ("31.8", "31.66", "measure this"),
        ("25.4", "26.0", "no"),
    ],
)
def test_only_sizes_that_go_together_are_clamped(bore: str, diameter: str, fits: str) -> None:
    # bar clamp sizes 25.4, 26.0, 31.8 (ISO 6699 and trade); 0.15 mm and more is undersize (common practice)
    assert run_working("clamp-fit", {"bore": bore, "diameter": diameter}).value("fits") == fits


def test_a_post_may_have_one_size_step_less_one() -> None:
    loose = run_working("clamp-fit", {"bore": "27.4 ± 0.01", "diameter": "27.2 ± 0.01", "kind": "post"})
    assert loose.value("undersize_probability") == pytest.approx(50, abs=0.01)


_STEM = {
    "torque": "5",
    "bolts": "4",
    "bolt_diameter": "5",
    "diameter": "31.8",
    "mass": "40",
    "stop": "200",
    "reach": "60",
}


def test_margin_is_held_over_moment_and_grows_with_friction() -> None:
    result = run_working("clamp-margin", {**_STEM, "drop": "500"})
    assert result.value("held") == pytest.approx(95.4, abs=0.05)
    assert result.value("margin") == pytest.approx(float(result.value("held")) / float(result.value("moment")))
    assert result.table is not None
    margins = [float(row[3]) for row in result.table.rows]
    assert margins == sorted(margins)
    assert len(set(margins)) == 3


def test_more_torque_is_called_no_cure_where_the_clamp_slips() -> None:
    assert (
        "More torque is no cure" in run_working("clamp-margin", {**_STEM, "drop": "3000", "reach": "150"}).explanation
    )
