import pytest
from hypothesis import given
from hypothesis import strategies as st

from kb.workings import run_working
from kb.workings.carrying import side_wind_n


@given(st.floats(10, 100), st.floats(0.1, 1))
def test_twice_the_wind_pushes_four_times_as_hard(speed: float, area: float) -> None:
    assert side_wind_n(2 * speed, area) == pytest.approx(4 * side_wind_n(speed, area))


def test_moments_about_the_fork_ends_balance() -> None:
    result = run_working(
        "carrier-load", {"mass": "12", "wind": "80", "height": "400", "hub_width": "100", "wheelbase": "1000"}
    )
    side = float(result.value("side_force"))
    # dynamic pressure at 80 km/h: 1/2 x 1.2 x 22.22^2 = 296.3 Pa; x Cd 1.2 x 0.4 m2 (textbook)
    assert side == pytest.approx(296.3 * 1.2 * 0.4, rel=1e-3)
    assert float(result.value("end_load")) * 0.1 == pytest.approx(side * 0.4)
    assert float(result.value("pitch_load")) * 1.0 == pytest.approx(12 * 8 * 0.4)
    assert float(result.value("braking_force")) == pytest.approx(96)


def test_a_storm_loads_the_ends_more_than_riding_and_is_warned_of() -> None:
    assert run_working("carrier-load", {"mass": "12", "wind": "130"}).warnings
    assert not run_working("carrier-load", {"mass": "12", "wind": "20"}).warnings
