import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad

from kb.errors import BadInput
from kb.workings import run_working
from kb.workings.drilled_parts import gross_factor, mass_removed_g, net_factor, notch_factor, tube_modulus_mm3


@pytest.mark.parametrize(
    ("share", "net", "gross"),
    [
        (0.05, 2.852, 3.003),
        (0.1, 2.722, 3.025),
        (0.2, 2.508, 3.135),
        (0.3, 2.349, 3.356),
        (0.4, 2.236, 3.726),
        (0.5, 2.159, 4.317),
        (0.6, 2.109, 5.273),
    ],
)
def test_stress_concentration_agrees_with_the_table(share: float, net: float, gross: float) -> None:
    # Roark table 17.1 polynomial on the NET section, recomputed
    assert net_factor(share) == pytest.approx(net, abs=0.0006)
    assert gross_factor(share) == pytest.approx(gross, abs=0.001)


@pytest.mark.parametrize(("share", "howland"), [(0.1, 3.03), (0.2, 3.14), (0.3, 3.36), (0.4, 3.74), (0.5, 4.32)])
def test_gross_factor_agrees_with_the_exact_solution(share: float, howland: float) -> None:
    # Howland's solution of the strip with a hole, from memory
    assert gross_factor(share) == pytest.approx(howland, abs=0.02)


@given(st.floats(0.02, 0.6))
def test_two_handbook_formulas_agree_within_three_per_cent(share: float) -> None:
    # Heywood's formula for the net factor, with (1 - x) cubed, from memory
    assert net_factor(share) == pytest.approx(2 + (1 - share) ** 3, rel=0.03)


def test_a_pinhole_in_a_wide_plate_trebles_the_stress() -> None:
    # Kirsch's solution gives three
    assert gross_factor(1e-6) == pytest.approx(3, abs=1e-4)


@given(st.floats(0.06, 0.65))
def test_a_larger_hole_always_stresses_more(share: float) -> None:
    assert gross_factor(share + 0.01) > gross_factor(share)


@pytest.mark.parametrize(("hole", "thickness", "holes", "grams"), [(6, 3, 10, 2.38), (8, 3, 1, 0.424)])
def test_mass_removed_agrees_with_the_worked_figures(hole: float, thickness: float, holes: int, grams: float) -> None:
    # n rho pi d^2 t / 4 in 7075 (2.81 g/cm3)
    assert mass_removed_g(hole, thickness, holes, 2810.0) == pytest.approx(grams, abs=0.005)


def test_plate_of_the_worked_example() -> None:
    # w 20, d 8, t 3, P 5 kN: gross 83.33, peak 310.5 MPa (Roark)
    result = run_working(
        "drilled-margin", {"width": "20", "thickness": "3", "hole": "8", "load": "5000", "sensitivity": "1"}
    )
    assert result.value("before") == pytest.approx(83.33, abs=0.005)
    assert result.value("peak") == pytest.approx(310.5, abs=0.1)
    assert result.value("fatigue_stress") == pytest.approx(310.5, abs=0.1)
    assert "A clear no" in result.explanation


def test_notch_factor_runs_from_one_to_the_full_concentration() -> None:
    # form of the fatigue factor: Peterson
    assert notch_factor(2.5, 0) == 1
    assert notch_factor(2.5, 1) == 2.5


@pytest.mark.parametrize(
    ("outer", "wall", "modulus"),
    [
        (31.8, 2.0, 1313),
        (31.8, 2.5, 1564),
        (35, 2.2, 1750),
        (28.6, 2.0, 1040),
        (22.2, 1.6, 498),
        (27.2, 2.0, 930),
        (30.9, 2.0, 1233),
    ],
)
def test_tube_moduli_agree_with_table_and_integral(outer: float, wall: float, modulus: float) -> None:
    # Roark, pi (D^4 - d^4)/(32 D), recomputed
    assert tube_modulus_mm3(outer, wall) == pytest.approx(modulus, abs=0.6)
    second_moment = quad(lambda r: math.pi * r**3, outer / 2 - wall, outer / 2)[0]
    assert tube_modulus_mm3(outer, wall) == pytest.approx(second_moment / (outer / 2))


def test_drilling_a_part_is_advised_against_with_its_figures() -> None:
    result = run_working(
        "drilled-part", {"width": "20", "thickness": "3", "hole": "8", "holes": "5", "density": "2810"}
    )
    assert result.explanation.startswith("No:")
    assert result.value("net_section") == pytest.approx(60)
    assert result.value("stress_rise") == pytest.approx(3.726, abs=0.001)


@pytest.mark.parametrize("hole", ["20", "25"])
def test_a_hole_as_wide_as_the_part_is_refused(hole: str) -> None:
    with pytest.raises(BadInput) as refusal:
        run_working("hole-stress", {"width": "20", "hole": hole})
    assert refusal.value.field == "hole"


def test_a_hole_over_the_range_of_the_polynomial_is_warned_of() -> None:
    assert run_working("hole-stress", {"width": "20", "hole": "16"}).warnings
    assert not run_working("hole-stress", {"width": "20", "hole": "12"}).warnings


def test_a_wall_thicker_than_the_tube_is_refused() -> None:
    with pytest.raises(BadInput) as refusal:
        run_working("tube-bending", {"outer": "20", "wall": "11", "force": "100", "arm": "100"})
    assert refusal.value.field == "wall"
