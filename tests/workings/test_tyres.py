import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kb.errors import BadInput
from kb.workings import run_working
from kb.workings.tyres import leak_bar_per_day, load_pressure_psi, tyre_diameter_mm


@pytest.mark.parametrize(
    ("width", "bead", "across", "around"),
    [
        (25, 622, 677, 2127),
        (28, 622, 678, 2130),
        (32, 622, 686, 2155),
        (37, 622, 696, 2187),
        (50, 559, 659, 2070),
        (57, 622, 736, 2312),
    ],
)
def test_tyre_sizes_agree_with_the_table(width: float, bead: float, across: float, around: float) -> None:
    # ISO 5775-1: section height = width, 2.5 mm more below 28 mm; recomputed
    assert tyre_diameter_mm(width, bead) == across
    assert tyre_diameter_mm(width, bead) * math.pi == pytest.approx(around, abs=0.6)


@pytest.mark.parametrize(("width", "psi"), [(25, 88), (28, 73), (38, 42)])
def test_pressure_for_a_hundred_pounds_agrees_with_the_chart(width: float, psi: float) -> None:
    # a fit to a magazine's chart, from memory (low); arithmetic recomputed
    assert load_pressure_psi(100.0, width) == pytest.approx(psi, abs=0.6)


@given(st.floats(30, 80), st.floats(23, 55))
def test_more_load_and_a_narrower_tyre_need_more_pressure(load_kg: float, width: float) -> None:
    def bar(load: float, wide: float) -> float:
        return float(
            run_working("tyre-pressure", {"wheel_load": repr(load), "tyre_width": repr(wide)}).value("pressure")
        )

    assert bar(load_kg + 1, width) > bar(load_kg, width)
    assert bar(load_kg, width - 1) > bar(load_kg, width)


def test_rough_ground_wants_less() -> None:
    inputs = {"wheel_load": "45", "tyre_width": "40"}
    bars = [
        float(run_working("tyre-pressure", {**inputs, "surface": kind}).value("pressure"))
        for kind in ("road", "rough", "gravel", "soft")
    ]
    assert bars == sorted(bars, reverse=True)
    assert len(set(bars)) == 4


def test_a_narrow_tyre_on_a_hookless_rim_is_warned_of() -> None:
    assert (
        "hookless"
        in run_working("tyre-pressure", {"wheel_load": "60", "tyre_width": "25", "hookless": "yes"}).warnings[0]
    )


def test_a_load_the_fit_does_not_hold_for_is_refused() -> None:
    with pytest.raises(BadInput) as refusal:
        run_working("tyre-pressure", {"wheel_load": "10", "tyre_width": "60"})
    assert refusal.value.field == "wheel_load"


@pytest.mark.parametrize(
    ("tyre", "rim", "hookless", "fits"),
    [(25, 13, "no", "yes"), (28, 17, "no", "yes"), (40, 19, "no", "yes"), (50, 21, "no", "yes"), (20, 25, "no", "no"), (23, 19, "no", "measure this"),
     (35, 13, "no", "no"), (28, 23, "yes", "yes"), (25, 23, "yes", "no"), (32, 25, "yes", "yes"), (28, 25, "yes", "no"), (55, 17, "no", "measure this")],
)  # fmt: skip
def test_a_tyre_fits_the_range_of_its_rim(tyre: int, rim: int, hookless: str, fits: str) -> None:
    # ETRTO tables, from memory (low): 13C 18-25, 17C 25-52, 19C 28-62, 21C 35-64; hookless 28 on 23, 29 on 25
    assert (
        run_working("tyre-rim", {"tyre_width": f"{tyre}", "rim_width": f"{rim}", "hookless": hookless}).value("fits")
        == fits
    )


def test_hookless_rims_bear_five_bar_at_most() -> None:
    # ISO 5775 / ETRTO 2020: 500 kPa = 72.5 psi
    for width in ("28", "32", "40", "50"):
        assert (
            run_working("tyre-rim", {"tyre_width": width, "rim_width": "23", "hookless": "yes"}).value("max_pressure")
            == 5.0
        )
    assert run_working("tyre-rim", {"tyre_width": "50", "rim_width": "25", "hookless": "yes"}).warnings


def test_pressure_units_agree_with_their_definitions() -> None:
    # 1 bar = 14.5038 psi = 100 kPa; 1 psi = 6.89476 kPa; 100 psi = 6.895 bar
    result = run_working("pressure", {"value": "1 bar"})
    assert result.value("psi") == pytest.approx(14.5038, abs=0.0001)
    assert result.value("kPa") == pytest.approx(100)
    assert run_working("pressure", {"value": "100 psi"}).value("bar") == pytest.approx(6.895, abs=0.0005)


@given(st.floats(1, 10), st.floats(0.1, 30), st.floats(-10, 40), st.floats(-10, 40))
def test_a_tight_tyre_that_only_cooled_has_not_leaked(first: float, days: float, warm: float, cold: float) -> None:
    # ideal gas in a fixed volume: p_abs / T is constant
    last = (first + 1.01325) * (cold + 273.15) / (warm + 273.15) - 1.01325
    assert leak_bar_per_day(first, last, days, warm, cold) == pytest.approx(0, abs=1e-9)


def test_without_a_change_of_temperature_the_leak_is_the_difference() -> None:
    assert run_working("leak-rate", {"first": "6", "last": "5.1", "days": "3 days"}).value("rate") == pytest.approx(0.3)
    assert run_working("leak-rate", {"first": "6", "last": "5.1", "days": "72 h"}).value("rate") == pytest.approx(0.3)


def test_a_cold_reading_hides_no_leak_and_makes_none() -> None:
    warm = float(run_working("leak-rate", {"first": "6", "last": "5.1", "days": "3"}).value("rate"))
    cooled = {"first": "6", "last": "5.1", "days": "3", "first_temperature": "25 °C", "last_temperature": "41 F"}
    assert float(run_working("leak-rate", cooled).value("rate")) < warm


def test_a_tyre_that_gained_is_a_doubtful_reading() -> None:
    assert "gained" in run_working("leak-rate", {"first": "5", "last": "6", "days": "1"}).explanation


def test_a_rim_no_table_knows_is_said_to_be_taken_for_the_nearest() -> None:
    assert "nearest, 25 mm" in run_working("tyre-rim", {"tyre_width": "60", "rim_width": "30"}).warnings[-1]
