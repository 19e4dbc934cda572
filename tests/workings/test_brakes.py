import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from kb.errors import BadInput
from kb.workings import run_working
from kb.workings.brakes import FLUIDS, descent_power_w, potential_energy_j, stopping_distance_m


@pytest.mark.parametrize(
    ("speed", "distance", "deceleration"),
    [
        (24.14016, 4.572, 4.92),
        (25, 7, 3.44),
        (25, 6, 4.02),
        (25, 15, 1.61),
        (25, 10, 2.41),
        (25, 12, 2.01),
        (16, 5, 1.98),
        (16, 10, 0.99),
    ],
)
def test_stopping_distances_agree_with_the_standards(speed: float, distance: float, deceleration: float) -> None:
    # 16 CFR 1512.5 (15 mph, 15 ft); ISO 4210-2 / EN 14764, 14766, 14781 from memory; decelerations printed to 0.01
    assert stopping_distance_m(speed, deceleration) == pytest.approx(distance, rel=0.006)


@given(st.floats(5, 80), st.floats(1, 8))
def test_stopping_distance_agrees_with_the_motion_integrated(speed: float, deceleration: float) -> None:
    start = speed / 3.6
    moved = solve_ivp(
        lambda _, state: [state[1], -deceleration], (0, start / deceleration), [0, start], rtol=1e-9, atol=1e-9
    )
    assert stopping_distance_m(speed, deceleration) == pytest.approx(moved.y[0, -1], rel=1e-6)


@given(st.floats(5, 40), st.floats(1, 8))
def test_twice_the_speed_needs_four_times_the_way(speed: float, deceleration: float) -> None:
    assert stopping_distance_m(2 * speed, deceleration) == pytest.approx(4 * stopping_distance_m(speed, deceleration))


@pytest.mark.parametrize(("mass", "height", "kilojoules"), [(100, 300, 294.2), (85, 500, 416.8)])
def test_energy_of_a_descent_agrees_with_the_worked_figures(mass: float, height: float, kilojoules: float) -> None:
    assert potential_energy_j(mass, height) / 1000 == pytest.approx(kilojoules, abs=0.05)


def test_heat_of_a_stop_from_forty_agrees_with_the_worked_figure() -> None:
    # 100 kg from 40 km/h: 6173 J; one 100 g rotor, c 490: +126 K; 70 % of it: +88 K. The height of equal energy is v^2/2g.
    height = (40 / 3.6) ** 2 / (2 * 9.80665)
    for share, rise in (("100", 126), ("70 %", 88)):
        result = run_working(
            "rotor-heat", {"mass": "100", "height": f"{height!r}", "share": share, "rotor_mass": "100"}
        )
        assert result.value("rise") == pytest.approx(rise, abs=0.5)


def test_power_of_a_descent_agrees_with_the_worked_figure() -> None:
    # 100 kg, 10 % (sin atan 0.1), 30 km/h: 813 W
    assert descent_power_w(100.0, 30.0, 10.0) == pytest.approx(813, abs=0.5)


def test_power_times_time_is_the_energy_of_the_height() -> None:
    hour_height = 30_000 * math.sin(math.atan(0.1))
    assert descent_power_w(100.0, 30.0, 10.0) * 3600 == pytest.approx(potential_energy_j(100.0, hour_height))


@pytest.mark.parametrize(
    ("fluid", "dry", "wet"), [("dot3", 205, 140), ("dot4", 230, 155), ("dot5", 260, 180), ("dot5.1", 260, 180)]
)
def test_boiling_points_are_those_of_the_rule(fluid: str, dry: float, wet: float) -> None:
    # FMVSS 116 (49 CFR 571.116); an older encyclopaedia copy gives 270/191 for 5.1
    assert (FLUIDS[fluid].dry_c, FLUIDS[fluid].wet_c) == (dry, wet)


def test_time_to_boiling_heats_the_rotor_by_exactly_that_much() -> None:
    result = run_working(
        "boil-time",
        {"mass": "100", "speed": "30", "gradient": "10", "rotor_mass": "120", "share": "60", "fluid": "DOT 4"},
    )
    joules = float(result.value("power")) * float(result.value("wet"))
    assert joules / (0.120 * 490) == pytest.approx(155 - 20)
    assert float(result.value("dry")) > float(result.value("wet"))


def test_load_transfer_keeps_the_weight_and_lifts_the_rear_at_the_limit() -> None:
    bike = {"mass": "90", "height": "1100", "wheelbase": "1000", "front_share": "40"}
    result = run_working("load-transfer", {**bike, "deceleration": "3"})
    assert float(result.value("front_load")) + float(result.value("rear_load")) == pytest.approx(90 * 9.80665)
    limit = float(result.value("lift_at"))
    assert limit == pytest.approx(0.6 / 1.1)
    assert run_working("load-transfer", {**bike, "deceleration": f"{limit!r} g"}).value("rear_load") == pytest.approx(
        0, abs=1e-6
    )


def test_lever_travel_is_gap_times_ratio() -> None:
    result = run_working("lever-travel", {"pad_gap": "0.3", "ratio": "50", "reach": "70", "free": "5"})
    assert result.value("travel") == pytest.approx(20)
    assert result.value("left") == pytest.approx(50)


def test_a_lever_that_nears_the_bar_is_warned_of() -> None:
    assert "Do not ride" in run_working("lever-travel", {"pad_gap": "0.8", "ratio": "60", "reach": "65"}).warnings[0]


def test_rim_life_ends_at_the_limit() -> None:
    result = run_working("rim-wall-life", {"new_wall": "1.5", "wall": "1.2", "distance": "6000"})
    wear_per_km = 0.3 / 6000
    assert 1.2 - wear_per_km * float(result.value("left")) == pytest.approx(0.9)
    assert run_working("rim-wall-life", {"new_wall": "1.5", "wall": "0.8", "distance": "6000"}).value("left") == 0


@pytest.mark.parametrize("wall", ["1.6", "1.49"])
def test_a_wall_not_yet_worn_carries_no_forecast(wall: str) -> None:
    with pytest.raises(BadInput) as refusal:
        run_working("rim-wall-life", {"new_wall": "1.5", "wall": wall, "distance": "6000"})
    assert refusal.value.field == "wall"


def test_a_gap_the_lever_could_never_take_up_is_refused() -> None:
    with pytest.raises(BadInput) as refusal:
        run_working("lever-travel", {"pad_gap": "10", "ratio": "50", "reach": "70"})
    assert refusal.value.field == "pad_gap"
