import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kb.errors import BadInput
from kb.workings import run_working
from kb.workings.bolts import preload_n, proof_share, stress_area_mm2, torque_nm


@pytest.mark.parametrize(
    ("size", "grade", "proof_n"),
    [("M4", "8.8", 5100), ("M5", "8.8", 8230), ("M6", "8.8", 11600), ("M8", "8.8", 21200), ("M4", "10.9", 7290), ("M5", "10.9", 11800),
     ("M6", "10.9", 16700), ("M8", "10.9", 30400), ("M4", "12.9", 8520), ("M5", "12.9", 13800), ("M6", "12.9", 19500), ("M8", "12.9", 35500),
     ("M5", "A2-70", 6390), ("M6", "A2-70", 9045)],
)  # fmt: skip
def test_proof_loads_agree_with_the_printed_table(size: str, grade: str, proof_n: float) -> None:
    # ISO 898-1, loads printed to three figures; ISO 3506-1, 450 MPa
    assert proof_share(proof_n, size, grade) == pytest.approx(100, abs=0.6)


@pytest.mark.parametrize(
    ("size", "pitch", "area"),
    [(4, 0.7, 8.78), (5, 0.8, 14.2), (6, 1, 20.1), (7, 1, 28.9), (8, 1.25, 36.6), (10, 1.5, 58.0)],
)
def test_stress_areas_agree_with_print_and_formula(size: int, pitch: float, area: float) -> None:
    # ISO 898-1 table and its formula As = pi/4 (d - 0.9382 P)^2
    assert stress_area_mm2(f"M{size}") == pytest.approx(area, rel=0.003)
    assert math.pi / 4 * (size - 0.9382 * pitch) ** 2 == pytest.approx(area, rel=0.003)


def test_a_finer_thread_has_the_larger_area() -> None:
    assert stress_area_mm2("M8x1") == pytest.approx(39.2, abs=0.05)  # ISO 898-1, fine pitch, from memory
    assert stress_area_mm2("M8x1") > stress_area_mm2("M8")


@pytest.mark.parametrize("size", ["5", "M5.5", "M1", "M5x2", "five", "M5x0", "M99"])
def test_a_size_that_is_none_is_refused(size: str) -> None:
    with pytest.raises(BadInput) as refusal:
        stress_area_mm2(size)
    assert refusal.value.field == "size"


def test_torque_agrees_with_the_book_example() -> None:
    # Shigley example 8-3: 3/4-16 UNF, 25 000 lbf, K 0.20 -> 3750 lbf in (from memory); 1 lbf in = 0.1129848 N m
    assert torque_nm(25000 * 4.4482216, 0.75 * 25.4, 0.2) == pytest.approx(3750 * 0.1129848, rel=1e-5)


@pytest.mark.parametrize(("size_mm", "proof_n", "torque"), [(5, 8230, 6.17), (5, 11800, 8.85), (6, 11600, 10.44)])
def test_three_quarters_of_proof_need_the_torque_of_the_rule(size_mm: float, proof_n: float, torque: float) -> None:
    # 0.2 d 0.75 Fp, Shigley's rule, recomputed
    assert torque_nm(0.75 * proof_n, size_mm, 0.2) == pytest.approx(torque, abs=0.005)


@given(st.floats(0.5, 60), st.floats(3, 16), st.floats(0.08, 0.4))
def test_torque_and_preload_undo_each_other(torque: float, diameter: float, friction: float) -> None:
    assert torque_nm(preload_n(torque, diameter, friction), diameter, friction) == pytest.approx(torque)


@given(st.floats(0.5, 60), st.floats(3, 16), st.floats(0.08, 0.4))
def test_grease_and_a_thinner_bolt_pull_harder_at_the_same_torque(
    torque: float, diameter: float, friction: float
) -> None:
    assert preload_n(torque, diameter, friction * 0.8) > preload_n(torque, diameter, friction)
    assert preload_n(torque, diameter * 0.8, friction) > preload_n(torque, diameter, friction)


def test_greased_threads_at_the_dry_torque_stretch_a_stainless_bolt() -> None:
    # M5, 5 N m: dry 78 % and greased 104 % of the A2-70 limit, recomputed
    dry = run_working("bolt-proof-share", {"preload": "5000", "size": "M5", "grade": "a2-70"})
    greased = run_working("bolt-proof-share", {"preload": "6667", "size": "M5", "grade": "a2-70"})
    assert dry.value("share") == pytest.approx(78, abs=0.5)
    assert greased.value("share") == pytest.approx(104, abs=0.5)
    assert "stretches" in greased.explanation


def test_torque_uncertainty_goes_into_the_preload() -> None:
    # 25 % of torque wrench scatter (VDI 2230, practice) is 25 % of preload
    result = run_working("bolt-preload", {"torque": "5 N*m ± 25 %", "diameter": "5"})
    assert result.results[0].uncertainty == pytest.approx(1250)
